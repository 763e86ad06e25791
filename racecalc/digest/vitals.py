"""Temperature and pulse: the horse's own normal first, the published range second."""

from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.digest.body_model import OffDay, Vital, VitalReading
from racecalc.digest.number import Number
from racecalc.workload import between_days

__all__ = ["vital"]

Readings = list[tuple[date, float]]


def vital(
    measurements: pd.DataFrame, what: str, first: date, last: date, shown: bool = False
) -> Vital | None:
    """Return the temperature or pulse of a span of days; ``None`` where it was not taken.

    Parameters
    ----------
    measurements : DataFrame
        The horse's table of the daybook.
    what : str
        ``temperature`` or ``pulse``.
    first, last : date
        The days that are told of; days before them make the horse's own normal.
    shown : bool
        Whether every reading is told, for a picture.
    """
    reach = timedelta(days=body.USUAL_DAYS[what])
    readings = between_days(measurements, first - reach, last)
    readings = readings[(readings["what"] == what) & readings["value"].notna()]
    moments = (moment.date() for moment in readings["date"])
    known = sorted(zip(moments, readings["value"].tolist(), strict=True))
    inside = [reading for reading in known if reading[0] >= first]
    if not inside:
        return None
    newest, n = inside[-1], len(inside)
    usual = body.usual([value for day, value in known if day >= last - reach], what)
    printed = body.PUBLISHED_RANGES[what]
    off = _off(known, what, first)
    return Vital(
        what=what,
        count=Number(f"{what}.readings", float(n), "count", "racecalc.body.days_off", n),
        latest=_number(what, "latest", newest[1], "latest"),
        day=newest[0],
        usual=_of_own(what, "usual", usual.median if usual.low else None, usual.n),
        low=_of_own(what, "own_low", usual.low, usual.n),
        high=_of_own(what, "own_high", usual.high, usual.n),
        published=Number(
            f"{what}.published_high",
            printed.high,
            what,
            "racecalc.body.days_off",
            0,
            printed.source_keys,
        ),
        first=inside[0][0],
        off=off,
        off_days=tuple(dict.fromkeys(one.day for one in off)),
        is_off=any(one.day == newest[0] for one in off),
        readings=_readings(inside, what) if shown else (),
    )


def _number(what: str, part: str, value: float, made_by: str) -> Number:
    return Number(f"{what}.{part}", value, what, f"racecalc.body.{made_by}", 1)


def _of_own(what: str, part: str, value: float | None, n: int) -> Number | None:
    if value is None:
        return None
    return Number(f"{what}.{part}", value, what, "racecalc.body.usual", n)


def _off(known: Readings, what: str, first: date) -> tuple[OffDay, ...]:
    days, values = zip(*known, strict=True)
    return tuple(
        OffDay(
            day=one.day,
            number=_number(what, f"off.{one.day.isoformat()}", one.value, "days_off"),
            side=one.side,
            own=one.own,
            published=one.published,
        )
        for one in body.days_off(days, values, what)
        if one.day >= first
    )


def _readings(inside: Readings, what: str) -> tuple[VitalReading, ...]:
    return tuple(
        VitalReading(day, _number(what, day.isoformat(), value, "days_off"))
        for day, value in inside
    )
