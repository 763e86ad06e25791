"""The rest of the barn as one horse's slice may know it: timed works, without a name.

What a horse may be expected to do leans on what the others did; whose work it was is no business of
an owner's report. Horses are told apart by a number.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable
from typing import Any, cast

import numpy as np
import pandas as pd

__all__ = ["STRING_FIELDS", "by_track", "ranked", "string_of", "thinned", "without"]

# The interval of an expected time is 1.03 times as wide with a thousand earlier works as it would
# be if every effect were known (of invented works; DEVELOPERS.md, her line).
_MOST_A_YEAR = 1000

STRING_FIELDS = {
    "horse": "text",
    "date": "date",
    "track": "text",
    "distance_m": "number",
    "time_s": "number",
    "state": "text",
    "manner": "text",
    "effort": "text",
    "from_gate": "yesno",
}
"""The columns of the string, and their types as a schema names them."""


def string_of(works: pd.DataFrame, horse: str) -> pd.DataFrame:
    """Return the timed works of other horses at the tracks where this one has worked.

    Of a large barn these are the works of some horses, each with all that it did at a track: about
    a thousand works of a year tell nearly as much as all of them (see `racecalc.own_line`).

    Parameters
    ----------
    works : DataFrame
        The works of the whole book.
    horse : str
        The horse whose slice it is for.

    Returns
    -------
    DataFrame
        The columns of `STRING_FIELDS`; ``horse`` is ``other 1``, ``other 2`` and so on, in an order
        that tells nothing of who they are.
    """
    own = (works["horse"] == horse).to_numpy(dtype=np.bool_)
    tracks = frozenset(works.loc[own, "track"])
    return without(horse, ranked(thinned(by_track(works, tracks))))


def by_track(works: pd.DataFrame, tracks: Iterable[str]) -> pd.DataFrame:
    """Return the timed works at some tracks, of each track as many as a slice can need.

    They are sorted by track; ``row`` tells their order in the book.
    """
    wanted = works["track"].isin(set(tracks)).to_numpy() & works["time_s"].notna().to_numpy()
    timed = works.loc[wanted, [*STRING_FIELDS, "row"]]
    parts = [thinned(rows) for _, rows in timed.groupby("track")]
    return pd.concat(parts, ignore_index=True) if parts else timed


def ranked(works: pd.DataFrame) -> pd.DataFrame:
    """Return the works of `thinned` in the order of the book, with the ``rank`` of each horse."""
    works = works.sort_values("row").reset_index(drop=True).drop(columns="row")
    return works.assign(rank=_ranks(works))


def without(horse: str, works: pd.DataFrame) -> pd.DataFrame:
    """Return the works of `ranked` without those of one horse, the others without their names."""
    others = works.loc[(works["horse"] != horse).to_numpy(dtype=np.bool_)].reset_index(drop=True)
    # Who comes after the horse that is left out moves up.
    _, numbers = np.unique(others["rank"].to_numpy(), return_inverse=True)
    names = np.array([f"other {number}" for number in range(1, len(others) + 1)], dtype=object)
    others = others.drop(columns="rank")
    return others.assign(horse=pd.Series(names[numbers], others.index, dtype=object))


def thinned(works: pd.DataFrame) -> pd.DataFrame:
    """Return as many works as a slice can need, those of whole horses."""
    if len(works) <= _MOST_A_YEAR:
        return works
    return works.loc[works["horse"].isin(_some(works))]


def _some(works: pd.DataFrame) -> set[str]:
    """Choose horses until a further one would make a year too full.

    They are taken in the order of a hash of their ids, so that neither who joins or leaves the barn
    nor what was done today changes who is leaned on.
    """
    counts = works.groupby(["horse", works["date"].dt.year]).size()
    years: dict[str, dict[int, int]] = {}
    for (name, year), count in cast(dict[tuple[str, int], int], counts.to_dict()).items():
        years.setdefault(name, {})[year] = count
    filled: Counter[int] = Counter()
    chosen = set()
    for name in sorted(years, key=lambda name: hashlib.sha256(name.encode()).digest()):
        if all(filled[year] + count <= _MOST_A_YEAR for year, count in years[name].items()):
            filled.update(years[name])
            chosen.add(name)
    return chosen


def _ranks(works: pd.DataFrame) -> "pd.Series[Any]":
    """Give each horse a rank by all that it did, so that nothing follows from a name.

    The first work decides, and where two horses did the same there, the next one; so that the
    others keep their order whoever is left out.
    """
    what = [column for column in STRING_FIELDS if column != "horse"]
    ranks = works.groupby(what, dropna=False).ngroup()
    done: dict[str, list[int]] = {}
    for rank, name in sorted(zip(ranks.tolist(), works["horse"].tolist(), strict=True)):
        done.setdefault(name, []).append(rank)
    order = sorted(done, key=lambda name: done[name])
    return works["horse"].map({name: place for place, name in enumerate(order)})
