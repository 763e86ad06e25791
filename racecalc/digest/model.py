"""What a month of one horse comes to: plain numbers, each with its unit, count, caveat and sources.

Every number that a report may print is a `Number` somewhere inside a `Digest`, and has a dotted
name that stays the same from month to month; `Digest.numbers` walks them all.
"""

from dataclasses import dataclass
from datetime import date

from racecalc.daybook import Barn
from racecalc.digest.body_model import Measure, Vital
from racecalc.digest.fitness_model import Asked, FitnessTest
from racecalc.digest.gait_model import GaitInShort
from racecalc.digest.load_model import Load
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.outlook_model import NextInShort
from racecalc.digest.work_model import LinePoint, Work

__all__ = [
    "Day",
    "Digest",
    "Footing",
    "Ground",
    "Horse",
    "Missing",
    "Month",
    "Race",
    "Target",
    "TrackLog",
    "WorkTotals",
]


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
class Footing:
    """Entries of a track's log, one after another, that name one state.

    ``moisture`` (by its method: ``volume``, ``mass``, or blank where the log does not say) and
    ``cushion`` are the lowest and the highest logged.
    """

    first: date
    last: date
    state: str | None
    entries: Number
    rain: Number | None
    moisture: dict[str, tuple[Number, Number]]
    cushion: tuple[Number, Number] | None


@dataclass(frozen=True)
class TrackLog:
    """The month at one track that the horse used.

    ``no_work`` counts entries with a state on which the barn does not work; missing where none is.
    """

    track: str
    name: str
    surface: str
    lap: Number
    footing: tuple[Footing, ...]
    states: dict[str, Number]
    upkeep: dict[str, Number]
    no_work: Number | None
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
    """One horse, one month.

    ``line`` is the horse's line over works like the month's newest timed one; ``test`` the newest
    exercise test, in short, where it is not older than half a year. ``worked_on`` counts the
    month's works by the state of the surface (blank where it was not said). ``gaits`` are the
    newest films of the month, and ``gaits_older`` counts those before. ``next_work`` is told of the
    newest month only.
    """

    horse: Horse
    barn: Barn
    month: Month
    works: tuple[Work, ...]
    line: tuple[LinePoint, ...]
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
    load: Load | None
    test: FitnessTest | None
    asked: tuple[Asked, ...]
    height: Measure | None
    weight: Measure | None
    condition: Measure | None
    temperature: Vital | None
    pulse: Vital | None
    gaits: tuple[GaitInShort, ...]
    gaits_older: int
    tracks: tuple[TrackLog, ...]
    home_track: str | None
    targets: tuple[Target, ...]
    worked_on: dict[str, Number]
    next_work: NextInShort | None
    recorded: bool
    missing: tuple[Missing, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    last_record: date | None
    data_hash: str

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the digest, as `numbers_in` orders and names them."""
        return numbers_in(self)
