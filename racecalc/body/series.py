"""Measurements of one horse over time, each way of taking them apart."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import Any

import pandas as pd

from racecalc.errors import OutOfRangeError

__all__ = ["Reading", "Series", "age_years", "latest", "series"]

_UNITS = {
    "height": "m",
    "girth": "m",
    "length": "m",
    "cannon": "m",
    "weight": "kg",
    "temperature": "°C",
    "pulse": "beats/min",
    "condition": "score",
}


@dataclass(frozen=True)
class Reading:
    """The measurement of one day: the median of that day's readings taken the same way.

    ``by`` names who took them, where the table says so and it was one person; ``n`` counts them.
    """

    day: date
    value: float
    by: str | None = None
    n: int = 1


@dataclass(frozen=True)
class Series:
    """Measurements of one thing taken one way, oldest first; ``shod`` is kept for heights only."""

    what: str
    method: str | None
    shod: bool | None
    unit: str
    readings: tuple[Reading, ...]

    @property
    def dates(self) -> tuple[date, ...]:
        """The days, oldest first."""
        return tuple(reading.day for reading in self.readings)

    @property
    def values(self) -> tuple[float, ...]:
        """The values, in ``unit``, oldest first."""
        return tuple(reading.value for reading in self.readings)

    @property
    def last(self) -> Reading:
        """The newest reading."""
        return self.readings[-1]


def age_years(foaled: Any, foaled_year: float | None, on: date) -> int | None:
    """Return a horse's age in years as racing counts it: all turn a year older on 1 January.

    Parameters
    ----------
    foaled : date, Timestamp or NaT
        Day of foaling, if known.
    foaled_year : float or None
        Year of foaling, used when the day is unknown.
    on : date
        The day of the report.

    Returns
    -------
    int or None
        None when the year is unknown, or lies after ``on``.

    Notes
    -----
    This is the count of the northern hemisphere.

    References
    ----------
    practice_racing_age.

    Examples
    --------
    >>> age_years(date(2024, 5, 20), None, date(2026, 1, 1))
    2
    """
    year = foaled_year if _missing(foaled) else foaled.year
    if year is None or _missing(year) or int(year) > on.year:
        return None
    return on.year - int(year)


def series(measurements: pd.DataFrame, what: str) -> list[Series]:
    """Return the series of one kind of measurement of one horse, the most recently used one first.

    Readings taken by different methods are never put in one series, nor heights with and without
    shoes (or where nothing is said of shoes).

    Parameters
    ----------
    measurements : DataFrame
        ``date``, ``what``, ``value``, ``method``, ``shod`` and, if kept, ``by`` and ``horse``; rows
        in any order.
    what : str
        ``height``, ``weight``, ``girth``, ``length``, ``cannon``, ``condition``, ``temperature`` or
        ``pulse``.

    Raises
    ------
    OutOfRangeError
        If ``what`` is none of these, or the rows are of more than one horse.
    """
    if what not in _UNITS:
        raise OutOfRangeError(f"measurement {what!r}: write one of {', '.join(_UNITS)}")
    own = measurements[(measurements["what"] == what) & measurements["value"].notna()]
    if "horse" in own and own["horse"].nunique() > 1:
        raise OutOfRangeError(f"{what} of {own['horse'].nunique()} horses; select one horse's rows")
    ways: dict[tuple[str | None, bool | None], list[dict[Hashable, Any]]] = {}
    for row in own.to_dict("records"):
        shod = _known(row["shod"]) if what == "height" else None
        ways.setdefault((_known(row["method"]), shod), []).append(row)
    found = [
        Series(what, method, shod, _UNITS[what], _daily(rows))
        for (method, shod), rows in ways.items()
    ]
    return sorted(found, key=_newest_first)


def latest(found: Iterable[Series]) -> Series | None:
    """Return the series with the newest reading, the longer one of two; None if there is none."""
    return min(found, key=_newest_first, default=None)


def _daily(rows: list[dict[Hashable, Any]]) -> tuple[Reading, ...]:
    days: dict[date, list[dict[Hashable, Any]]] = {}
    for row in rows:
        days.setdefault(row["date"].date(), []).append(row)
    readings = []
    for day in sorted(days):
        people = {_known(row.get("by")) for row in days[day]}
        value = median(float(row["value"]) for row in days[day])
        by = people.pop() if len(people) == 1 else None
        readings.append(Reading(day, value, by, len(days[day])))
    return tuple(readings)


def _newest_first(one: Series) -> tuple[int, int, str, str]:
    """Order by newest reading, then length; the rest only makes the order independent of rows."""
    return -one.last.day.toordinal(), -len(one.readings), str(one.method), str(one.shod)


def _known(value: Any) -> Any:
    return None if _missing(value) or value == "" else value


def _missing(value: Any) -> bool:
    return bool(pd.isna(value))
