"""Days without ground: at rest, turned out only, and days of which the record says nothing."""

from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

from racecalc.workload.ledger import NO_GROUND
from racecalc.workload.spans import between_days

__all__ = ["DaysOff", "days_off"]


@dataclass(frozen=True)
class DaysOff:
    """Days without ground: at rest, turned out only, and days of which the record says nothing."""

    rest: tuple[date, ...]
    turnout: tuple[date, ...]
    unrecorded: tuple[date, ...]


def days_off(
    exercise: pd.DataFrame, works: pd.DataFrame, first_day: date, last_day: date
) -> DaysOff:
    """Return the days of one horse on which it covered no ground, first and last day included.

    A day on which the horse was turned out and nothing else is kept apart from one of rest, and
    both from a day of which nothing was written down: no record is not rest.

    Parameters
    ----------
    exercise, works : DataFrame
        The horse's tables, with ``date``; exercise with ``activity``.
    first_day, last_day : date
        First and last day.
    """
    inside = between_days(exercise, first_day, last_day)
    worked = between_days(works, first_day, last_day)
    recorded: dict[date, set[str]] = {}
    for day, activity in zip(inside["date"], inside["activity"], strict=True):
        recorded.setdefault(day.date(), set()).add(activity)
    for day in worked["date"]:
        recorded.setdefault(day.date(), set()).add("work")
    days = [first_day + timedelta(days=step) for step in range((last_day - first_day).days + 1)]
    return DaysOff(
        rest=tuple(
            day for day in days if "rest" in recorded.get(day, ()) and _still(recorded[day])
        ),
        turnout=tuple(day for day in days if recorded.get(day) == {"turnout"}),
        unrecorded=tuple(day for day in days if day not in recorded),
    )


def _still(activities: set[str]) -> bool:
    return activities <= set(NO_GROUND)
