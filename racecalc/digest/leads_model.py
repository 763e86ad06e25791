"""The leads on which a horse was as it passed the poles, in one work and over a year."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.course import Course
from racecalc.digest.number import Number
from racecalc.track import Chute

__all__ = ["LeadNote", "LeadStretch", "PartLeads", "TrackLeads", "WorkLeads"]


@dataclass(frozen=True)
class LeadNote:
    """The lead noted at a pole.

    ``pole`` is as the book names it, by all that is left to the finish; ``colour`` is missing at
    the finish, at metric poles, in a chute and where no pole stands; ``part``, one of
    `track.PARTS`, where it is not known where the turns are. ``gallop_out`` is past the end of the
    work.
    """

    pole: str
    colour: str | None
    to_finish_m: float
    part: str | None
    lead: str
    gallop_out: bool


@dataclass(frozen=True)
class LeadStretch:
    """The ground between two neighbouring poles at which a lead was noted.

    ``parts`` are those that it covers, in the order run; none where it is not known where the turns
    are.
    """

    begin: LeadNote
    end: LeadNote
    parts: tuple[str, ...]

    @property
    def lead(self) -> str | None:
        """The lead noted at both ends; none where it changed, at a place that nobody knows.

        The same lead at both ends does not tell that it was kept between them.
        """
        return self.begin.lead if self.begin.lead == self.end.lead else None


@dataclass(frozen=True)
class WorkLeads:
    """The leads noted in one work, in the order run.

    ``start_m`` and ``end_m`` are what is left to the finish where the work begins and ends.
    ``without`` are the poles that were clocked and bear no lead. ``noted`` counts the poles with a
    lead, ``poles`` all that were clocked; ``changes``, the fewest that there were, is missing where
    none shows.
    """

    work: str
    day: date
    course: Course
    start_m: float
    end_m: float
    start_in: Chute | None
    notes: tuple[LeadNote, ...]
    stretches: tuple[LeadStretch, ...]
    without: tuple[str, ...]
    noted: Number
    poles: Number
    changes: Number | None

    @property
    def changed(self) -> tuple[LeadStretch, ...]:
        """The stretches on which the lead changed."""
        return tuple(stretch for stretch in self.stretches if stretch.lead is None)


@dataclass(frozen=True)
class PartLeads:
    """How many poles on one part of a course were passed on each lead, and in how many works."""

    part: str
    left: Number
    right: Number
    works: Number


@dataclass(frozen=True)
class TrackLeads:
    """The leads noted in the works at one track, galloping out included, from day to day.

    ``parts`` are those on which there was one, in the order run from the finish; none where it is
    not known where the turns are. ``left``, ``right`` and ``works`` are of the whole track.
    """

    course: Course
    first: date
    last: date
    parts: tuple[PartLeads, ...]
    left: Number
    right: Number
    works: Number
