"""Bringing the subjects together for one horse and one month."""

from datetime import date, timedelta

import pandas as pd

from racecalc import workload
from racecalc.daybook import HorseBook
from racecalc.digest import days, ground, measures, tracks, works
from racecalc.digest.missing import missing
from racecalc.digest.model import Digest, Horse, Month, Number, Target

__all__ = ["build"]

# Tables whose rows count as a record of the horse's month.
_RECORDS = ("exercise", "works", "measurements", "fitness", "footfalls")


def build(record: HorseBook, month: str) -> Digest:
    """Return the digest of one horse's month.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    month : str
        The month, ``YYYY-MM``.

    Raises
    ------
    OutOfRangeError
        If the text is no month.
    """
    this = _month(month)
    previous = _month(f"{this.first - timedelta(days=1):%Y-%m}")
    book, barn = record.tables, record.barn
    exercise, all_works, splits = book["exercise"], book["works"], book["splits"]
    names = dict(zip(book["tracks"]["track"], book["tracks"]["name"], strict=True))
    ledger = workload.ledger(exercise, all_works, splits, barn.fast_speed_m_s)
    off = workload.days_off(exercise, all_works, this.first, this.last)
    used = tracks.tracks_used(exercise, all_works, this)
    home = next(iter(used), None)
    logs = tracks.track_logs(book["tracks"], book["surface"], used, this)
    month_works = works.works_between(all_works, splits, names, barn.clock, this)
    measured = {
        what: measures.measure(book["measurements"], what, this) for what in ("height", "weight")
    }
    return Digest(
        horse=_horse(book["horses"]),
        barn=barn,
        month=this,
        works=month_works,
        races=works.races_between(exercise, names, this),
        works_month=works.totals(all_works, this, "works.month"),
        works_last_month=works.totals(all_works, previous, "works.last_month"),
        days=days.month_days(ledger, exercise, all_works, book["surface"], off, home, this),
        **days.day_counts(off, this),
        ground=ground.spans(ledger, this, previous),
        fast_speed=_setting("care.fast_speed", barn.fast_speed_m_s, "threshold"),
        fast_limit=_setting("care.fast_limit_30d", barn.fast_limit_30d_m, "ground"),
        usual_fast=ground.usual_fast(ledger, this),
        height=measured["height"],
        weight=measured["weight"],
        tracks=logs,
        home_track=names.get(home) if home else None,
        targets=_targets(book["targets"], names, this),
        recorded=_has_rows(book, this),
        missing=missing(book, ledger, month_works, measured, used, logs, this),
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        last_record=_last_record(book, this.last),
        data_hash=record.data_hash,
    )


def _month(key: str) -> Month:
    first, last = workload.month_bounds(key)
    return Month(key, first, last)


def _horse(horses: pd.DataFrame) -> Horse:
    row = horses.iloc[0]
    year = row["foaled"].year if pd.notna(row["foaled"]) else row["foaled_year"]
    return Horse(
        id=row["horse"],
        name=row["name"],
        sex=row["sex"],
        colour=row["colour"],
        foaled_year=None if pd.isna(year) else int(year),
        arrived=_day(row["arrived"]),
        left=_day(row["left"]),
    )


def _day(moment: pd.Timestamp) -> date | None:
    return None if pd.isna(moment) else moment.date()


def _setting(name: str, value: float, kind: str) -> Number:
    return Number(name, value, kind, "racecalc.daybook.read", 1, caveat="a setting of the barn")


def _targets(targets: pd.DataFrame, names: dict[str, str], month: Month) -> tuple[Target, ...]:
    ahead = targets[targets["date"] > pd.Timestamp(month.last)]
    ahead = ahead.sort_values(["date", "distance_m", "track", "what"], kind="stable")
    return tuple(
        Target(
            day=row["date"].date(),
            distance=Number(
                f"targets.{row['date'].date().isoformat()}.distance",
                float(row["distance_m"]),
                "distance",
                "racecalc.daybook.read",
                1,
            ),
            track=names.get(row["track"], row["track"]),
            what=row["what"],
        )
        for row in ahead.to_dict("records")
    )


def _has_rows(book: dict[str, pd.DataFrame], month: Month) -> bool:
    return any(
        len(workload.between_days(book[table], month.first, month.last)) for table in _RECORDS
    )


def _last_record(book: dict[str, pd.DataFrame], until: date) -> date | None:
    newest = pd.concat([book[table]["date"] for table in _RECORDS])
    newest = newest[newest <= pd.Timestamp(until)]
    return None if newest.empty else newest.max().date()
