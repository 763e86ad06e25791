"""Height and weight: the newest reading, and whether it differs from an earlier one."""

from dataclasses import replace
from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.digest.model import Measure, Month, Reading, Swing
from racecalc.digest.number import Number

__all__ = ["measure"]

# Growth is slow: height is compared with a year before, weight with the end of the month before.
_GROWTH_DAYS = 365

# A way of measuring that may be out by this share of the value cannot tell of a month's change.
_COARSE = 0.1

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
    change = _fine(body.change(newest, _since(what, newest.last.day, month)))
    readings = _readings(found, what, month.last)
    count = len(readings)
    latest = Number(
        f"{what}.latest", newest.last.value, what, "racecalc.body.latest", newest.last.n
    )
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
        swing=_swing(newest, change, what, month),
    )


def _since(what: str, newest: date, month: Month) -> date:
    """Return the day to compare with: the newest reading on or before it is taken."""
    if what == "height":
        return newest - timedelta(days=_GROWTH_DAYS)
    return min(month.first, newest) - timedelta(days=1)


def _fine(change: body.Change | None) -> body.Change | None:
    """Take the verdict from a change whose error is too coarse for one."""
    if change is None or change.noise is None or change.noise < _COARSE * change.last.value:
        return change
    return replace(change, noise=None, real=None)


def _swing(
    newest: body.Series, change: body.Change | None, what: str, month: Month
) -> Swing | None:
    """Find a real change within the month that the newest reading no longer shows."""
    if change is None or change.real is not False:
        return None
    found = []
    for reading in newest.readings:
        if reading.day < month.first or reading.day <= change.first.day:
            continue
        noise, keys = body.noise(newest, change.first, reading)
        difference = reading.value - change.first.value
        if noise is not None and abs(difference) > noise:
            found.append((abs(difference), reading.day, difference, keys))
    if not found:
        return None
    _, day, difference, keys = max(found)
    number = Number(
        f"{what}.swing", difference, f"{what}_change", "racecalc.body.noise", 2, sources=keys
    )
    return Swing(day, number)


def _number(change: body.Change | None, what: str, part: str) -> Number | None:
    if change is None:
        return None
    value = change.difference if part == "change" else change.noise
    if value is None:
        return None
    return Number(
        f"{what}.{part}",
        value,
        f"{what}_{part}",
        "racecalc.body.change",
        change.first.n + change.last.n,
        change.source_keys,
    )


def _readings(found: list[body.Series], what: str, last: date) -> tuple[Reading, ...]:
    shown = [
        Reading(
            day=reading.day,
            method=one.method,
            shod=one.shod,
            number=Number(
                _name(what, reading.day, one),
                reading.value,
                what,
                "racecalc.body.series",
                reading.n,
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
