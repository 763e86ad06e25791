"""How much ground, how fast and how often: what the load of one horse comes to."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.number import Number

__all__ = ["Load", "LoadPoint", "LoadSpan", "Since", "SpeedClass", "Strides", "Week"]


@dataclass(frozen=True)
class SpeedClass:
    """A class of speed, from ``low`` up to ``high``; one of them is missing at either end.

    ``fast`` tells whether all of it is fast; ``walked`` whether it is that of walk and jog.
    """

    low: Number | None
    high: Number | None
    fast: bool
    walked: bool


@dataclass(frozen=True)
class Week:
    """Seven days of ground.

    ``ground`` holds the metres of each class that there are any of, by its number, the slowest 0;
    ``days`` is what was the most of each day: ``race``, ``work``, ``test``, ``gallop``, ``light``,
    ``other``, ``off``, ``blank`` (no entry) or ``away``.
    """

    first: date
    last: date
    ground: dict[int, Number]
    days: tuple[str, ...]


@dataclass(frozen=True)
class Strides:
    """How often each foot came down in 30 days at canter and quicker: likely, and its ends."""

    low: Number
    middle: Number
    high: Number


@dataclass(frozen=True)
class LoadSpan:
    """Ground by class of speed over the days to the last one; ``ground`` as in `Week`.

    ``unknown`` is ground of which no speed is known, as of a work that nobody timed.
    """

    label: str
    first: date
    last: date
    ground: dict[int, Number]
    unknown: Number | None


@dataclass(frozen=True)
class LoadPoint:
    """Fast ground over the 30 days that end with ``day``."""

    day: date
    fast: Number


@dataclass(frozen=True)
class Since:
    """The newest day with a work or a race that held fast ground, and how long ago it was."""

    day: date
    what: str
    days: Number


@dataclass(frozen=True)
class Load:
    """The load of one horse up to a day.

    ``estimated`` is the ground whose class comes from the usual speed of its activity, because
    nobody timed it; ``published`` an amount of fast ground in 30 days that a study tells of, where
    the horse comes near it.
    """

    last: date
    classes: tuple[SpeedClass, ...]
    weeks: tuple[Week, ...]
    spans: tuple[LoadSpan, ...]
    line: tuple[LoadPoint, ...]
    since: Since | None
    strides: Strides | None
    estimated: Number | None
    published: Number | None
