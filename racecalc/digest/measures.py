"""Height and weight: the newest reading, and whether it differs from an earlier one."""

from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.digest.model import Measure, Month, Number, Reading

__all__ = ["measure"]

# How far back the comparison reaches: growth shows over half a year, weight from month to month.
_COMPARE_DAYS = {"height": 180, "weight": 30}

# The picture goes back this far.
_SHOWN_DAYS = 550


def measure(measurements: pd.DataFrame, what: str, month: Month) -> Measure | None:
    """Return a measurement up to the end of the month; ``None`` where there is none.

    Parameters
    ----------
    measurements : DataFrame
        The horse's table of the daybook.
    what : str
        ``height`` or ``weight``.
    """
    until = measurements[measurements["date"] <= pd.Timestamp(month.last)]
    found = body.series(until, what)
    newest = body.latest(found)
    if newest is None or newest.last.day < month.last - timedelta(days=_SHOWN_DAYS):
        return None
    since = newest.last.day - timedelta(days=_COMPARE_DAYS[what])
    change = body.change(newest, since)
    readings = _readings(found, what, month.last)
    count = len(readings)
    latest = Number(f"{what}.latest", newest.last.value, what, "racecalc.body.latest", 1)
    return Measure(
        what=what,
        readings=readings,
        count=Number(f"{what}.readings", float(count), "count", "racecalc.body.series", count),
        latest=latest,
        day=newest.last.day,
        method=newest.method,
        shod=newest.shod,
        change=_number(change, what, "change"),
        since=change.first.day if change else None,
        noise=_number(change, what, "noise"),
        real=change.real if change else None,
    )


def _number(change: body.Change | None, what: str, part: str) -> Number | None:
    if change is None:
        return None
    value = change.difference if part == "change" else change.noise
    if value is None:
        return None
    return Number(
        f"{what}.{part}", value, f"{what}_{part}", "racecalc.body.change", 2, change.source_keys
    )


def _readings(found: list[body.Series], what: str, last: date) -> tuple[Reading, ...]:
    shown = [
        Reading(
            day=reading.day,
            method=one.method,
            shod=one.shod,
            number=Number(
                _name(what, reading.day, one), reading.value, what, "racecalc.body.series", 1
            ),
        )
        for one in found
        for reading in one.readings
        if reading.day >= last - timedelta(days=_SHOWN_DAYS)
    ]
    return tuple(sorted(shown, key=lambda reading: (reading.day, reading.number.name)))


def _name(what: str, day: date, one: body.Series) -> str:
    shoes = {True: "shod", False: "barefoot", None: None}[one.shod]
    parts = (what, day.isoformat(), one.method, shoes)
    return ".".join(part for part in parts if part)
