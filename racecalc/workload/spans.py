"""Spans of days, and the ground covered in one by activity and by speed."""

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError

__all__ = [
    "added",
    "between_days",
    "by_speed",
    "inside",
    "last_days",
    "month_bounds",
    "totals",
    "unmeasured",
]

_SPEED_CLASSES = ("fast", "slower", "untimed")

# Tables count days in nanoseconds, which reach from 1678 to 2262.
_FIRST_YEAR, _LAST_YEAR = 1700, 2200


def between_days(table: pd.DataFrame, first_day: date, last_day: date) -> pd.DataFrame:
    """Return the rows of a table with a ``date`` in a span of days, first and last day included."""
    return table.iloc[_inside(table, first_day, last_day)]


def _inside(table: pd.DataFrame, first_day: date, last_day: date) -> slice | npt.NDArray[np.intp]:
    return inside(table["date"].to_numpy(dtype="datetime64[ns]"), first_day, last_day)


def inside(
    days: npt.NDArray[np.datetime64], first_day: date, last_day: date
) -> slice | npt.NDArray[np.intp]:
    """Return the places of those days that lie in a span, first and last day included."""
    ends = np.array([first_day, last_day], dtype="datetime64[D]").astype("datetime64[ns]")
    places = np.flatnonzero((days >= ends[0]) & (days <= ends[1]))
    # Most tables are in the order of their days, and rows that follow one another are not copied.
    if len(places) and places[-1] - places[0] == len(places) - 1:
        return slice(int(places[0]), int(places[-1]) + 1)
    return places


def added(metres: Iterable[float], to: Iterable[str]) -> dict[str, float]:
    """Add up metres by what they belong to, in the order of the alphabet."""
    pieces: dict[str, list[float]] = {}
    for piece, name in zip(metres, to, strict=True):
        pieces.setdefault(name, []).append(piece)
    return {name: _sum(pieces[name]) for name in sorted(pieces)}


def _sum(pieces: Iterable[float]) -> float:
    """Add up by Kahan's rule, as pandas does: printed figures may hang on the last bit of a sum."""
    total = lost = 0.0
    for piece in pieces:
        added_now = piece - lost
        higher = total + added_now
        lost = higher - total - added_now
        total = higher
    return total


def totals(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, float]:
    """Return the metres covered in each activity, first and last day included.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`.
    first_day, last_day : date
        First and last day.

    Returns
    -------
    dict
        Metres by activity, in the order of the alphabet. An activity of which no distance is known
        is left out; `unmeasured` counts such rows.
    """
    rows = _inside(ground, first_day, last_day)
    metres = ground["distance_m"].to_numpy(dtype=np.float64)[rows]
    known = ~np.isnan(metres)
    return added(metres[known].tolist(), ground["activity"].to_numpy(dtype=object)[rows][known])


def by_speed(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, float]:
    """Return the metres covered in each speed class, first and last day included.

    Swimming carries no weight over ground and is left out; ground galloped out is in.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`.
    first_day, last_day : date
        First and last day.

    Returns
    -------
    dict
        Metres ``fast``, ``slower`` and ``untimed``.
    """
    rows = _inside(ground, first_day, last_day)
    metres = ground["distance_m"].to_numpy(dtype=np.float64)[rows]
    classes = ground["speed_class"].to_numpy(dtype=object)[rows]
    ran = (ground["activity"].to_numpy(dtype=object)[rows] != "swim") & ~np.isnan(metres)
    return {name: _sum(metres[ran & (classes == name)].tolist()) for name in _SPEED_CLASSES}


def unmeasured(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, int]:
    """Count the rows of each activity whose distance is not known, first and last day included."""
    rows = between_days(ground, first_day, last_day)
    unknown = Counter(rows["activity"][rows["distance_m"].isna()])
    return {str(name): unknown[name] for name in sorted(unknown)}


def month_bounds(month: str) -> tuple[date, date]:
    """Return the first and the last day of a month written ``2026-10``.

    Raises
    ------
    OutOfRangeError
        If the text is no month.

    Examples
    --------
    >>> month_bounds("2026-02")
    (datetime.date(2026, 2, 1), datetime.date(2026, 2, 28))
    """
    year, _, number = month.partition("-")
    written = year.isascii() and year.isdigit() and number.isascii() and number.isdigit()
    if not (written and len(year) == 4 and len(number) == 2):
        raise OutOfRangeError(f"month {month!r}: write year and month, as 2026-10")
    if not (1 <= int(number) <= 12 and _FIRST_YEAR <= int(year) <= _LAST_YEAR):
        raise OutOfRangeError(
            f"month {month!r}: write a month from 01 to 12 of the years {_FIRST_YEAR} to "
            f"{_LAST_YEAR}, as 2026-10"
        )
    first = date(int(year), int(number), 1)
    next_month = (first + timedelta(days=31)).replace(day=1)
    return first, next_month - timedelta(days=1)


def last_days(day: date, count: int) -> tuple[date, date]:
    """Return the first and the last of the ``count`` days that end with ``day``.

    Raises
    ------
    OutOfRangeError
        If the count is not at least one.
    """
    if count < 1:
        raise OutOfRangeError(f"{count} days: give a count of at least one")
    return day - timedelta(days=count - 1), day
