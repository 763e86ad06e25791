"""Works that might be set, side by side: like the last, shorter and sharper, longer and easier."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import pandas as pd

from racecalc import fitness, own_line
from racecalc.daybook import HorseBook
from racecalc.digest.course import courses_of
from racecalc.digest.next_model import PlanWork, PoleCall
from racecalc.digest.number import Number
from racecalc.digest.pole_sheet import build_pole_sheet
from racecalc.digest.settings import one_clock_s
from racecalc.errors import RacecalcError
from racecalc.notation import write_clock, write_distance

__all__ = ["EFFORTS", "Setting", "like_the_last_m", "plan_works"]

EFFORTS = ("easy", "steady", "threshold", "sharp", "full")
"""What may be asked of a horse, from the least to the most."""

# Nobody is advised to ask for everything in the morning.
_SHARPEST = EFFORTS.index("sharp")
# What is taken to have been asked where nothing is said; how many steps easier the easier work is;
# and how much shorter the shorter one at most, of the last. Choices.
_UNSAID = EFFORTS.index("steady")
_EASIER = 2
_PLAINLY = 0.8
_SAME_DISTANCE_M = 10.0
_MADE_BY = "racecalc.digest.build_next_work"
_EXPECTED = "racecalc.own_line.foreseen"
_TEST_SOURCES = ("lindner_2010", "davie_evans_2000", "steady_lactate")


@dataclass(frozen=True)
class Setting:
    """What the times of works depend on: the day, the track and its footing, the newest test.

    ``fast_30d_m`` is the fast ground in the 30 days that end with the day, without a work.
    """

    record: HorseBook
    track: str
    last: date
    day: date
    state: str | None
    fast_30d_m: float
    threshold: Number | None
    threshold_day: date | None
    reading: fitness.Reading | None


@dataclass(frozen=True)
class _Draft:
    """A work before its time is known."""

    kind: str
    distance_m: float
    effort: str


def plan_works(setting: Setting) -> tuple[PlanWork, ...]:
    """Return the works that might be set, with the times to expect; none of a horse without works.

    Distances are those over which the horse, or the barn, has worked at the track in the year
    before. Times are those of the horse's own line for the effort and the footing; of the work at
    the threshold, that of the newest exercise test.
    """
    drafts = _drafts(setting)
    if not drafts:
        return ()
    own, string = (_recent(setting.record.tables[name], setting) for name in ("works", "string"))
    asked = pd.DataFrame([_asked(draft, setting, own) for draft in drafts])
    expected = own_line.foreseen(asked, own, string, one_clock_s(setting.record.barn))
    said = pd.concat([own["effort"], string["effort"]]).value_counts()
    return tuple(
        _told(draft, setting, time, int(said.get(draft.effort, 0)))
        for draft, time in zip(drafts, expected, strict=True)
    )


def like_the_last_m(setting: Setting) -> float:
    """Return the fast ground that a work like the last timed one adds, at any track, in metres."""
    works = _recent(setting.record.tables["works"], setting)
    if works.empty:
        return 0.0
    columns = (works[name] for name in ("date", "work", "distance_m", "time_s"))
    *_, far, time_s = max(zip(*columns, strict=True))
    return far if far / time_s >= setting.record.barn.fast_speed_m_s else 0.0


def _here(setting: Setting) -> pd.DataFrame:
    """Return the horse's own works at the track in the year before, oldest first."""
    own = _recent(setting.record.tables["works"], setting)
    return own[own["track"] == setting.track].sort_values(["date", "work"], kind="stable")


def _recent(works: pd.DataFrame, setting: Setting) -> pd.DataFrame:
    """Return the timed works of the year before, up to the last day that is known."""
    first = pd.Timestamp(setting.last) - pd.Timedelta(days=own_line.WINDOW_DAYS)
    inside = works["date"].between(first, pd.Timestamp(setting.last)) & works["time_s"].notna()
    return works[inside]


def _drafts(setting: Setting) -> list[_Draft]:
    here = _here(setting)
    if here.empty:
        return []
    string = _recent(setting.record.tables["string"], setting)
    lengths = pd.concat([here, string[string["track"] == setting.track]])["distance_m"].unique()
    newest = here.iloc[-1]
    far, effort = float(newest["distance_m"]), newest["effort"]
    step = min(EFFORTS.index(effort) if effort in EFFORTS else _UNSAID, _SHARPEST)
    easier = EFFORTS[max(step - _EASIER, 0)]
    drafts = [_Draft("same", far, EFFORTS[step])]
    if shorter := _shorter(lengths.tolist(), far):
        drafts.insert(0, _Draft("shorter", shorter, EFFORTS[min(step + 1, _SHARPEST)]))
    longer = min((m for m in lengths if m > far + _SAME_DISTANCE_M), default=None)
    if longer or easier != EFFORTS[step]:
        drafts.append(_Draft("longer" if longer else "easier", longer or far, easier))
    if setting.reading and setting.reading.speed_m_s:
        drafts.append(_Draft("threshold", longer or far, "threshold"))
    return drafts


def _shorter(lengths: list[float], far: float) -> float | None:
    """Return a distance that is plainly shorter, else the next shorter one."""
    less = [m for m in lengths if m < far - _SAME_DISTANCE_M]
    plainly = [m for m in less if m <= _PLAINLY * far + _SAME_DISTANCE_M]
    return max(plainly or less, default=None)


def _asked(draft: _Draft, setting: Setting, own: pd.DataFrame) -> Mapping[str, Any]:
    """Return a work as the line is asked for it, ridden as works of that effort were."""
    like = own.loc[own["effort"] == draft.effort, "manner"].dropna()
    manner = like.mode().iloc[0] if len(like) else None
    return {
        "date": pd.Timestamp(setting.day),
        "track": setting.track,
        "distance_m": draft.distance_m,
        "state": setting.state,
        "manner": manner,
        "effort": draft.effort,
        "from_gate": False,
    }


def _told(
    draft: _Draft, setting: Setting, expected: own_line.Expectation | None, said: int
) -> PlanWork:
    name = f"next.{draft.kind}"
    time_s = low_s = high_s = None
    sources: tuple[str, ...] = own_line.LINE_SOURCES
    made_by = _EXPECTED
    if draft.kind == "threshold" and setting.reading and setting.reading.speed_m_s:
        speed, low, high = (
            setting.reading.speed_m_s, setting.reading.low_m_s, setting.reading.high_m_s
        )  # fmt: skip
        time_s, sources, made_by = draft.distance_m / speed, _TEST_SOURCES, _MADE_BY
        low_s = draft.distance_m / high if high else None
        high_s = draft.distance_m / low if low else None
    elif expected is not None:
        time_s, low_s, high_s = expected.time_s, expected.low_s, expected.high_s

    def number(key: str, value: float | None, kind: str) -> Number | None:
        return None if value is None else Number(f"{name}.{key}", value, kind, made_by, 1, sources)

    fast = _fast(draft, setting, time_s)
    total = None if fast is None else setting.fast_30d_m + fast
    ground = "racecalc.workload.by_speed"
    return PlanWork(
        kind=draft.kind,
        distance=Number(f"{name}.distance", draft.distance_m, "distance", _MADE_BY, 1),
        effort=draft.effort,
        learned=said >= own_line.FEWEST_OF_EFFORT,
        sharper=EFFORTS.index(draft.effort) > _last_step(setting),
        time=number("time", time_s, "expected"),
        low=number("low", low_s, "expected"),
        high=number("high", high_s, "expected"),
        pace=number("pace", time_s and draft.distance_m / time_s, "threshold"),
        fast=None if fast is None else Number(f"{name}.fast", fast, "fast_ground", ground, 1),
        fast_30d=None
        if total is None
        else Number(f"{name}.fast_30d", total, "fast_ground", ground, 1),
        over_limit=total is not None and total > setting.record.barn.fast_limit_30d_m,
        calls=() if time_s is None else _calls(name, draft, setting, time_s),
    )


def _fast(draft: _Draft, setting: Setting, time_s: float | None) -> float | None:
    """Return the fast ground of a work at an even pace: all of it, or none."""
    if time_s is None:
        return None
    fast = draft.distance_m / time_s >= setting.record.barn.fast_speed_m_s
    return draft.distance_m if fast else 0.0


def _last_step(setting: Setting) -> int:
    """Return what was asked of the last work, as a place among `EFFORTS`."""
    effort = _here(setting).iloc[-1]["effort"]
    return EFFORTS.index(effort) if effort in EFFORTS else _UNSAID


def _calls(name: str, draft: _Draft, setting: Setting, time_s: float) -> tuple[PoleCall, ...]:
    """Return the watch at each furlong pole, or 200 m; none where a work cannot be laid there."""
    barn, tracks = setting.record.barn, setting.record.tables["tracks"]
    course = courses_of(tracks)[setting.track]
    try:
        sheet = build_pole_sheet(
            setting.record,
            setting.track,
            write_distance(draft.distance_m),
            write_clock(round(time_s * 5) / 5, barn.clock),
            day=setting.day.isoformat(),
        )
    except RacecalcError:
        return ()
    found = []
    for call in sheet.calls:
        place = call.place
        pieces = place.to_finish_m / course.piece_m
        if abs(pieces - round(pieces)) * course.piece_m > _SAME_DISTANCE_M:
            continue
        # From the time itself, not from a rounded one, so that the pace is even.
        watch = time_s * (draft.distance_m - place.to_finish_m) / draft.distance_m
        named = f"{name}.{place.pole}.watch"
        number = Number(named, watch, "expected", "racecalc.digest.build_pole_sheet", 0)
        found.append(PoleCall(place.pole, place.colour, place.to_finish_m, number))
    return tuple(found)
