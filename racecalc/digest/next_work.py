"""Which day, how far, how fast: the next fast work of one horse, proposed from what is known."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import pandas as pd

from racecalc import fitness, workload
from racecalc.daybook import WEEKDAYS, HorseBook
from racecalc.digest.fitness import newest_test, tests_until
from racecalc.digest.ground import usual_fast
from racecalc.digest.load import ground_of
from racecalc.digest.model import Month, Target
from racecalc.digest.next_model import NextWork, PlanWork
from racecalc.digest.number import Number
from racecalc.digest.outlook import outlook
from racecalc.digest.outlook_model import NextInShort, Outlook
from racecalc.digest.plan_asked import MOST_DAYS, Asked, has_left, read_asked
from racecalc.digest.plan_days import IN_WORK_DAYS, Chosen, fast_30d, plan_days, rules_of
from racecalc.digest.plan_works import Setting, like_the_last_m, plan_works
from racecalc.digest.settings import days_after_race, horse_of, last_day, limit
from racecalc.digest.track_water import TrackWater, check_of, water_of

__all__ = ["build_next_work", "next_in_short"]

_MADE_BY = "racecalc.digest.build_next_work"
# At least so many days are weighed, and up to a few after the planned one; fewer where the race
# comes sooner. A choice.
_FEWEST_DAYS, _DAYS_AFTER = 7, 4
# A habit of so many days from work to work is told from three gaps on, over half a year.
_GAP_DAYS, _FEWEST_GAPS = 180, 3


@dataclass(frozen=True)
class _Known:
    """What the book tells of the horse by the last day."""

    since_day: date | None
    since_what: str | None
    least_days: int
    out_of_work: bool
    gap: Number | None
    ground: pd.DataFrame


@dataclass(frozen=True)
class _Plan:
    """The days weighed, and what they were weighed by."""

    asked: Asked
    known: _Known
    wanted: date
    water: TrackWater | None
    ahead: Outlook | None
    setting: Setting
    chosen: Chosen


def build_next_work(
    record: HorseBook, until: str = "", planned: str = "", bad_footing: str = "", track: str = ""
) -> NextWork:
    """Propose the next fast work of a horse.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    until : str
        The last day that is known, ``YYYY-MM-DD``; blank for the newest day of its record.
    planned : str
        The day on which the trainer would work it if nothing stood against it; blank: as the horse
        usually works.
    bad_footing : str
        How many days of waiting a work on bad footing costs; blank: as the barn has set it, else 4.
    track : str
        Id of the track; blank: where the horse last worked.

    Raises
    ------
    OutOfRangeError
        If a text is no day, or no number of days, or the book has no such track, or the horse has
        left the barn.
    """
    last = last_day(record, until, ("exercise", "works", "surface", "weather"))
    asked = read_asked(record, last, planned, bad_footing, track)
    plan = _planned_days(record, last, asked, ground_of(record, last))
    known, ahead = plan.known, plan.ahead
    proposed = plan.chosen.best is not None
    # Where no day fits, no work is laid out for one.
    setting = _setting_of(record, plan)
    works = plan_works(setting) if proposed else ()
    return NextWork(
        barn=record.barn,
        horse=horse_of(record),
        last=last,
        out_of_work=known.out_of_work,
        least_days=known.least_days,
        track=ahead.name if ahead else "",
        target=asked.target,
        since_day=known.since_day,
        since_what=known.since_what,
        gap=known.gap,
        planned=plan.wanted if plan.chosen.days else None,
        asked_for=asked.planned is not None,
        cost_from=asked.cost_from,
        outlook=ahead,
        lean=_lean(record, plan) if proposed else None,
        days=plan.chosen.days,
        best=plan.chosen.best,
        fall_backs=plan.chosen.fall_backs,
        works=works,
        threshold=setting.threshold if proposed else None,
        threshold_day=setting.threshold_day if proposed else None,
        lacks=_lacks(ahead, asked, setting, works, proposed),
        **_figures(record, asked, known, setting, proposed),
        **_of_the_slice(record),
    )


def _planned_days(record: HorseBook, last: date, asked: Asked, ground: pd.DataFrame) -> _Plan:
    """Weigh the days ahead, and propose one."""
    known = _known(record, last, ground)
    wanted = asked.planned or _wanted(record, last, known, asked.target)
    # Of a horse that is coming back no days are weighed: its way is for other eyes.
    days = [] if known.out_of_work else _days_ahead(record, last, asked.target, wanted)
    water = water_of(record, asked.track, last) if asked.track and days else None
    ahead = outlook(record, water, last, len(days)) if water else None
    setting = _setting(record, asked, last, wanted)
    chosen = plan_days(
        ahead,
        rules_of(record.barn, asked, wanted, known.least_days),
        known.since_day,
        asked.target,
        known.ground,
        like_the_last_m(setting),
    )
    return _Plan(asked, known, wanted, water, ahead, setting, chosen)


def _known(record: HorseBook, last: date, ground: pd.DataFrame) -> _Known:
    """Return what the book tells of the horse by the last day."""
    since_day, since_what = _since(record, last)
    barn = record.barn
    return _Known(
        since_day=since_day,
        since_what=since_what,
        least_days=days_after_race(barn) if since_what == "race" else barn.days_between_works,
        out_of_work=since_day is None or (last - since_day).days > IN_WORK_DAYS,
        gap=_gap(record, last),
        ground=ground,
    )


def _setting_of(record: HorseBook, plan: _Plan) -> Setting:
    """Return what the times depend on, on the day proposed: its footing is the one to expect."""
    on = plan.chosen.best or plan.wanted
    state = _state(record, plan.ahead, on)
    return replace(plan.setting, day=on, state=state, fast_30d_m=fast_30d(plan.known.ground, on))


def _lean(record: HorseBook, plan: _Plan) -> str | None:
    """Return whether middling chances have been too low or too high on days not learned from."""
    if plan.water is None:
        return None
    found = check_of(record, plan.water)
    return found.middling().lean if found else None


def _of_the_slice(record: HorseBook) -> dict[str, Any]:
    return {
        "left_out": tuple(record.left_out),
        "withheld_notes": record.withheld_notes,
        "data_hash": record.data_hash,
    }


def _figures(
    record: HorseBook, asked: Asked, known: _Known, setting: Setting, proposed: bool
) -> dict[str, Any]:
    """Return the barn's figures, fast ground with the work, and how long the horse is idle."""
    barn, rows = record.barn, len(known.ground)
    with_it = setting.fast_30d_m + like_the_last_m(setting)
    idle = None if known.since_day is None else (setting.last - known.since_day).days
    return {
        "bad_footing": limit("care.bad_footing_days", asked.bad_days, "wait"),
        "fast_limit": limit("care.fast_limit_30d", barn.fast_limit_30d_m, "fast_ground")
        if proposed
        else None,
        "fast": Number("next.fast_30d", with_it, "fast_ground", "racecalc.workload.by_speed", rows)
        if proposed
        else None,
        "usual_fast": usual_fast(known.ground, _month(setting.last)) if proposed else None,
        "idle": None
        if proposed or idle is None
        else Number("next.idle", float(idle), "count", "racecalc.daybook.read", 1),
    }


def _month(day: date) -> Month:
    return Month(f"{day:%Y-%m}", *workload.month_bounds(f"{day:%Y-%m}"))


def next_in_short(record: HorseBook, last: date, ground: pd.DataFrame) -> NextInShort | None:
    """Return the day proposed for the next fast work, where one is; none of a horse that left.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    last : date
        The last day that is known.
    ground : DataFrame
        As `racecalc.digest.load.ground_of` returns it for that day.
    """
    if has_left(record, last):
        return None
    plan = _planned_days(record, last, read_asked(record, last), ground)
    best, ahead = plan.chosen.best, plan.ahead
    if best is None or ahead is None:
        return None
    on = next(one for one in ahead.days if one.day == best)
    return NextInShort(best, plan.chosen.fall_backs, ahead.name, on.basis, on.likeliest, on.bad)


def _since(record: HorseBook, last: date) -> tuple[date | None, str | None]:
    """Return the day of the newest work or race, and which it was."""
    works, exercise = record.tables["works"], record.tables["exercise"]
    races = exercise[exercise["activity"] == "race"]
    newest = {
        what: rows.loc[rows["date"] <= pd.Timestamp(last), "date"].max()
        for what, rows in (("work", works), ("race", races))
    }
    found = [(moment.date(), what) for what, moment in newest.items() if pd.notna(moment)]
    return max(found, default=(None, None))


def _gap(record: HorseBook, last: date) -> Number | None:
    """Return the horse's middle number of days from work to work."""
    works = workload.between_days(record.tables["works"], last - timedelta(days=_GAP_DAYS), last)
    days = works["date"].drop_duplicates().sort_values()
    gaps = days.diff().dt.days.dropna()
    if len(gaps) < _FEWEST_GAPS:
        return None
    return Number("next.gap", float(round(gaps.median())), "count", _MADE_BY, len(gaps))


def _days_ahead(record: HorseBook, last: date, target: Target | None, planned: date) -> list[date]:
    """Return the days before the race on which the horse is in the barn, from tomorrow on."""
    count = min(max((planned - last).days + _DAYS_AFTER, _FEWEST_DAYS), MOST_DAYS)
    days = [last + timedelta(days=n) for n in range(1, count + 1)]
    left = horse_of(record).left
    return [day for day in days if (not target or day < target.day) and (not left or day < left)]


def _wanted(record: HorseBook, last: date, known: _Known, target: Target | None) -> date:
    """Return the day on which the horse would work if footing and weather did not matter."""
    first = last + timedelta(days=1)
    if known.since_day is None:
        return first
    least = known.since_day + timedelta(days=known.least_days)
    wanted = known.since_day + timedelta(days=round(known.gap.value)) if known.gap else least
    if target:
        wanted = min(wanted, target.day - timedelta(days=record.barn.days_work_to_race))
    wanted = max(wanted, least, first)
    rests = record.barn.rest_days
    return next(
        day
        for day in (wanted + timedelta(days=n) for n in range(len(WEEKDAYS)))
        if WEEKDAYS[day.weekday()] not in rests
    )


def _setting(record: HorseBook, asked: Asked, last: date, day: date) -> Setting:
    """Return what the times of the works depend on, but for the day's footing and ground."""
    test = newest_test(tests_until(record.tables["fitness"], last), last)
    reading: fitness.Reading | None = test.v4.reading if test and test.v4.pace else None
    return Setting(
        record=record,
        track=asked.track,
        last=last,
        day=day,
        state=None,
        fast_30d_m=0.0,
        threshold=test.v4.pace if test else None,
        threshold_day=test.day if test and reading else None,
        reading=reading,
    )


def _state(record: HorseBook, ahead: Outlook | None, day: date) -> str | None:
    """Return the likeliest word for the track on a day, where the barn works on it."""
    on = next((one for one in ahead.days if one.day == day), None) if ahead else None
    word = on.likeliest if on else None
    return None if word in record.barn.no_work_states else word


def _lacks(
    ahead: Outlook | None,
    asked: Asked,
    setting: Setting,
    works: tuple[PlanWork, ...],
    proposed: bool,
) -> tuple[str, ...]:
    """Name what was missing; of works only where a day is proposed for one."""
    lacks = list(ahead.lacks) if ahead else []
    lacks += [] if asked.track else ["track"]
    lacks += [] if asked.target else ["target"]
    lacks += ["works"] if proposed and not works else []
    if works and not any(work.time for work in works):
        lacks.append("line")
    lacks += ["threshold"] if proposed and not setting.reading else []
    return tuple(lacks)
