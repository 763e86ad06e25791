"""The month day by day: what the horse did, what the track was, what fell on it."""

import math
from collections import Counter
from datetime import date, timedelta
from typing import Any

import pandas as pd

from racecalc import workload
from racecalc.digest.model import Day, Month
from racecalc.digest.number import Number

__all__ = ["GROUPS", "day_counts", "month_days"]

Cells = tuple[Any, ...]

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
    days = [month.first + timedelta(days=n) for n in range((month.last - month.first).days + 1)]
    ground = _ground(_by_day(ledger, month, "activity", "distance_m"))
    written = _by_day(exercise, month, "activity")
    worked = _by_day(works, month, "work")
    home = _by_day(log[log["track"] == home_track], month, "state", "rain_mm")
    return tuple(
        _day(
            day,
            ground.get(day, {}),
            written.get(day, []),
            worked.get(day, []),
            home.get(day, []),
            off,
        )
        for day in days
    )


def _by_day(table: pd.DataFrame, month: Month, *columns: str) -> dict[date, list[Cells]]:
    """Return some cells of the rows of each day of a month, in the order of the rows."""
    inside = workload.between_days(table, month.first, month.last)
    found: dict[date, list[Cells]] = {}
    for moment, *cells in zip(inside["date"], *(inside[name] for name in columns), strict=True):
        found.setdefault(moment.date(), []).append(tuple(cells))
    return found


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
    ground: dict[str, Number],
    written: list[Cells],
    worked: list[Cells],
    footing: list[Cells],
    off: workload.DaysOff,
) -> Day:
    aside = _aside(written)
    return Day(
        day=day,
        record=_record(day, off, moved=aside is not None or bool(worked)),
        ground=ground,
        aside=None if ground else aside,
        works=tuple(sorted(work for (work,) in worked)),
        state=footing[-1][0] if footing else None,
        rain=_rain([rain_mm for _, rain_mm in footing], day),
    )


def _ground(moved: dict[date, list[Cells]]) -> dict[date, dict[str, Number]]:
    """Return the ground of each day, in the groups of the picture."""
    known = {
        day: [(activity, metres) for activity, metres in pieces if not math.isnan(metres)]
        for day, pieces in moved.items()
    }
    # All days at once; a day and an activity make one word.
    covered = workload.added(
        [metres for pieces in known.values() for _, metres in pieces],
        [f"{day} {activity}" for day, pieces in known.items() for activity, _ in pieces],
    )
    ground: dict[date, dict[str, Number]] = {}
    for day, pieces in known.items():
        for group, activities in GROUPS.items():
            metres = sum(covered.get(f"{day} {activity}", 0.0) for activity in activities)
            n = sum(activity in activities for activity, _ in pieces)
            if metres:
                name = f"ground.day.{day.isoformat()}.{group}"
                number = Number(name, metres, "day_ground", "racecalc.workload.totals", n)
                ground.setdefault(day, {})[group] = number
    return ground


def _aside(written: list[Cells]) -> str | None:
    """Name the activity of a day on which no ground is drawn, that with most rows first."""
    counted = Counter(activity for (activity,) in written if activity and activity != "rest")
    return min(counted, key=lambda name: (-counted[name], name), default=None)


def _record(day: date, off: workload.DaysOff, *, moved: bool) -> str:
    if day in off.rest or day in off.turnout:
        return "off"
    return "out" if moved else "blank"


def _rain(told_mm: list[float], day: date) -> Number | None:
    """Rain since the row before; the log's own rows, so a missing day is never invented."""
    fell = [rain_mm for rain_mm in told_mm if not math.isnan(rain_mm)]
    if not fell:
        return None
    name = f"rain.day.{day.isoformat()}"
    return Number(name, float(sum(fell)), "rain", "racecalc.daybook.read", len(fell))
