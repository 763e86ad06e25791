"""Measurements of one horse over time, each way of taking them apart."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from statistics import median
from typing import Any

import pandas as pd

from racecalc.errors import OutOfRangeError

__all__ = [
    "SHOE_ALLOWANCE_M",
    "SHOE_ERROR_M",
    "Reading",
    "Series",
    "age_years",
    "barefoot",
    "latest",
    "series",
    "shoes_add",
]

SHOE_ALLOWANCE_M = 0.010
"""What shoes add to a height, in metres: the one published allowance, of a rule for ponies."""

SHOE_ERROR_M = 0.004
"""How far shoes may lie from that: common practice speaks of a quarter to half an inch."""

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
    ``adjusted`` tells of a height with shoes from which their allowance was taken.
    """

    day: date
    value: float
    by: str | None = None
    n: int = 1
    adjusted: bool = False


@dataclass(frozen=True)
class Series:
    """Measurements of one thing taken one way, oldest first.

    ``shod`` is kept for heights only, ``by`` for condition only, which each person sees otherwise.
    """

    what: str
    method: str | None
    shod: bool | None
    unit: str
    readings: tuple[Reading, ...]
    by: str | None = None

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
    shoes (or where nothing is said of shoes), nor the condition as two people score it.

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
    ways: dict[tuple[str | None, bool | None, str | None], list[dict[Hashable, Any]]] = {}
    for row in own.to_dict("records"):
        shod = _known(row["shod"]) if what == "height" else None
        scorer = _known(row.get("by")) if what == "condition" else None
        ways.setdefault((_known(row["method"]), shod, scorer), []).append(row)
    found = [
        Series(what, method, shod, _UNITS[what], _daily(rows), scorer)
        for (method, shod, scorer), rows in ways.items()
    ]
    return sorted(found, key=_newest_first)


def barefoot(found: Iterable[Series], allowance_m: float = SHOE_ALLOWANCE_M) -> list[Series]:
    """Bring heights of one method to one basis, barefoot, the most recently used method first.

    A height with shoes is lowered by the allowance and marked ``adjusted``. Of a day on which the
    horse was measured both ways, the barefoot height stands. Heights of unknown shoes stay apart.

    Parameters
    ----------
    found : iterable of Series
        Heights, as `series` returns them.
    allowance_m : float
        What shoes add, in metres.

    References
    ----------
    fei_pony_height (148 cm unshod, 149 cm shod), practice_shoe_allowance (a quarter to half an
    inch).
    """
    found = list(found)
    joined = [one for one in found if one.shod is None]
    for method in dict.fromkeys(one.method for one in found if one.shod is not None):
        own = [one for one in found if one.method == method and one.shod is not None]
        days = {
            reading.day: replace(reading, value=reading.value - allowance_m, adjusted=True)
            for one in own
            if one.shod
            for reading in one.readings
        }
        days |= {reading.day: reading for one in own if not one.shod for reading in one.readings}
        readings = tuple(days[day] for day in sorted(days))
        joined.append(Series("height", method, False, _UNITS["height"], readings))
    return sorted(joined, key=_newest_first)


def shoes_add(found: Iterable[Series]) -> tuple[float, int] | None:
    """Return what shoes added to the horse's own heights, in metres, and on how many days.

    It is the median difference between heights of one day and method, with and without shoes; None
    where there is no such day. What the farrier took off the hoof in between counts against it.
    """
    by_way = {(one.method, one.shod): one for one in found}
    pairs = [
        shod.value - bare.value
        for (method, with_shoes), one in by_way.items()
        if with_shoes and (method, False) in by_way
        for shod in one.readings
        for bare in by_way[method, False].readings
        if bare.day == shod.day
    ]
    return (median(pairs), len(pairs)) if pairs else None


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


def _newest_first(one: Series) -> tuple[int, int, str]:
    """Order by newest reading, then length; the rest only makes the order independent of rows."""
    way = f"{one.method} {one.shod} {one.by}"
    return -one.last.day.toordinal(), -len(one.readings), way


def _known(value: Any) -> Any:
    return None if _missing(value) or value == "" else value


def _missing(value: Any) -> bool:
    return bool(pd.isna(value))
