"""Temperature and pulse at rest, against a horse's own readings first and a published range second.

What is found is a reason to read again and, if it stays, to call the vet: never a diagnosis. A
horse that is dull, off its feed or coughing needs the vet whatever its figures are. Readings are
best taken at one hour, before work, as both rise with heat, work and excitement.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Literal

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.units import celsius

__all__ = [
    "PUBLISHED_RANGES",
    "USUAL_DAYS",
    "OffDay",
    "PublishedRange",
    "Usual",
    "days_off",
    "usual",
]

FloatArray = npt.NDArray[np.float64]

USUAL_DAYS: Mapping[str, int] = MappingProxyType({"temperature": 60, "pulse": 120})
"""How many days back readings make limits of a horse's own: our choice, as no source has any. The
pulse is counted once a week in many barns, and must come to ten readings as well."""

# Our own choices likewise: how many readings make such limits, and how many standard deviations
# off the median they are.
_FEWEST = 10
_DEVIATIONS = 3.5
# The median absolute deviation of normal readings, times this, is their standard deviation (r_mad).
_NORMAL = 1.4826
# The limits lie at least this far off the median (own choice): a thermometer tells tenths, and a
# pulse counted for 15 seconds goes in steps of four.
_FLOORS = {"temperature": 0.5, "pulse": 8.0}
# What a thermometer or a hand can have read at all, and how to write it.
_POSSIBLE = {
    "temperature": (30.0, 45.0, "write it in °C, such as 37.6"),
    "pulse": (10.0, 260.0, "write beats in a minute, such as 36"),
}
# Readings are in tenths or whole beats: what lies on a limit but for rounding is not off.
_ROUNDING = 1e-9


@dataclass(frozen=True)
class PublishedRange:
    """What was printed for grown horses at rest, and whether below ``low`` says anything at all."""

    low: float
    high: float
    low_counts: bool
    source_keys: tuple[str, ...]


# temperature: the range of 41 horses begins lower, at 36.0, and ends lower, at 38.0, than what vets
#   print; the outer ends are kept, so that fewer days are called off. 101.5 F is 38.6 degrees C.
# pulse: 28 is what a fit racehorse may have or be under, so that no pulse is called low by it.
PUBLISHED_RANGES: Mapping[str, PublishedRange] = MappingProxyType(
    {
        "temperature": PublishedRange(
            36.0, celsius(101.5), True, ("hall_2019", "vital_signs_by_vets")
        ),
        "pulse": PublishedRange(28.0, 44.0, False, ("fit_racehorse_pulse", "vital_signs_by_vets")),
    }
)
"""The published range of each kind."""


@dataclass(frozen=True)
class Usual:
    """What is usual for a horse: median and limits of its own, of ``n`` readings.

    The limits are None with fewer than ten readings, the median with none.
    """

    median: float | None
    low: float | None
    high: float | None
    n: int


@dataclass(frozen=True)
class OffDay:
    """A reading outside the horse's ``own`` limits, the ``published`` range, or both."""

    day: date
    value: float
    side: Literal["above", "below"]
    own: bool
    published: bool
    usual: Usual


def usual(values: npt.ArrayLike, kind: str) -> Usual:
    """Return the median of a horse's readings and limits of its own.

    Parameters
    ----------
    values : array_like
        Readings in °C or beats per minute, in any order; NaN is left out.
    kind : str
        ``temperature`` or ``pulse``.

    Returns
    -------
    Usual
        The limits lie three and a half standard deviations off the median, judged from the median
        absolute deviation, which a few days of fever do not widen; and at least 0.5 °C or 8 beats.

    Raises
    ------
    OutOfRangeError
        If the kind is neither, or a reading is none of a horse.

    Notes
    -----
    That a yard's or a horse's own range should come first is Hall's finding; these limits are our
    own choice.

    References
    ----------
    hall_2019; r_mad.

    Examples
    --------
    >>> usual([37.4, 37.6, 37.5, 37.5, 37.4, 37.5, 37.6, 37.5, 37.3, 37.5], "temperature")
    Usual(median=37.5, low=37.0, high=38.0, n=10)
    """
    return _usual(_readings(values, kind), kind)


def days_off(dates: Sequence[date], values: npt.ArrayLike, kind: str) -> list[OffDay]:
    """Return the readings that lie outside what is usual for the horse, or outside the published.

    Parameters
    ----------
    dates : sequence of date
        The day of each reading, in any order; a day may have several readings.
    values : array_like
        Readings in °C or beats per minute; NaN is left out.
    kind : str
        ``temperature`` or ``pulse``.

    Returns
    -------
    list of OffDay
        Oldest first. Each reading is judged by those of the 60 days before its own day, of the
        pulse 120: never by itself, its own day or a later one. With fewer than ten of them, only by
        the published range. A pulse is never low by that: the one of a fit horse may be.

    Raises
    ------
    OutOfRangeError
        If the kind is neither, a reading is none of a horse, or there are not as many days as
        readings.

    Notes
    -----
    A reason to read again, and to call the vet if it stays; never a diagnosis. Of the readings of
    simulated healthy horses up to 0.3 % of temperatures (scattered by 0.25 °C) and 2.4 % of pulses
    (scattered by 5 beats) were off by their own limits.

    References
    ----------
    hall_2019; vital_signs_by_vets; fit_racehorse_pulse; r_mad.

    Examples
    --------
    >>> days_off([date(2026, 5, 1)], [39.0], "temperature")[0].side
    'above'
    """
    readings = _readings(values, kind)
    if readings.ndim != 1 or len(dates) != readings.size:
        raise OutOfRangeError(
            f"{len(dates)} days and {readings.size} readings: give one day for each reading"
        )
    days = np.array([day.toordinal() for day in dates], dtype=np.intp)
    order = np.lexsort((readings, days))
    days, readings = days[order], readings[order]
    first = np.searchsorted(days, days - USUAL_DAYS[kind])
    last = np.searchsorted(days, days)
    found = []
    for place in np.flatnonzero(np.isfinite(readings)):
        earlier = _usual(readings[first[place] : last[place]], kind)
        off = _judged(int(days[place]), float(readings[place]), kind, earlier)
        if off is not None:
            found.append(off)
    return found


def _usual(readings: FloatArray, kind: str) -> Usual:
    known = readings[np.isfinite(readings)]
    if known.size == 0:
        return Usual(None, None, None, 0)
    median = float(np.median(known))
    if known.size < _FEWEST:
        return Usual(median, None, None, known.size)
    deviation = _NORMAL * float(np.median(np.abs(known - median)))
    reach = max(_DEVIATIONS * deviation, _FLOORS[kind])
    return Usual(median, median - reach, median + reach, known.size)


def _judged(ordinal: int, value: float, kind: str, earlier: Usual) -> OffDay | None:
    printed = PUBLISHED_RANGES[kind]
    own = _side(value, earlier.low, earlier.high)
    # Back from a high spell, or cool on a cold morning: no call, unless it is low for any horse.
    if own == "below" and value >= printed.low - _ROUNDING:
        own = None
    published = _side(value, printed.low if printed.low_counts else None, printed.high)
    # A horse far from the published range may lie on one side of it and on the other of its own;
    # its own comes first.
    side = own or published
    if side is None:
        return None
    return OffDay(
        date.fromordinal(ordinal), value, side, own is not None, published == side, earlier
    )


def _side(value: float, low: float | None, high: float | None) -> Literal["above", "below"] | None:
    if high is not None and value > high + _ROUNDING:
        return "above"
    if low is not None and value < low - _ROUNDING:
        return "below"
    return None


def _readings(values: npt.ArrayLike, kind: str) -> FloatArray:
    if kind not in _POSSIBLE:
        raise OutOfRangeError(f"kind {kind!r}: write one of {', '.join(_POSSIBLE)}")
    least, most, how = _POSSIBLE[kind]
    readings = np.asarray(values, dtype=np.float64)
    good = np.isnan(readings) | ((readings >= least) & (readings <= most))
    if not good.all():
        found = readings[~good].flat[0]
        raise OutOfRangeError(f"{kind} {found:g}: {how}, between {least:g} and {most:g}")
    return readings
