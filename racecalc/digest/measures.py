"""What was measured on a horse: the newest reading, and whether it differs from an earlier one."""

from collections.abc import Sequence
from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.daybook import Barn
from racecalc.digest.body_model import Compared, Measure, Reading, Swing, Trend
from racecalc.digest.number import Number
from racecalc.digest.settings import shoes_of
from racecalc.units import INCH_M, POUND_KG

__all__ = ["compared", "followed", "measure", "series_of"]

# Growth is slow: height and bone are compared with a year before, all else with the end of the
# month before, and a course is followed so many days back.
_GROWTH_DAYS = 365
_MONTH_DAYS = 30
_TREND_DAYS = {"height": 365, "cannon": 365, "weight": 90, "girth": 180, "length": 180}

# Rates are told in a month of 30 days where a horse changes in weeks, else in a year.
_RATE_DAYS = {what: 365 if days == _GROWTH_DAYS else 30 for what, days in _TREND_DAYS.items()}

# A way of measuring that may be out by this share of the value cannot tell of a month's change.
_COARSE = 0.1

# To what a change and its limit are printed, in SI: by weight, height or tape, metric or not.
_STEPS = {
    ("weight", True): (1.0, 1.0),
    ("weight", False): (POUND_KG, POUND_KG),
    ("height", True): (0.001, 0.001),
    ("height", False): (INCH_M / 4, INCH_M / 10),
    ("tape", True): (0.001, 0.001),
    ("tape", False): (INCH_M / 8, INCH_M / 10),
}

# A weight by tape or by eye does not push aside one on the scale that is not older than this.
_SCALE_STANDS = timedelta(days=45)

# The picture goes back this far.
_SHOWN_DAYS = 550


def measure(
    measurements: pd.DataFrame,
    what: str,
    first: date,
    last: date,
    barn: Barn,
    shown_days: int = _SHOWN_DAYS,
    told_in_full: bool = False,
) -> Measure | None:
    """Return a measurement up to the end of a span of days; ``None`` where there is none of late.

    Parameters
    ----------
    measurements : DataFrame
        The horse's table of the daybook.
    what : str
        ``height``, ``weight``, ``girth``, ``length``, ``cannon`` or ``condition``.
    first, last : date
        The days that are told of. Readings after the last are not known yet.
    barn : Barn
        Tells what shoes add to a height, and to what a change is printed.
    shown_days : int
        How many days back readings are shown.
    told_in_full : bool
        Whether condition tells every reading, for its picture, and a trend its rate, as a body
        report does.
    """
    found = series_of(measurements, what, last, barn)
    newest = followed(found)
    if newest is None or newest.last.day < last - timedelta(days=shown_days):
        return None
    change = body.change(newest, _since(what, newest.last.day, first, told_in_full))
    against = compared(change, what, barn.units == "metric") if change else None
    pictured = told_in_full or what != "condition"
    readings = _readings(found, what, last - timedelta(days=shown_days)) if pictured else ()
    count = len(readings)
    return Measure(
        what=what,
        readings=readings,
        count=Number(f"{what}.readings", float(count), "count", "racecalc.body.series", count)
        if readings
        else None,
        latest=Number(
            f"{what}.latest", newest.last.value, what, "racecalc.body.latest", newest.last.n
        ),
        day=newest.last.day,
        method=newest.method,
        shod=newest.shod,
        adjusted=newest.last.adjusted,
        scorer=newest.by,
        against=against,
        swing=_swing(newest, change, what, first, barn.units == "metric")
        if change and against and against.real is False and not told_in_full
        else None,
        trend=_trend(newest, what, told_in_full),
        own=_own(change, what),
    )


def followed(found: list[body.Series]) -> body.Series | None:
    """Return the series that is told of: the newest, but a scale before a newer tape or guess."""
    newest = body.latest(found)
    if newest is None or newest.what != "weight":
        return newest
    since = newest.last.day - _SCALE_STANDS
    on_scale = [one for one in found if one.method == "scale" and one.last.day >= since]
    return body.latest(on_scale) or newest


def series_of(measurements: pd.DataFrame, what: str, last: date, barn: Barn) -> list[body.Series]:
    """Return the series of a measurement up to a day, heights on one basis, the newest first."""
    until = measurements[measurements["date"] <= pd.Timestamp(last)]
    found = body.series(until, what)
    return body.barefoot(found, shoes_of(barn).value) if what == "height" else found


def compared(change: body.Change, what: str, metric: bool, span: str = "") -> Compared:
    """Return a change with its verdict; none where the way of measuring is too coarse for one.

    A change is called real only where its printed figure, in metric units or not, is larger than
    the printed limit as well. ``span``, such as ``30d``, ends the names of its numbers.
    """
    limit = change.noise.limit
    coarse = limit is not None and limit >= _COARSE * change.last.value and what != "condition"
    known = limit is not None and not coarse
    return Compared(
        since=change.first.day,
        begin=change.first.value,
        low=change.first.value - limit if known and limit else None,
        high=change.first.value + limit if known and limit else None,
        change=_number(what, "change", span, change, change.difference),
        noise=_number(what, "noise", span, change, limit) if known and limit else None,
        real=_is_real(change.difference, limit, what, metric)
        if known and limit is not None
        else None,
        coarse=coarse,
    )


def _is_real(difference: float, limit: float, what: str, metric: bool) -> bool:
    """Tell whether a change is larger than its limit, and is so as both are printed."""
    if abs(difference) <= limit or what == "condition":
        return abs(difference) > limit
    step, limit_step = _STEPS[what if what in ("weight", "height") else "tape", metric]
    return round(abs(difference) / step) * step > round(limit / limit_step) * limit_step


def _trend(newest: body.Series, what: str, told_in_full: bool) -> Trend | None:
    """Return where a series went in the weeks before its newest reading, if that can be told."""
    # Growth follows no line: one through heights stands among the tables of a body report only.
    if what not in _TREND_DAYS or (what == "height" and not told_in_full):
        return None
    last = newest.last.day
    found = body.trend(newest, last - timedelta(days=_TREND_DAYS[what]), last)
    if found is None or not found.straight:
        return None

    def number(part: str, value: float, kind: str) -> Number:
        name, n = f"{what}.trend.{part}", len(found.readings)
        return Number(name, value, kind, "racecalc.body.trend", n, found.source_keys)

    changed = f"{what}_change"
    coarse = found.limit is not None and found.limit >= _COARSE * newest.last.value
    return Trend(
        first=found.readings[0].day,
        last=last,
        begin=found.at(found.readings[0].day),
        end=found.at(last),
        count=number("readings", len(found.readings), "count"),
        total=number("total", found.total, changed),
        low=number("low", found.low * found.days, changed),
        high=number("high", found.high * found.days, changed),
        rate=number("rate", found.slope * _RATE_DAYS[what], changed) if told_in_full else None,
        by_year=_RATE_DAYS[what] == _GROWTH_DAYS,
        real=None if coarse else found.real,
    )


def _since(what: str, newest: date, first: date, told_in_full: bool) -> date:
    """Return the day to compare with: the newest reading on or before it is taken."""
    if _TREND_DAYS.get(what) == _GROWTH_DAYS:
        return newest - timedelta(days=_GROWTH_DAYS)
    if told_in_full:
        return newest - timedelta(days=_MONTH_DAYS)
    return min(first, newest) - timedelta(days=1)


def _own(change: body.Change | None, what: str) -> Number | None:
    if change is None or change.noise.own_n is None:
        return None
    n, keys = change.noise.own_n, change.noise.source_keys
    return Number(f"{what}.own_readings", float(n), "count", "racecalc.body.own_error_of", n, keys)


def _swing(
    newest: body.Series, change: body.Change, what: str, first: date, metric: bool
) -> Swing | None:
    """Find a real change within the days told that the newest reading no longer shows."""
    found = []
    start = max(first, change.first.day + timedelta(days=1))
    looked_at = [reading for reading in newest.readings[:-1] if reading.day >= start]
    for reading in looked_at:
        # The largest of several differences passes the limit of one too easily.
        noise = body.noise(newest, change.first, reading, tested=len(looked_at))
        difference = reading.value - change.first.value
        if noise.limit is not None and _is_real(difference, noise.limit, what, metric):
            found.append((abs(difference), reading.day, difference, noise.source_keys))
    if not found:
        return None
    _, day, difference, keys = max(found)
    number = Number(
        f"{what}.swing", difference, f"{what}_change", "racecalc.body.noise", 2, sources=keys
    )
    return Swing(day, number)


def _number(what: str, part: str, span: str, change: body.Change, value: float) -> Number:
    return Number(
        ".".join(word for word in (what, part, span) if word),
        value,
        f"{what}_{part}",
        "racecalc.body.change",
        change.first.n + change.last.n,
        change.noise.source_keys,
    )


def _readings(found: Sequence[body.Series], what: str, since: date) -> tuple[Reading, ...]:
    shown = [
        Reading(
            day=reading.day,
            method=one.method,
            shod=one.shod,
            adjusted=reading.adjusted,
            scorer=one.by,
            number=Number(
                _name(what, reading, one), reading.value, what, "racecalc.body.series", reading.n
            ),
        )
        for one in found
        for reading in one.readings
        if reading.day >= since
    ]
    return tuple(sorted(shown, key=lambda reading: (reading.day, reading.number.name)))


def _name(what: str, reading: body.Reading, one: body.Series) -> str:
    shoes = {True: "shod", False: "barefoot", None: None}[one.shod]
    if reading.adjusted:
        shoes = "shod_as_barefoot"
    parts = (what, reading.day.isoformat(), one.method, shoes)
    return ".".join(part for part in parts if part)
