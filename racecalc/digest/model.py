"""What a month of one horse comes to: plain numbers, each with its unit, count, caveat and sources.

Every number that a report may print is a `Number` somewhere inside a `Digest`, and has a dotted
name that stays the same from month to month; `Digest.numbers` walks them all.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from typing import Any

from racecalc.daybook import Barn

__all__ = [
    "KIND_UNITS",
    "Day",
    "Digest",
    "Footing",
    "Ground",
    "Horse",
    "Measure",
    "Missing",
    "Month",
    "Number",
    "Quickest",
    "Race",
    "Reading",
    "Section",
    "Swing",
    "Target",
    "TrackLog",
    "Work",
    "WorkTotals",
]

# How a kind of number is measured. The printed form of a kind is decided in `racecalc.words`.
KIND_UNITS = {
    "count": "1",
    "distance": "m",
    "ground": "m",
    "day_ground": "m",
    "clock": "s",
    "split": "s",
    "seconds": "s",
    "pace": "s/furlong",
    "speed": "m/s",
    "threshold": "m/s",
    "height": "m",
    "height_change": "m",
    "weight": "kg",
    "height_noise": "m",
    "weight_change": "kg",
    "weight_noise": "kg",
    "moisture": "%",
    "depth": "m",
    "rain": "mm",
}


@dataclass(frozen=True)
class Number:
    """One number: a stable dotted name, a value in SI, and where it comes from.

    ``n`` counts the records of the daybook behind it; ``made_by`` is the function that computed it.
    """

    name: str
    value: float
    kind: str
    made_by: str
    n: int
    sources: tuple[str, ...] = ()
    caveat: str | None = None

    @property
    def unit(self) -> str:
        """The unit of ``value``."""
        return KIND_UNITS[self.kind]


@dataclass(frozen=True)
class Horse:
    """Who the report is about."""

    id: str
    name: str
    sex: str | None
    colour: str | None
    foaled_year: int | None
    arrived: date | None
    left: date | None


@dataclass(frozen=True)
class Month:
    """A calendar month, first and last day included."""

    key: str
    first: date
    last: date


@dataclass(frozen=True)
class Section:
    """The ground between two clocked poles, and the running clock at its end.

    ``colour`` is that of the pole at the end; missing at the finish and at metric poles.
    """

    pole: str
    colour: str | None
    distance_m: float
    whole_furlong: bool
    gallop_out: bool
    time: Number
    clock: Number
    pace_s: float
    pace_error_s: float


@dataclass(frozen=True)
class Quickest:
    """How far a work beat all earlier ones of its distance, start and footing at its track.

    There is one only where that is more than the error of the clock. ``asked_more`` tells that the
    effort asked for was above that of every earlier one.
    """

    earlier_works: Number
    margin: Number
    asked_more: bool


@dataclass(frozen=True)
class Work:
    """One work. Without a clock it has a distance only."""

    id: str
    day: date
    track: str
    manner: str | None
    effort: str | None
    from_gate: bool
    state: str | None
    distance: Number
    time: Number | None
    pace: Number | None
    speed: Number | None
    sections: tuple[Section, ...]
    quickest: Quickest | None
    note: str | None


@dataclass(frozen=True)
class WorkTotals:
    """How many works, and how far they went together."""

    count: Number
    distance: Number


@dataclass(frozen=True)
class Ground:
    """Ground covered in a span of days, by activity and by speed."""

    label: str
    first: date
    last: date
    by_activity: dict[str, Number]
    by_speed: dict[str, Number]


@dataclass(frozen=True)
class Day:
    """One day of the month as the picture shows it.

    ``record`` is ``out`` (the horse moved), ``off`` (the book says rest) or ``blank`` (nothing was
    written down). ``aside`` names what the horse did on a day out without ground in the picture.
    """

    day: date
    record: str
    ground: dict[str, Number]
    aside: str | None
    works: tuple[str, ...]
    state: str | None
    rain: Number | None


@dataclass(frozen=True)
class Reading:
    """One measurement on one day, with the way it was taken."""

    day: date
    method: str | None
    shod: bool | None
    number: Number


@dataclass(frozen=True)
class Swing:
    """The reading of the month that lay furthest, and really, from the one before the month."""

    day: date
    change: Number


@dataclass(frozen=True)
class Measure:
    """A body measurement over time.

    ``day``, ``method`` and ``shod`` belong to ``latest``, the newest reading of all.
    ``change`` compares it with an earlier reading taken the same way; ``real`` tells
    whether the change is larger than ``noise``, and is missing where nothing can be compared or
    the way of measuring is too coarse to tell. ``swing`` is a real change that came and went.
    """

    what: str
    readings: tuple[Reading, ...]
    count: Number
    latest: Number
    day: date
    method: str | None
    shod: bool | None
    change: Number | None
    since: date | None
    noise: Number | None
    real: bool | None
    swing: Swing | None


@dataclass(frozen=True)
class Footing:
    """Entries of a track's log, one after another, that name one state.

    ``moisture`` and ``cushion`` are the lowest and the highest logged.
    """

    first: date
    last: date
    state: str | None
    entries: Number
    rain: Number | None
    moisture: tuple[Number, Number] | None
    cushion: tuple[Number, Number] | None


@dataclass(frozen=True)
class TrackLog:
    """The month at one track that the horse used."""

    track: str
    name: str
    surface: str
    lap: Number
    footing: tuple[Footing, ...]
    states: dict[str, Number]
    upkeep: dict[str, Number]
    rain: Number | None
    notes: tuple[tuple[date, str], ...]


@dataclass(frozen=True)
class Race:
    """A race that was run."""

    day: date
    distance: Number | None
    time: Number | None
    track: str | None


@dataclass(frozen=True)
class Missing:
    """Something that the report cannot show: what, how often, and where."""

    what: str
    count: int = 1
    name: str = ""


@dataclass(frozen=True)
class Target:
    """A race aimed at."""

    day: date
    distance: Number
    track: str | None
    what: str | None
    note: str | None


@dataclass(frozen=True)
class Digest:
    """One horse, one month."""

    horse: Horse
    barn: Barn
    month: Month
    works: tuple[Work, ...]
    races: tuple[Race, ...]
    test_days: tuple[date, ...]
    remarks: tuple[tuple[date, str], ...]
    works_month: WorkTotals
    works_last_month: WorkTotals
    days: tuple[Day, ...]
    days_out: Number
    days_off: Number
    days_blank: Number
    ground: tuple[Ground, ...]
    clock_error: Number
    fast_speed: Number
    fast_limit: Number
    usual_fast: tuple[Number, Number] | None
    height: Measure | None
    weight: Measure | None
    tracks: tuple[TrackLog, ...]
    home_track: str | None
    targets: tuple[Target, ...]
    recorded: bool
    missing: tuple[Missing, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    last_record: date | None
    data_hash: str

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the digest, in the order in which it stands there.

        Names are unique: where the book gives two numbers one name, as two races aimed at on one
        day, the second ends in ``.2``.
        """
        return tuple(_named_apart(_numbers_in(self)))


def _named_apart(numbers: Iterator[Number]) -> Iterator[Number]:
    taken: set[str] = set()
    for number in numbers:
        name, times = number.name, 1
        while name in taken:
            times += 1
            name = f"{number.name}.{times}"
        taken.add(name)
        yield number if times == 1 else replace(number, name=name)


def _numbers_in(value: Any) -> Iterator[Number]:
    if isinstance(value, Number):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from _numbers_in(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from _numbers_in(item)
    elif is_dataclass(value):
        for entry in fields(value):
            yield from _numbers_in(getattr(value, entry.name))
