"""Spans of days, and the ground covered in one by activity and by speed."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError

__all__ = ["added", "between_days", "by_speed", "last_days", "month_bounds", "totals", "unmeasured"]

FloatArray = npt.NDArray[np.float64]

_SPEED_CLASSES = ("fast", "slower", "untimed")

# Tables count days in nanoseconds, which reach from 1678 to 2262.
_FIRST_YEAR, _LAST_YEAR = 1700, 2200


def between_days(table: pd.DataFrame, first_day: date, last_day: date) -> pd.DataFrame:
    """Return the rows of a table with a ``date`` in a span of days, first and last day included."""
    days = table["date"].to_numpy(dtype="datetime64[ns]")
    ends = np.array([first_day, last_day], dtype="datetime64[D]").astype("datetime64[ns]")
    inside = np.flatnonzero((days >= ends[0]) & (days <= ends[1]))
    # Most tables are in the order of their days, and rows that follow one another are not copied.
    if len(inside) and inside[-1] - inside[0] == len(inside) - 1:
        return table.iloc[inside[0] : inside[-1] + 1]
    return table.iloc[inside]


def added(
    metres: Sequence[float] | FloatArray, to: Sequence[str] | npt.NDArray[Any]
) -> dict[str, float]:
    """Add up metres by what they belong to, in the order of the alphabet."""
    sums = pd.Series(metres, dtype=np.float64).groupby(np.asarray(to, dtype=object)).sum()
    return {str(name): float(total) for name, total in sums.items()}


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
    inside = between_days(ground, first_day, last_day)
    metres = inside["distance_m"].to_numpy(dtype=np.float64)
    known = ~np.isnan(metres)
    return added(metres[known], inside["activity"].to_numpy(dtype=object)[known])


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
    inside = between_days(ground, first_day, last_day)
    ran = inside["activity"].to_numpy(dtype=object) != "swim"
    metres, classes = (inside[name].to_numpy()[ran] for name in ("distance_m", "speed_class"))
    sums = added(metres, classes)
    return {name: sums.get(name, 0.0) for name in _SPEED_CLASSES}


def unmeasured(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, int]:
    """Count the rows of each activity whose distance is not known, first and last day included."""
    inside = between_days(ground, first_day, last_day)
    unknown = inside[inside["distance_m"].isna()]
    return {str(name): int(count) for name, count in unknown.groupby("activity").size().items()}


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
