"""What the next work is asked with: the race, the track, the planned day, and a cost."""

import math
from dataclasses import dataclass
from datetime import date, timedelta

from racecalc import workload
from racecalc.daybook import HorseBook
from racecalc.digest.model import Target
from racecalc.digest.settings import bad_footing_days, horse_of
from racecalc.digest.targets import targets_after
from racecalc.digest.tracks import most_worked
from racecalc.errors import OutOfRangeError

__all__ = ["MOST_DAYS", "Asked", "has_left", "read_asked"]

# Where a horse works is told from so many days.
_WORKED_DAYS = 60
_MOST_BAD_FOOTING = 60.0

MOST_DAYS = 14
"""No day further ahead is weighed: forecasts tell of about a week. Ours."""


@dataclass(frozen=True)
class Asked:
    """What was asked for, read; ``planned`` is missing where no day was named.

    ``cost_from`` says whose the cost is: ``asked``, ``barn`` or ``default``.
    """

    target: Target | None
    track: str
    planned: date | None
    bad_days: float
    cost_from: str


def read_asked(
    record: HorseBook, last: date, planned: str = "", bad_footing: str = "", track: str = ""
) -> Asked:
    """Read what is asked for a horse on a day.

    Raises
    ------
    OutOfRangeError
        If a text is no day or no number, the book has no such track, or the horse has left.
    """
    if has_left(record, last):
        horse = horse_of(record)
        raise OutOfRangeError(
            f"{horse.name} left the barn on {horse.left}, so that no work is proposed; ask for a "
            "day before that"
        )
    known = record.tables["tracks"]["track"].tolist()
    if track and track not in known:
        raise OutOfRangeError(
            f"no track has the id “{track}”, or its row was refused (racecalc check tells); there "
            f"are {', '.join(known) or 'none'}"
        )
    target = next(iter(targets_after(record, last)), None)
    own = "default" if record.barn.bad_footing_days is None else "barn"
    return Asked(
        target=target,
        track=track or _usual_track(record, target, last),
        planned=_day_asked(planned, last, target),
        bad_days=_cost(record, bad_footing),
        cost_from="asked" if bad_footing else own,
    )


def has_left(record: HorseBook, last: date) -> bool:
    """Return whether the horse had left the barn by a day."""
    left = horse_of(record).left
    return left is not None and left <= last


def _day_asked(text: str, last: date, target: Target | None) -> date | None:
    if not text:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise OutOfRangeError(f"planned “{text}” is no day; write it as 2026-10-31") from None
    if day <= last:
        raise OutOfRangeError(
            f"planned “{text}” is not after {last}, the last day that is known; name a later one"
        )
    if target and day >= target.day:
        raise OutOfRangeError(
            f"planned “{text}” is not before the race of {target.day}; name an earlier one"
        )
    if (day - last).days > MOST_DAYS:
        raise OutOfRangeError(
            f"planned “{text}” is more than {MOST_DAYS} days after {last}, the last day that is "
            "known; name a nearer one"
        )
    return day


def _cost(record: HorseBook, text: str) -> float:
    if not text:
        return bad_footing_days(record.barn)
    try:
        days = float(text)
    except ValueError:
        days = math.nan
    if not 0 <= days <= _MOST_BAD_FOOTING:
        raise OutOfRangeError(
            f"bad footing “{text}”: write how many days of waiting it costs, 0 to "
            f"{_MOST_BAD_FOOTING:g}"
        )
    return days


def _usual_track(record: HorseBook, target: Target | None, last: date) -> str:
    """Return where the horse works, else where it is to race, else the book's first track."""
    works = record.tables["works"]
    recent = workload.between_days(works, last - timedelta(days=_WORKED_DAYS), last)
    if used := most_worked(recent):
        return used
    known = record.tables["tracks"]
    named = dict(zip(known["name"], known["track"], strict=True))
    if target and target.track in named:
        return str(named[target.track])
    return str(known["track"].iloc[0]) if len(known) else ""
