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
    since = pd.Timestamp(first - timedelta(days=body.USUAL_DAYS))
    known = known[known["date"].between(since, pd.Timestamp(last))].sort_values(["date", "value"])
    inside = known[known["date"] >= pd.Timestamp(first)]
    if inside.empty:
        return None
    days = [moment.date() for moment in known["date"]]
    judged = body.days_off(days, list(known["value"]), what)
    usual = body.usual(list(known.loc[known["date"] >= _of_late(last), "value"]), what)
    newest = inside.iloc[-1]

    def number(part: str, value: float, made_by: str, n: int) -> Number:
        return Number(f"{what}.{part}", float(value), what, f"racecalc.body.{made_by}", n)

    printed = body.PUBLISHED_RANGES[what]
    return Vital(
        what=what,
        count=Number(
            f"{what}.readings", float(len(inside)), "count", "racecalc.body.days_off", len(inside)
        ),
        latest=number("latest", newest["value"], "latest", 1),
        day=newest["date"].date(),
        usual=None if usual.median is None else number("usual", usual.median, "usual", usual.n),
        low=None if usual.low is None else number("own_low", usual.low, "usual", usual.n),
        high=None if usual.high is None else number("own_high", usual.high, "usual", usual.n),
        published=(
            _published(what, "low", printed.low) if printed.low_counts else None,
            _published(what, "high", printed.high),
        ),
        off=tuple(
            OffDay(
                day=one.day,
                number=number(f"off.{one.day.isoformat()}", one.value, "days_off", 1),
                side=one.side,
                own=one.own,
                published=one.published,
            )
            for one in judged
            if one.day >= first
        ),
        readings=tuple(
            VitalReading(
                row["date"].date(),
                number(row["date"].date().isoformat(), row["value"], "days_off", 1),
            )
            for row in inside.to_dict("records")
        )
        if shown
        else (),
    )


def _of_late(last: date) -> pd.Timestamp:
    return pd.Timestamp(last - timedelta(days=body.USUAL_DAYS))


def _published(what: str, end: str, value: float) -> Number:
    return Number(
        f"{what}.published_{end}",
        value,
        what,
        "racecalc.body.PUBLISHED_RANGES",
        0,
        sources=body.PUBLISHED_RANGES[what].source_keys,
    )
