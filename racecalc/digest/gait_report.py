"""The films of one horse's feet up to a day: one in full, and the others beside it."""

from dataclasses import dataclass
from datetime import date

from racecalc import gait
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.gait import clips_until, in_a_row
from racecalc.digest.gait_model import GaitClip
from racecalc.digest.leads import leads_until, newest_leads
from racecalc.digest.leads_model import TrackLeads, WorkLeads
from racecalc.digest.model import Horse
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import horse_of, last_day
from racecalc.errors import OutOfRangeError

__all__ = ["GaitReport", "build_gait"]

# A page has room for so many clips beside one another.
_SHOWN = 12


@dataclass(frozen=True)
class GaitReport:
    """The clips of one horse up to a day.

    ``shown`` is told in full; ``clips`` are the newest of all, oldest first, each with what a row
    has room for, and ``older`` counts those before them. ``leads`` are those noted at the poles in
    the newest work with any, and ``around`` those of a year by the parts of each course.
    """

    barn: Barn
    horse: Horse
    last: date
    shown: GaitClip | None
    clips: tuple[GaitClip, ...]
    older: int
    leads: WorkLeads | None
    around: tuple[TrackLeads, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    @property
    def recorded(self) -> bool:
        """Whether any clip, or any lead at a pole, is on record."""
        return self.shown is not None or self.leads is not None

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_gait(
    record: HorseBook, until: str = "", clip: str = "", fore_share: float = gait.FORE_SHARE
) -> GaitReport:
    """Return the report on how a horse went.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for that of the newest clip or work.
    clip : str
        The clip that is told in full, as the book writes it (of two of one name the newer); blank
        for the last of the newest day.
    fore_share : float
        The share of its weight that the horse carries on its fore feet, for the forces.

    Raises
    ------
    OutOfRangeError
        If the text is no day, there is no such clip up to it, or the share is not between zero and
        one.
    """
    if not 0 < fore_share < 1:
        raise OutOfRangeError(
            f"{fore_share:g}: the share of the weight on the fore feet lies between 0 and 1, as "
            f"{gait.FORE_SHARE}"
        )
    last = last_day(record, until, ("footfalls", "works"))
    clips = clips_until(record.tables["footfalls"], last, fore_share)
    named = [one for one in clips if clip.casefold() in ("", one.label.casefold())]
    if clip and not named:
        known = ", ".join(one.label for one in clips[-5:]) or "none"
        raise OutOfRangeError(
            f"“{clip}”: no such clip of {record.horse} is on record up to {last:%Y-%m-%d}, or its "
            f"rows were refused (racecalc check tells); the newest are {known}"
        )
    shown = named[-1] if named else None
    return GaitReport(
        barn=record.barn,
        horse=horse_of(record),
        last=last,
        shown=shown,
        clips=tuple(one if one is shown else in_a_row(one) for one in clips[-_SHOWN:]),
        older=max(len(clips) - _SHOWN, 0),
        leads=newest_leads(record, last),
        around=leads_until(record, last),
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )
