"""What a horse's measurements come to: each number with its error, and whether a change is real."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.number import Number

__all__ = ["Compared", "Measure", "OffDay", "Reading", "Swing", "Trend", "Vital", "VitalReading"]


@dataclass(frozen=True)
class Reading:
    """One measurement on one day, with the way it was taken.

    ``adjusted`` tells of a height with shoes that was brought to barefoot; ``scorer`` of condition
    who saw it, so that two are not joined. It is not printed.
    """

    day: date
    method: str | None
    shod: bool | None
    adjusted: bool
    scorer: str | None
    number: Number


@dataclass(frozen=True)
class Swing:
    """The reading of the month that lay furthest, and really, from the one before the month."""

    day: date
    change: Number


@dataclass(frozen=True)
class Trend:
    """Where readings of some weeks went together.

    ``total`` is the change of a line through all of them from ``first`` to ``last``, with the ends
    of its interval; ``rate`` the same a month or, for what changes slowly, a year,
    told in the body report only. ``begin``
    and ``end`` are the line's ends. ``real`` tells whether the total is a change beyond doubt, and
    is missing where the error of measuring is not known.
    """

    first: date
    last: date
    begin: float
    end: float
    count: Number
    total: Number
    low: Number
    high: Number
    rate: Number | None
    by_year: bool
    real: bool | None


@dataclass(frozen=True)
class Compared:
    """A newest reading against an earlier one taken the same way.

    ``begin`` is the earlier reading; between ``low`` and ``high`` nothing has changed. ``noise`` is
    the limit of measuring error and ``real`` whether the change is beyond it; all are missing where
    the error is not known, or too coarse to tell.
    """

    since: date
    begin: float
    low: float | None
    high: float | None
    change: Number
    noise: Number | None
    real: bool | None
    coarse: bool


@dataclass(frozen=True)
class Measure:
    """A body measurement over time.

    ``readings``, and ``count`` of them, are those of the picture; none where there is no picture.
    ``day``, ``method``, ``shod``, ``adjusted`` and ``scorer`` belong to ``latest``, the newest
    reading of all (a scale stands before a newer tape or guess); heights with and without shoes are
    brought to barefoot. ``against`` compares it with an earlier reading taken the same way, if
    there is one; ``swing`` is a real change that came and went; ``trend`` follows the newest way of
    measuring over weeks. ``own`` counts the horse's own readings from which the error was learned;
    it is missing where the error is a published one.
    """

    what: str
    readings: tuple[Reading, ...]
    count: Number | None
    latest: Number
    day: date
    method: str | None
    shod: bool | None
    adjusted: bool
    scorer: str | None
    against: Compared | None
    swing: Swing | None
    trend: Trend | None
    own: Number | None


@dataclass(frozen=True)
class VitalReading:
    """One reading of temperature or pulse."""

    day: date
    number: Number


@dataclass(frozen=True)
class OffDay:
    """A day with a temperature or pulse off the horse's normal.

    ``side`` is ``above`` or ``below``; ``own`` tells of the horse's own normal, ``published`` of
    the published range.
    """

    day: date
    number: Number
    side: str
    own: bool
    published: bool


@dataclass(frozen=True)
class Vital:
    """Temperature or pulse over a span of days.

    ``usual`` is the median of the horse's own readings of late, ``low`` and ``high`` its own
    normal, missing where the readings are too few; ``published`` the upper end of the published
    range. ``first`` is the day of the first reading, ``off_days`` are the days of ``off``, and
    ``is_off`` tells of the newest reading. ``readings`` are told in the body report only.
    """

    what: str
    count: Number
    latest: Number
    day: date
    usual: Number | None
    low: Number | None
    high: Number | None
    published: Number
    first: date
    off: tuple[OffDay, ...]
    off_days: tuple[date, ...]
    is_off: bool
    readings: tuple[VitalReading, ...]
