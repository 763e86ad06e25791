"""What exercise tests say of a horse, and where its works lay to them."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.number import Number
from racecalc.fitness import Reading, Why

__all__ = [
    "Asked",
    "FitnessTest",
    "Over",
    "Piece",
    "Recovered",
    "TestChanged",
    "TestStep",
    "Threshold",
]


@dataclass(frozen=True)
class TestChanged:
    """By how much a test differs from the one before, and by how much it must to be real.

    ``real`` is missing where no error is known.
    """

    since: date
    difference: Number
    limit: Number | None
    real: bool | None


@dataclass(frozen=True)
class Threshold:
    """A speed read from a test: at 4 mmol/l (``v4``), 200 beats (``v200``) or the highest rate.

    ``pace`` prints it as a pace, ``low`` and ``high`` are the ends of its interval; all are missing
    where it could not be read, and ``why`` tells the reason. ``reading`` is what it was made of.
    """

    what: str
    pace: Number | None
    low: Number | None
    high: Number | None
    why: Why | None
    reading: Reading
    change: TestChanged | None


@dataclass(frozen=True)
class TestStep:
    """One step of a test."""

    name: str
    speed: Number
    heart_rate: Number | None
    lactate: Number | None


@dataclass(frozen=True)
class Recovered:
    """A heart rate some minutes after the fastest step."""

    minutes: float
    beats: Number


@dataclass(frozen=True)
class FitnessTest:
    """A test of one day.

    ``recovered`` are the heart rates after the fastest step, ``recovery`` that a minute after, and
    ``recovery_change`` its difference from that of the test before; ``peak`` is the highest heart
    rate seen. ``heart_line`` and ``lactate_curve`` are points of the lines, as speeds in m/s with
    beats a minute or mmol/l.
    """

    day: date
    steps: tuple[TestStep, ...]
    v4: Threshold
    v200: Threshold
    v_peak: Threshold
    peak: Number | None
    recovered: tuple[Recovered, ...]
    recovery: Number | None
    recovery_change: Number | None
    heart_line: tuple[tuple[float, float], ...]
    lactate_curve: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Over:
    """The ground of a work above a threshold, and that which cannot be told from it."""

    above: Number | None
    at: Number | None


@dataclass(frozen=True)
class Piece:
    """A section of a work, or the whole of one without sections: pace and its error, and time."""

    pace_s: float
    pace_error_s: float
    time: Number


@dataclass(frozen=True)
class Asked:
    """What was asked of a timed work, and what it was.

    ``effort`` is what was asked, ``verdict`` how its time stands to that (missing where nothing was
    to be expected) and ``nearest`` the effort that it was like. ``quickest`` is the quickest class
    of speed that it held, by number, and ``in_it`` how much of it; ``over`` tells of each threshold
    that was read, by its name.
    """

    day: date
    distance: Number
    time: Number
    effort: str | None
    verdict: str | None
    nearest: str | None
    pieces: tuple[Piece, ...]
    quickest: int
    in_it: Number
    over: dict[str, Over]
