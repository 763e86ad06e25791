"""The month day by day: what the horse did, what the track was, what fell on it."""

from datetime import date, timedelta
from typing import Any

import pandas as pd

from racecalc import workload
from racecalc.digest.model import Day, Month
from racecalc.digest.number import Number

__all__ = ["GROUPS", "day_counts", "month_days"]

# The picture has room for three bands; walking, swimming and the treadmill are left to the table.
GROUPS = {
    "jog": ("jog", "canter"),
    "gallop": ("gallop",),
    "work": ("work", "gallop_out", "race"),
}


def month_days(
    ledger: pd.DataFrame,
    exercise: pd.DataFrame,
    works: pd.DataFrame,
    log: pd.DataFrame,
    off: workload.DaysOff,
    home_track: str | None,
    month: Month,
) -> tuple[Day, ...]:
    """Return every day of the month in order.

    Parameters
    ----------
    ledger : DataFrame
        As `racecalc.workload.ledger` returns it.
    exercise, works, log : DataFrame
        The daybook's tables; ``log`` is the table ``surface``.
    off : DaysOff
        As `racecalc.workload.days_off` returns it for the month.
    home_track : str or None
        The track whose footing and rain the picture shows.
    """
    days = (month.last - month.first).days + 1
    footing = log[log["track"] == home_track]
    return tuple(
        _day(month.first + timedelta(days=n), ledger, exercise, works, footing, off)
        for n in range(days)
    )


def day_counts(off: workload.DaysOff, first: date, last: date) -> dict[str, Any]:
    """Count the days out, off and without an entry; a day at turnout only is a day off.

    Parameters
    ----------
    off : DaysOff
        As `racecalc.workload.days_off` returns it for the same days.
    first, last : date
        The days that the horse was in the barn and the book can know of, both included.
    """
    length = max(0, (last - first).days + 1)
    idle, blank = len(off.rest) + len(off.turnout), len(off.unrecorded)
    counts = {
        "days_out": ("days.out", length - idle - blank),
        "days_off": ("days.off", idle),
        "days_blank": ("days.without_entry", blank),
    }
    return {
        field: Number(name, count, "count", "racecalc.workload.days_off", length)
        for field, (name, count) in counts.items()
    }


def _day(
    day: date,
    ledger: pd.DataFrame,
    exercise: pd.DataFrame,
    works: pd.DataFrame,
    log: pd.DataFrame,
    off: workload.DaysOff,
) -> Day:
    ground = _ground(ledger, day)
    moment = pd.Timestamp(day)
    worked = works.loc[works["date"] == moment, "work"]
    aside = _aside(exercise, moment)
    footing = log[log["date"] == moment]
    return Day(
        day=day,
        record=_record(day, off, moved=aside is not None or not worked.empty),
        ground=ground,
        aside=None if ground else aside,
        works=tuple(sorted(worked)),
        state=None if footing.empty else footing["state"].iloc[-1],
        rain=_rain(footing, day),
    )


def _ground(ledger: pd.DataFrame, day: date) -> dict[str, Number]:
    """Return the ground of one day, in the groups of the picture."""
    pieces = workload.between_days(ledger, day, day).dropna(subset="distance_m")
    if pieces.empty:
        return {}
    covered = workload.totals(pieces, day, day)
    ground = {}
    for group, activities in GROUPS.items():
        metres = sum(covered.get(activity, 0.0) for activity in activities)
        if metres:
            name = f"ground.day.{day.isoformat()}.{group}"
            n = int(pieces["activity"].isin(activities).sum())
            ground[group] = Number(name, metres, "day_ground", "racecalc.workload.totals", n)
    return ground


def _aside(exercise: pd.DataFrame, moment: pd.Timestamp) -> str | None:
    """Name the activity of a day on which no ground is drawn, that with most rows first."""
    activities = exercise.loc[exercise["date"] == moment, "activity"]
    if activities.empty:
        return None
    counted = activities[activities != "rest"].value_counts()
    return min(counted.index, key=lambda name: (-counted[name], name), default=None)


def _record(day: date, off: workload.DaysOff, *, moved: bool) -> str:
    if day in off.rest or day in off.turnout:
        return "off"
    return "out" if moved else "blank"


def _rain(footing: pd.DataFrame, day: date) -> Number | None:
    """Rain since the row before; the log's own rows, so a missing day is never invented."""
    fell = footing["rain_mm"].dropna()
    if fell.empty:
        return None
    name = f"rain.day.{day.isoformat()}"
    return Number(name, float(fell.sum()), "rain", "racecalc.daybook.read", len(fell))
