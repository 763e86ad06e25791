"""What is written down by hand about one horse; `horses` fills it in."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sample_stable.barn import MILE, TRAINING, Track
from sample_stable.calendar import FIRST_DAY, LAST_DAY, day

__all__ = ["Anchors", "Horse", "PlannedWork", "Race", "Target"]

# Dated values; straight lines run between them.
Anchors = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Race:
    """A start: how far, and the horse's own time in fifths of a second."""

    date: str
    furlongs: Fraction | int
    fifths: int
    note: str


@dataclass(frozen=True)
class PlannedWork:
    """A work whose day, distance and clock the story fixes."""

    date: str
    furlongs: int
    fifths: int | None
    effort: str
    surface: str = "dirt"
    from_gate: bool = False
    note: str = ""

    @property
    def track(self) -> Track:
        """The oval it was done on."""
        return MILE if self.surface == "dirt" else TRAINING


@dataclass(frozen=True)
class Target:
    """A race aimed at."""

    date: str
    furlongs: Fraction | int
    what: str
    note: str = ""


@dataclass(frozen=True)
class Horse:
    """One horse and its year and a half.

    ``programme`` holds dated turns: turnout, walk, easy, canter, gallop, work. Works are drawn on
    ``work`` days until ``planned_from``; from that day on there are only the ``works`` below.
    ``slower`` is in seconds per furlong against the stable's usual work; ``temperatures_c`` are
    those that the story fixes.
    """

    id: str
    initials: str
    name: str
    foaled: str
    sex: str
    colour: str
    arrived: str
    rider: str
    programme: tuple[tuple[str, str], ...]
    pounds: Anchors
    barefoot_in: Anchors
    condition: Anchors
    left: str = ""
    note: str = ""
    slower: float = 0.0
    distances: tuple[int, ...] = (4, 5, 4, 3)
    works: tuple[PlannedWork, ...] = ()
    planned_from: str = "2026-09-20"
    races: tuple[Race, ...] = ()
    targets: tuple[Target, ...] = ()
    test_days: tuple[str, ...] = ()
    weighed_by: str = "scale"
    weighed_twice_a_week_from: str = ""
    temperature_from: str = ""
    temperatures_c: tuple[tuple[str, float], ...] = ()
    is_growing: bool = False
    has_pool_days: bool = False
    leads_are_noted: bool = False
    missed_pole_chance: float = 0.06
    day_notes: tuple[tuple[str, str], ...] = ()

    @property
    def first_day(self) -> date:
        """The first day here within the sample."""
        return max(day(self.arrived), FIRST_DAY)

    @property
    def last_day(self) -> date:
        """The last day here within the sample."""
        return day(self.left) if self.left else LAST_DAY

    def turn(self, on: date) -> str:
        """Return what the programme asks for on a day."""
        begun = [kind for start, kind in self.programme if day(start) <= on]
        return begun[-1]
