"""What the footing of a track did to times: learned from the barn's own works, never assumed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from racecalc import own_line
from racecalc.digest.number import Number

__all__ = ["FootingEffect", "footing_effects"]

_MADE_BY = "racecalc.own_line.state_effects"


@dataclass(frozen=True)
class FootingEffect:
    """By how much times on one footing differ from those on the track's usual one.

    ``effect``, ``low`` and ``high`` are percent of the time, above zero for slower; the interval
    holds 95 of 100. ``told`` says whether it leaves zero out.
    """

    state: str
    usual: str
    works: Number
    effect: Number
    low: Number
    high: Number
    told: bool


def footing_effects(
    works: pd.DataFrame, string: pd.DataFrame, track_id: str, day: pd.Timestamp
) -> tuple[FootingEffect, ...]:
    """Return what each footing of a track did to times in the year up to a day.

    Parameters
    ----------
    works, string : DataFrame
        The horse's works, and those of the rest of the barn.
    track_id : str
        The track.
    day : Timestamp
        The last day that counts.
    """
    mine = works.reindex(columns=string.columns).assign(horse="own")
    known = [frame for frame in (mine, string) if len(frame)]
    if not known:
        return ()
    barn = pd.concat(known, ignore_index=True)
    first = day - pd.Timedelta(days=own_line.WINDOW_DAYS)
    barn = barn[barn["date"].between(first, day) & barn["time_s"].notna()]
    if len(barn) < own_line.FEWEST_WORKS:
        return ()
    learned = own_line.state_effects(own_line.fit(barn))
    here = learned[learned["track"] == track_id]
    return tuple(_effect(row, track_id) for row in here.to_dict("records"))


def _effect(row: Mapping[Any, Any], track_id: str) -> FootingEffect:
    works = int(row["works"])

    def percent(key: str, ratio: float) -> Number:
        name = f"footing.{track_id}.{row['state']}{key}"
        value = 100 * (float(ratio) - 1)
        return Number(name, value, "footing_effect", _MADE_BY, works, own_line.LINE_SOURCES)

    return FootingEffect(
        state=row["state"],
        usual=row["against"],
        works=Number(f"footing.{track_id}.{row['state']}.works", works, "count", _MADE_BY, works),
        effect=percent("", row["ratio"]),
        low=percent(".low", row["low"]),
        high=percent(".high", row["high"]),
        told=not row["low"] <= 1 <= row["high"],
    )
