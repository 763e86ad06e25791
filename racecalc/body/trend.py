"""Whether readings go one way over weeks, by a line that single odd readings do not bend."""

from dataclasses import dataclass
from datetime import date
from statistics import median

from scipy.stats import theilslopes

from racecalc.body.change import noise
from racecalc.body.series import Reading, Series

__all__ = ["FEWEST_READINGS", "Trend", "trend"]

FEWEST_READINGS = 6
"""A trend asks for at least so many days with a reading: our choice."""

_FEWEST_DAYS = 28

# Readings that turned round follow no line. Those of a straight course lie off it by a quarter of
# the limit in the middle (0.674 of a standard error; the limit is 2.77); half of it is our choice.
_STRAIGHT = 0.5


@dataclass(frozen=True)
class Trend:
    """The course of a series over a span of days.

    ``slope``, ``low`` and ``high`` are the change a day and the ends of its interval (95 of 100);
    ``total`` what the line changed by from the first to the last of the ``readings``. ``limit`` is
    how far two readings of an unchanged horse may lie apart. ``straight`` tells whether the
    readings follow a line at all. ``real`` tells whether they do, the interval leaves out zero and
    the total is beyond that limit; None where the limit is not known.
    """

    readings: tuple[Reading, ...]
    slope: float
    low: float
    high: float
    intercept: float
    limit: float | None
    straight: bool
    real: bool | None
    source_keys: tuple[str, ...]

    @property
    def days(self) -> int:
        """How many days the readings span."""
        return (self.readings[-1].day - self.readings[0].day).days

    @property
    def total(self) -> float:
        """By how much the line changed."""
        return self.slope * self.days

    def at(self, day: date) -> float:
        """Return the value of the line on a day."""
        return self.intercept + self.slope * (day - self.readings[0].day).days


def trend(readings: Series, since: date, until: date) -> Trend | None:
    """Return the median slope of a series between two days, and whether it is a real change.

    Parameters
    ----------
    readings : Series
        The series.
    since, until : date
        First and last day, both included.

    Returns
    -------
    Trend or None
        None where there are fewer than six days with a reading, or they span fewer than 28 days.

    Notes
    -----
    The slope is the median of the slopes between all pairs of readings, its interval that of Sen;
    both take the readings to err independently. Swings of several weeks break that, and the
    interval is then too narrow: hence the second condition, that the whole change is one that two
    readings alone would show.

    References
    ----------
    sen_1968.
    """
    kept = tuple(one for one in readings.readings if since <= one.day <= until)
    if len(kept) < FEWEST_READINGS or (kept[-1].day - kept[0].day).days < _FEWEST_DAYS:
        return None
    days = [(one.day - kept[0].day).days for one in kept]
    found = theilslopes([one.value for one in kept], days, alpha=0.95, method="joint")
    error = noise(readings, kept[0], kept[-1])
    total = abs(float(found.slope) * days[-1])
    sure = bool(found.low_slope > 0 or found.high_slope < 0)
    off = [
        abs(one.value - found.intercept - found.slope * day)
        for one, day in zip(kept, days, strict=True)
    ]
    straight = error.limit is None or median(off) <= _STRAIGHT * error.limit
    return Trend(
        readings=kept,
        slope=float(found.slope),
        low=float(found.low_slope),
        high=float(found.high_slope),
        intercept=float(found.intercept),
        limit=error.limit,
        straight=straight,
        real=None if error.limit is None else straight and sure and total > error.limit,
        source_keys=("sen_1968", *error.source_keys),
    )
