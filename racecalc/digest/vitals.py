"""Temperature and pulse: the horse's own normal first, the published range second."""

from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.digest.body_model import OffDay, Vital, VitalReading
from racecalc.digest.number import Number

__all__ = ["vital"]


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
    known = measurements[(measurements["what"] == what) & measurements["value"].notna()]
    since = pd.Timestamp(first - timedelta(days=body.USUAL_DAYS[what]))
    known = known[known["date"].between(since, pd.Timestamp(last))].sort_values(["date", "value"])
    inside = known[known["date"] >= pd.Timestamp(first)]
    if inside.empty:
        return None
    newest, n = inside.iloc[-1], len(inside)
    of_late = known["date"] >= pd.Timestamp(last - timedelta(days=body.USUAL_DAYS[what]))
    usual = body.usual(known.loc[of_late, "value"], what)
    printed = body.PUBLISHED_RANGES[what]
    off = _off(known, what, first)
    return Vital(
        what=what,
        count=Number(f"{what}.readings", float(n), "count", "racecalc.body.days_off", n),
        latest=_number(what, "latest", float(newest["value"]), "latest"),
        day=newest["date"].date(),
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
        first=inside.iloc[0]["date"].date(),
        off=off,
        off_days=tuple(dict.fromkeys(one.day for one in off)),
        is_off=any(one.day == newest["date"].date() for one in off),
        readings=_readings(inside, what) if shown else (),
    )


def _number(what: str, part: str, value: float, made_by: str) -> Number:
    return Number(f"{what}.{part}", value, what, f"racecalc.body.{made_by}", 1)


def _of_own(what: str, part: str, value: float | None, n: int) -> Number | None:
    if value is None:
        return None
    return Number(f"{what}.{part}", value, what, "racecalc.body.usual", n)


def _off(known: pd.DataFrame, what: str, first: date) -> tuple[OffDay, ...]:
    days = [moment.date() for moment in known["date"]]
    return tuple(
        OffDay(
            day=one.day,
            number=_number(what, f"off.{one.day.isoformat()}", one.value, "days_off"),
            side=one.side,
            own=one.own,
            published=one.published,
        )
        for one in body.days_off(days, known["value"], what)
        if one.day >= first
    )


def _readings(inside: pd.DataFrame, what: str) -> tuple[VitalReading, ...]:
    days = [moment.date() for moment in inside["date"]]
    return tuple(
        VitalReading(day, _number(what, day.isoformat(), float(value), "days_off"))
        for day, value in zip(days, inside["value"], strict=True)
    )
