"""The works of a month: time, pace and speed, cut at the poles that were clocked."""

import math
from datetime import date
from typing import Any

import pandas as pd

from racecalc import pace, track
from racecalc.daybook import Barn
from racecalc.digest.model import Month, Number, Quickest, Race, Section, Work, WorkTotals
from racecalc.notation import write_pole
from racecalc.workload import between_days

__all__ = ["races_between", "remarks_between", "totals", "works_between"]

# Two works count as of one distance within this: 6 f and 1200 m, 7 m apart, do not.
_SAME_DISTANCE_M = 0.5

_SPLITS = "racecalc.pace.sections"

# What was asked of a work, from least to most.
_EFFORTS = ("easy", "steady", "threshold", "sharp", "full")
_READ = "racecalc.daybook.read"


def works_between(
    works: pd.DataFrame,
    splits: pd.DataFrame,
    track_names: dict[str, str],
    laps_m: dict[str, float],
    barn: Barn,
    month: Month,
) -> tuple[Work, ...]:
    """Return the works of a month, oldest first.

    Parameters
    ----------
    works, splits : DataFrame
        The horse's tables of the daybook, all months.
    track_names, laps_m : dict
        Name, and lap in metres, by track id.
    barn : Barn
        Its clock, and the error it has set for it, decide what counts as a difference.
    """
    ordered = works.sort_values(["date", "work"], kind="stable")
    inside = between_days(ordered, month.first, month.last)
    return tuple(
        _work(row, ordered, splits, track_names, laps_m, barn) for row in inside.to_dict("records")
    )


def races_between(
    exercise: pd.DataFrame, track_names: dict[str, str], month: Month
) -> tuple[Race, ...]:
    """Return the races of a month, oldest first."""
    inside = between_days(exercise[exercise["activity"] == "race"], month.first, month.last)
    ordered = inside.sort_values(["date", "distance_m", "time_s", "track"], kind="stable")
    return tuple(_race(row, track_names) for row in ordered.to_dict("records"))


def remarks_between(
    exercise: pd.DataFrame, works: pd.DataFrame, month: Month
) -> tuple[tuple[date, str], ...]:
    """Return what was remarked on exercise and works in a month, by day."""
    both = pd.concat([exercise[["date", "note"]], works[["date", "note"]]])
    noted = between_days(both, month.first, month.last).dropna(subset="note")
    found = {(moment.date(), str(note)) for moment, note in noted.itertuples(index=False)}
    return tuple(sorted(found))


def totals(works: pd.DataFrame, month: Month, name: str) -> WorkTotals:
    """Count the works of a month and add up their distances."""
    inside = between_days(works, month.first, month.last)
    count = len(inside)
    made_by = "racecalc.digest.works.totals"
    return WorkTotals(
        count=Number(f"{name}.count", float(count), "count", made_by, count),
        distance=Number(
            f"{name}.distance", math.fsum(inside["distance_m"]), "day_ground", made_by, count
        ),
    )


def _race(row: dict[Any, Any], track_names: dict[str, str]) -> Race:
    day = row["date"].date()
    name = f"races.{day.isoformat()}"
    distance_m, time_s = float(row["distance_m"]), float(row["time_s"])
    return Race(
        day=day,
        distance=Number(f"{name}.distance", distance_m, "distance", _READ, 1)
        if distance_m > 0
        else None,
        time=Number(f"{name}.time", time_s, "clock", _READ, 1) if time_s > 0 else None,
        track=track_names.get(row["track"]),
    )


def _work(
    row: dict[Any, Any],
    all_works: pd.DataFrame,
    splits: pd.DataFrame,
    track_names: dict[str, str],
    laps_m: dict[str, float],
    barn: Barn,
) -> Work:
    name = f"works.{row['work']}"
    distance_m, time_s = float(row["distance_m"]), float(row["time_s"])
    own = splits[splits["work"] == row["work"]]
    timed = time_s > 0
    return Work(
        id=row["work"],
        day=row["date"].date(),
        track=track_names.get(row["track"], row["track"]),
        manner=row["manner"],
        effort=row["effort"],
        from_gate=bool(row["from_gate"]),
        state=row["state"],
        distance=Number(f"{name}.distance", distance_m, "distance", _READ, 1),
        time=Number(f"{name}.time", time_s, "clock", _READ, 1) if timed else None,
        pace=_pace(f"{name}.seconds_per_furlong", distance_m, time_s) if timed else None,
        speed=_speed(f"{name}.speed", distance_m, time_s) if timed else None,
        sections=_sections(name, row, own, barn, laps_m.get(row["track"])),
        quickest=_quickest(name, row, all_works, barn) if timed else None,
        note=row["note"],
    )


def _pace(name: str, distance_m: float, time_s: float) -> Number:
    value = float(pace.seconds_per_furlong(distance_m, time_s))
    return Number(name, value, "pace", "racecalc.pace.seconds_per_furlong", 1)


def _speed(name: str, distance_m: float, time_s: float) -> Number:
    value = float(pace.speed_m_s(distance_m, time_s))
    return Number(name, value, "speed", "racecalc.pace.speed_m_s", 1)


def _sections(
    name: str, row: dict[Any, Any], splits: pd.DataFrame, barn: Barn, lap_m: float | None
) -> tuple[Section, ...]:
    """Cut a work at its poles; a work clocked nowhere but at its end has no sections to show."""
    if splits.empty:
        return ()
    cut = pace.sections(
        row["distance_m"],
        row["time_s"],
        splits["to_finish_m"],
        splits["clock_s"],
        from_pole_m=row["from_pole_m"],
        one_s=pace.clock_error_s(barn.clock, barn.clock_error_s),
    )
    return tuple(_section(name, section, lap_m) for section in cut.to_dict("records"))


def _section(name: str, row: dict[Any, Any], lap_m: float | None) -> Section:
    pole = write_pole(row["to_finish_m"])
    return Section(
        pole=pole,
        colour=track.pole_colour(float(row["to_finish_m"]), lap_m),
        distance_m=float(row["distance_m"]),
        whole_furlong=bool(row["whole_furlong"]),
        gallop_out=bool(row["gallop_out"]),
        time=Number(f"{name}.split.{pole}", float(row["time_s"]), "split", _SPLITS, 2),
        clock=Number(f"{name}.clock.{pole}", float(row["clock_s"]), "clock", _READ, 1),
        pace_s=float(row["seconds_per_furlong"]),
        pace_error_s=float(row["pace_error_s"]),
    )


def _quickest(
    name: str, row: dict[Any, Any], all_works: pd.DataFrame, barn: Barn
) -> Quickest | None:
    """Compare with the best earlier work of one distance, start and footing at one track."""
    earlier = all_works[
        (all_works["date"] < row["date"])
        & (all_works["track"] == row["track"])
        & ((all_works["distance_m"] - row["distance_m"]).abs() < _SAME_DISTANCE_M)
        & all_works["time_s"].notna()
        & (all_works["from_gate"].eq(True) == bool(row["from_gate"]))
        & (all_works["state"].fillna("") == (row["state"] or ""))
    ]
    if earlier.empty:
        return None
    best_s, time_s = float(earlier["time_s"].min()), float(row["time_s"])
    one_s = pace.clock_error_s(barn.clock, barn.clock_error_s)
    if time_s >= best_s or not pace.is_difference(time_s, best_s, one_s):
        return None
    made_by = "racecalc.pace.is_difference"
    return Quickest(
        earlier_works=Number(f"{name}.earlier", len(earlier), "count", made_by, len(earlier)),
        margin=Number(
            f"{name}.margin",
            best_s - time_s,
            "seconds",
            made_by,
            len(earlier) + 1,
            sources=pace.clock_sources(barn.clock, barn.clock_error_s),
        ),
        asked_more=_asked_more(row["effort"], earlier["effort"]),
    )


def _asked_more(effort: str | None, earlier: "pd.Series[Any]") -> bool:
    """Tell whether a work was asked for more than all before it; not where one effort is blank."""
    if effort is None or earlier.isna().any():
        return False
    return all(_EFFORTS.index(effort) > _EFFORTS.index(other) for other in earlier)
