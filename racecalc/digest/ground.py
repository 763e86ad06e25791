"""Ground covered, by activity and by speed, in the spans of days that a report compares."""

from collections import Counter
from datetime import date, timedelta

import pandas as pd

from racecalc import workload
from racecalc.digest.model import Ground, Month
from racecalc.digest.number import Number

__all__ = ["FAST_SOURCES", "MONTHS_FOR_USUAL", "spans", "usual_fast"]

# Work and injury in print are counted over 30 days; the class edge of 14 m/s is from there too.
_DAYS = 30
FAST_SOURCES = ("verheyen_2006",)

# "Usual" is the range at the ends of this many earlier months, and needs at least three of them.
MONTHS_FOR_USUAL = 6
_FEWEST_MONTHS = 3


def spans(ledger: pd.DataFrame, month: Month, previous: Month) -> tuple[Ground, ...]:
    """Return the ground of this month, of the month before and of the 30 days to the month's end.

    Parameters
    ----------
    ledger : DataFrame
        As `racecalc.workload.ledger` returns it.
    """
    return (
        _ground(ledger, "month", month.first, month.last),
        _ground(ledger, "last_month", previous.first, previous.last),
        _ground(ledger, "30d", month.last - timedelta(days=_DAYS - 1), month.last),
    )


def _ground(ledger: pd.DataFrame, label: str, first: date, last: date) -> Ground:
    inside = workload.between_days(ledger, first, last)
    known = inside["distance_m"].notna()
    rows = list(zip(inside["activity"][known], inside["speed_class"][known], strict=True))
    activity_rows = Counter(activity for activity, _ in rows)
    class_rows = Counter(speed_class for activity, speed_class in rows if activity != "swim")
    by_activity = {
        activity: Number(
            f"ground.{label}.{activity}", metres, "ground", "racecalc.workload.totals",
            activity_rows[activity],
        )
        for activity, metres in workload.totals(inside, first, last).items()
    }  # fmt: skip
    by_speed = {
        speed_class: Number(
            f"ground.{label}.{speed_class}", metres,
            "fast_ground" if speed_class == "fast" else "ground", "racecalc.workload.by_speed",
            class_rows[speed_class], sources=FAST_SOURCES,
        )
        for speed_class, metres in workload.by_speed(inside, first, last).items()
    }  # fmt: skip
    return Ground(label, first, last, by_activity, by_speed)


def usual_fast(ledger: pd.DataFrame, month: Month) -> tuple[Number, Number] | None:
    """Return the lowest and highest 30-day fast ground at the ends of the months before.

    Missing where fewer than three of the last six months hold any record.
    """
    sums = []
    last = month.first - timedelta(days=1)
    for _ in range(MONTHS_FOR_USUAL):
        first = last - timedelta(days=_DAYS - 1)
        inside = workload.between_days(ledger, first, last)
        if not inside.empty:
            sums.append(workload.by_speed(inside, first, last)["fast"])
        last = last.replace(day=1) - timedelta(days=1)
    if len(sums) < _FEWEST_MONTHS:
        return None
    made_by = "racecalc.digest.ground.usual_fast"
    lowest, highest = (
        Number(
            f"ground.30d.fast.usual_{end}", value, "fast_ground", made_by, len(sums), FAST_SOURCES
        )
        for end, value in (("low", min(sums)), ("high", max(sums)))
    )
    return lowest, highest
