"""Bringing the subjects together for one horse and one month."""

from collections import Counter
from datetime import date, timedelta
from typing import Any

import pandas as pd

from racecalc import workload
from racecalc.daybook import HorseBook
from racecalc.digest import days, ground, tracks, works
from racecalc.digest.asked import asked_of, thresholds_of
from racecalc.digest.fitness import in_short, newest_test, tests_until
from racecalc.digest.gait import clips_in_short
from racecalc.digest.load import edges_of, ground_of, load
from racecalc.digest.load_model import Load
from racecalc.digest.measures import measure
from racecalc.digest.missing import missing
from racecalc.digest.model import Digest, Horse, Month
from racecalc.digest.next_work import next_in_short
from racecalc.digest.number import Number
from racecalc.digest.outlook_model import NextInShort
from racecalc.digest.settings import clock_error_of, horse_of, limit, one_clock_s
from racecalc.digest.targets import targets_after
from racecalc.digest.vitals import vital
from racecalc.digest.work import records_of
from racecalc.digest.work_model import Work

__all__ = ["build"]

# Tables that tell how far the book goes, whatever the horse did.
_OF_THE_TRACKS = ("surface", "weather")

# Tables whose rows count as a record of the horse's month.
_RECORDS = ("exercise", "works", "measurements", "fitness", "footfalls")

_MEASURED = ("height", "weight", "condition")
# The load is told of a quarter of a year, and fast ground of half a year.
_LOAD_WEEKS, _LOAD_POINTS = 13, 27

_VITAL = ("temperature", "pulse")
# A month tells of so many films of the feet.
_CLIPS = 3


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
    book = record.tables
    exercise, all_works = book["exercise"], book["works"]
    ledger, names = ground_of(record, this.last), _track_names(record)
    horse = horse_of(record)
    through = _through(book, this)
    stay = _stay(horse, this.first, through)
    off = workload.days_off(exercise, all_works, *stay)
    used = tracks.tracks_used(exercise, all_works, this)
    home = tracks.home_of(all_works, used, this)
    logs = tracks.track_logs(record, used, this)
    records, line = records_of(record, _timed_in(all_works, this))
    month_works = works.works_between(records, this)
    measured = _measured(record, this)
    return Digest(
        horse=horse,
        month=this,
        works=month_works,
        line=line,
        races=works.races_between(exercise, names, this),
        test_days=_test_days(book["fitness"], this),
        remarks=works.remarks_between(exercise, all_works, this),
        works_month=works.totals(all_works, this, "month.works"),
        works_last_month=works.totals(all_works, previous, "last_month.works"),
        days=days.month_days(ledger, exercise, all_works, book["surface"], off, home, this),
        **days.day_counts(off, *stay),
        ground=ground.spans(ledger, this, previous),
        usual_fast=ground.usual_fast(ledger, this),
        **_load_and_fitness(record, ledger, month_works, this, min(through, stay[1])),
        **measured,
        **_vital_and_gaits(record, this),
        tracks=logs,
        home_track=names.get(home) if home else None,
        targets=targets_after(record, through),
        worked_on=_worked_on(month_works),
        next_work=_next_work(record, this, through, ledger),
        missing=missing(book, ledger, month_works, measured, used, logs, this),
        **_of_the_slice(record, this),
    )


def _month(key: str) -> Month:
    first, last = workload.month_bounds(key)
    return Month(key, first, last)


def _track_names(record: HorseBook) -> dict[str, str]:
    tracks = record.tables["tracks"]
    return dict(zip(tracks["track"], tracks["name"], strict=True))


def _timed_in(works: pd.DataFrame, month: Month) -> list[str]:
    """Return the ids of the month's timed works, the newest last."""
    inside = workload.between_days(works, month.first, month.last)
    timed = inside[inside["time_s"].notna()]
    return [work for _, work in sorted(zip(timed["date"], timed["work"], strict=True))]


def _of_the_slice(record: HorseBook, month: Month) -> dict[str, Any]:
    """Return what the slice itself tells of: its barn's limits, what was left out, how far it goes.

    The limits are those of the barn, and of its watch.
    """
    barn = record.barn
    return {
        "barn": barn,
        "recorded": _has_rows(record.tables, month),
        "clock_error": clock_error_of(barn),
        "fast_speed": limit("care.fast_speed", barn.fast_speed_m_s, "threshold"),
        "fast_limit": limit("care.fast_limit_30d", barn.fast_limit_30d_m, "fast_ground"),
        "last_record": _last_record(record.tables, month.last),
        "left_out": tuple(record.left_out),
        "withheld_notes": record.withheld_notes,
        "data_hash": record.data_hash,
    }


def _measured(record: HorseBook, month: Month) -> dict[str, Any]:
    measurements, barn = record.tables["measurements"], record.barn
    return {what: measure(measurements, what, month.first, month.last, barn) for what in _MEASURED}


def _vital_and_gaits(record: HorseBook, month: Month) -> dict[str, Any]:
    first, last, tables = month.first, month.last, record.tables
    clips = clips_in_short(tables["footfalls"], first, last)
    signs = {what: vital(tables["measurements"], what, first, last) for what in _VITAL}
    return {**signs, "gaits": clips[-_CLIPS:], "gaits_older": max(len(clips) - _CLIPS, 0)}


def _load_and_fitness(
    record: HorseBook, ledger: pd.DataFrame, works: tuple[Work, ...], month: Month, last: date
) -> dict[str, Any]:
    """Return the load, the newest test, and what was asked of works; of an empty month, nothing."""
    if not _has_rows(record.tables, month):
        return {"load": None, "test": None, "asked": ()}
    test = newest_test(tests_until(record.tables["fitness"], last), last)
    edges, one_s = edges_of(record.barn), one_clock_s(record.barn)
    found = _load(record, ledger, last)
    # Works are told in the classes of the load; it is missing only where they came after the stay.
    asked = asked_of(works, edges, thresholds_of(test), one_s) if found else ()
    return {"load": found, "test": test and in_short(test), "asked": asked}


def _load(record: HorseBook, ledger: pd.DataFrame, last: date) -> Load | None:
    """Return the load up to a day; none where no ground was covered in the weeks before."""
    first, _ = workload.last_days(last, 7 * _LOAD_WEEKS)
    if workload.between_days(ledger, first, last).empty:
        return None
    return load(record, ledger, last, _LOAD_WEEKS, _LOAD_POINTS)


def _through(book: dict[str, pd.DataFrame], month: Month) -> date:
    """Return the last day of the month that the book can know of.

    A report made in mid-month does not count the days to come as days without an entry.
    """
    moments = pd.concat([book[table]["date"] for table in (*_RECORDS, *_OF_THE_TRACKS)])
    newest: date | None = None if moments.empty else moments.max().date()
    return month.last if newest is None or newest < month.first else min(month.last, newest)


def _stay(horse: Horse, first: date, last: date) -> tuple[date, date]:
    """Return the first and last day on which the horse was in the barn, within a span of days."""
    return max(first, horse.arrived or first), min(last, horse.left or last)


def _worked_on(works: tuple[Work, ...]) -> dict[str, Number]:
    """Count works by the state of the surface, the most frequent first."""
    counted = Counter(work.state or "" for work in works)
    return {
        state: Number(
            f"month.works.on.{state or 'unknown'}",
            float(count),
            "count",
            "racecalc.daybook.read",
            count,
        )
        for state, count in counted.most_common()
    }


def _next_work(
    record: HorseBook, month: Month, through: date, ledger: pd.DataFrame
) -> NextInShort | None:
    """Return the next fast work as proposed; none of an empty month, or one that others follow."""
    tables = (*_RECORDS, *_OF_THE_TRACKS)
    newest = pd.concat([record.tables[table]["date"] for table in tables]).max()
    if not newest <= pd.Timestamp(month.last) or not _has_rows(record.tables, month):
        return None
    # Nothing is on record after the last day that the book knows of.
    return next_in_short(record, through, ledger)


def _test_days(fitness: pd.DataFrame, month: Month) -> tuple[date, ...]:
    inside = workload.between_days(fitness, month.first, month.last)["date"]
    return tuple(sorted({moment.date() for moment in inside}))


def _has_rows(book: dict[str, pd.DataFrame], month: Month) -> bool:
    return any(
        len(workload.between_days(book[table], month.first, month.last)) for table in _RECORDS
    )


def _last_record(book: dict[str, pd.DataFrame], until: date) -> date | None:
    newest = pd.concat([book[table]["date"] for table in _RECORDS])
    newest = newest[newest <= pd.Timestamp(until)]
    return None if newest.empty else newest.max().date()
