"""What one work comes to: its ground, its clocks, its sections, and how it stands to her line."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.course import Course
from racecalc.digest.number import Number
from racecalc.track import Chute

__all__ = ["LinePoint", "LooseClock", "Section", "Shape", "Stand", "Work"]


@dataclass(frozen=True)
class Section:
    """The ground between two clocked poles, and the running clock at its end.

    ``colour`` is that of the pole at the end; missing at the finish and at metric poles. ``from_m``
    and ``to_finish_m`` are what is left to the finish at its begin and end. ``tempo`` is
    ``quicker`` or ``slower`` than the work's mean beyond the error of the watch, else ``alike``;
    ``lead`` is the lead noted at its end.
    """

    pole: str
    colour: str | None
    from_m: float
    to_finish_m: float
    distance_m: float
    gallop_out: bool
    time: Number
    clock: Number
    pace_s: float
    pace_error_s: float
    tempo: str
    lead: str | None


@dataclass(frozen=True)
class LooseClock:
    """A running clock at a pole to which no section leads, and the lead noted there."""

    pole: str
    colour: str | None
    clock: Number
    lead: str | None


@dataclass(frozen=True)
class Stand:
    """How a work stands to what was to be expected of this horse.

    ``low`` and ``high`` bound the times to be expected, 95 in 100; ``verdict`` is ``quicker`` or
    ``slower`` outside them, else ``as expected``. ``margin`` is by how much the expected time was
    beaten or missed, where the verdict says so. ``own`` counts the horse's own earlier works
    behind it, ``others`` those of the rest of the barn; these and ``expected``, the middle, are
    told in a review only. ``nearest`` is the effort which, had it been asked, would have made the
    time the likeliest; missing where the barn's words tell too little.
    """

    low: Number
    high: Number
    expected: Number | None
    own: Number | None
    others: Number | None
    verdict: str
    margin: Number | None
    nearest: str | None


@dataclass(frozen=True)
class Shape:
    """How a work was run: the spread of its sections, and its finish against its start.

    ``even`` is missing where there are too few sections to tell; ``finish`` is the pace of the
    last part less that of the first; ``finish_verdict`` is ``quickened``, ``slowed`` or, within
    the error of the watch, missing.
    """

    spread: Number | None
    even: bool | None
    finish: Number | None
    finish_verdict: str | None


@dataclass(frozen=True)
class LinePoint:
    """One work of the horse's line: its time, and the times that were to be expected."""

    work: str
    day: date
    time: Number
    effort: str | None
    expected: Number | None
    low: Number | None
    high: Number | None
    verdict: str | None


@dataclass(frozen=True)
class Work:
    """One work. Without a clock it has a distance only.

    ``start_m`` and ``end_m`` are what is left to the finish where it begins and ends; ``start_in``
    is the chute in which it begins, if any. ``loose`` are clocks past a place that was not clocked,
    as behind the end of a work without a time: no section leads up to them.
    """

    id: str
    day: date
    course: Course
    start_m: float
    end_m: float
    start_in: Chute | None
    manner: str | None
    effort: str | None
    from_gate: bool
    state: str | None
    distance: Number
    time: Number | None
    pace: Number | None
    speed: Number | None
    sections: tuple[Section, ...]
    loose: tuple[LooseClock, ...]
    stand: Stand | None
    note: str | None

    @property
    def track(self) -> str:
        """The name of the track."""
        return self.course.name
