"""The load of one horse up to a day: weeks, sums of days, fast ground, and what came last."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pandas as pd

from racecalc import workload
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.load_model import Load, LoadPoint, LoadSpan, Since, SpeedClass, Strides, Week
from racecalc.digest.number import Number

__all__ = ["LOAD_SPANS", "classes_of", "edges_of", "ground_of", "load"]

# Ground is added up over so many days: a week, the month of most studies, the two months of others.
LOAD_SPANS = {"7d": 7, "30d": 30, "60d": 60}

_WEEK = 7
_FAST_DAYS = 30
# What was done on a day, the most of it first.
_KINDS = {
    "race": "race",
    "work": "work",
    "gallop_out": "work",
    "gallop": "gallop",
    "canter": "light",
    "jog": "light",
    "walk": "other",
    "swim": "other",
    "treadmill": "other",
}
# On a day of these a test is not the most of it.
_HARDER = ("race", "work")
# Walked, trotted or without ground: no strides of a canter.
_NO_STRIDES = ("walk", "jog", "swim", "treadmill")
_RANKS = ("race", "work", "test", "gallop", "light", "other")
# What a study tells of fast ground is shown where it would not flatten the line of the horse's own,
# and only where fast means what it means there.
_STUDY = workload.STUDIES[0]
_NEAR = 3.0
_EDGE_SOURCES = ("verheyen_2006", "hitchens_2023")


@dataclass(frozen=True)
class _Told:
    """The ground that is told of, and the classes of speed in which it is."""

    classed: workload.Classed
    classes: tuple[SpeedClass, ...]


def ground_of(record: HorseBook, last: date) -> pd.DataFrame:
    """Return the ledger of a horse up to a day, with usual speeds where nobody took a time."""
    barn, moment = record.barn, pd.Timestamp(last)
    exercise, works = (record.tables[name] for name in ("exercise", "works"))
    ledger = workload.ledger(
        exercise[exercise["date"] <= moment],
        works[works["date"] <= moment],
        record.tables["splits"],
        barn.fast_speed_m_s,
    )
    return workload.with_usual_speeds(ledger, barn.fast_speed_m_s)


def edges_of(barn: Barn) -> tuple[float, ...]:
    """Return the speeds that part one class from the next in this barn's reports."""
    return workload.speed_edges(barn.speed_classes_m_s or (), barn.fast_speed_m_s)


def load(record: HorseBook, ground: pd.DataFrame, last: date, weeks: int, points: int) -> Load:
    """Return the load of a horse up to a day.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    ground : DataFrame
        As `ground_of` returns it for the same day.
    last : date
        The last day.
    weeks, points : int
        How many weeks are told of, and how many points the line of fast ground has, one a week.
    """
    barn, ground = record.barn, ground[ground["date"] <= pd.Timestamp(last)]
    began = _began(record, ground)
    weeks = _whole(weeks, last, began, _WEEK)
    points = _whole(points, last, began, _FAST_DAYS)
    kinds = _kinds(record, ground, last - timedelta(days=_WEEK * weeks - 1), last)
    line = tuple(_point(ground, last - timedelta(days=_WEEK * ago)) for ago in _back(points))
    classed = workload.classed(ground, edges_of(barn), barn.fast_speed_m_s)
    told = _Told(classed, classes_of(barn))
    return Load(
        last=last,
        classes=told.classes,
        weeks=tuple(_week(told, last - timedelta(days=_WEEK * ago), kinds) for ago in _back(weeks)),
        spans=tuple(_span(told, label, last) for label in LOAD_SPANS),
        line=line,
        since=_since(ground, last),
        strides=_strides(ground, last),
        estimated=_estimated(ground, last),
        published=_published(line, barn),
    )


def _back(count: int) -> list[int]:
    return list(reversed(range(count)))


def _began(record: HorseBook, ground: pd.DataFrame) -> date:
    """Return the first day of the horse's record: before it nothing is known, which is not none."""
    exercise = record.tables["exercise"]["date"]
    began: date = pd.concat([exercise, ground["date"]]).min().date()
    return began


def _whole(count: int, last: date, began: date, reach: int) -> int:
    """Return how many weeks back a span of days still lies in the record, one at least."""
    return max(1, min(count, ((last - began).days + 1 - reach) // _WEEK + 1))


def classes_of(barn: Barn) -> tuple[SpeedClass, ...]:
    """Return the classes of speed of this barn's reports, the slowest first."""
    edges = edges_of(barn)
    numbers = [
        Number(
            f"load.edge.{n}", edge, "edge", "racecalc.workload.speed_edges", 0, _sources_of(edge)
        )
        for n, edge in enumerate(edges, 1)
    ]
    ends: list[Number | None] = [None, *numbers, None]
    return tuple(
        SpeedClass(
            low,
            high,
            fast=low is not None and low.value >= barn.fast_speed_m_s,
            walked=high is not None and high.value == workload.CANTER_FROM_M_S,
        )
        for low, high in pairwise(ends)
    )


def _sources_of(edge_m_s: float) -> tuple[str, ...]:
    published = workload.PUBLISHED_EDGES
    return tuple(key for key in _EDGE_SOURCES if edge_m_s in published[key])


def _ground(
    told: _Told, name: str, first: date, last: date
) -> tuple[dict[int, Number], Number | None]:
    sums, unknown, rows = told.classed.between(first, last)
    made_by = "racecalc.workload.by_class"

    def number(key: str, metres: float, kind: str = "ground") -> Number:
        return Number(f"{name}.{key}", metres, kind, made_by, rows)

    kinds = ["fast_ground" if one.fast else "ground" for one in told.classes]
    found = {
        n: number(f"class_{n}", metres, kinds[n])
        for n, metres in enumerate(sums.tolist())
        if metres
    }
    return found, number("unknown", unknown) if unknown else None


def _week(told: _Told, last: date, kinds: dict[date, str]) -> Week:
    days = [last - timedelta(days=ago) for ago in reversed(range(_WEEK))]
    found, _ = _ground(told, f"load.week.{last.isoformat()}", days[0], last)
    return Week(days[0], last, found, tuple(kinds[day] for day in days))


def _span(told: _Told, label: str, last: date) -> LoadSpan:
    first, _ = workload.last_days(last, LOAD_SPANS[label])
    return LoadSpan(label, first, last, *_ground(told, f"load.{label}", first, last))


def _strides(ground: pd.DataFrame, last: date) -> Strides | None:
    first, _ = workload.last_days(last, _FAST_DAYS)
    inside = workload.between_days(ground, first, last)
    loaded = inside[~inside["activity"].isin(_NO_STRIDES)]
    counted = workload.strides(loaded["distance_m"], loaded["speed_m_s"])
    rows = int(np.isfinite(counted[1]).sum())
    numbers = [
        Number(
            f"load.30d.strides.{key}", float(np.nansum(values)), "strides",
            "racecalc.workload.strides", rows, workload.STRIDE_SOURCES,
        )
        for key, values in zip(("low", "middle", "high"), counted, strict=True)
    ]  # fmt: skip
    return Strides(*numbers) if numbers[1].value else None


def _point(ground: pd.DataFrame, day: date) -> LoadPoint:
    """Return the fast ground of the 30 days that end with a day."""
    span = workload.last_days(day, _FAST_DAYS)
    inside = workload.between_days(ground, *span)
    number = Number(
        f"load.fast_30d.{day.isoformat()}", workload.by_speed(inside, *span)["fast"], "fast_ground",
        "racecalc.workload.by_speed", len(inside), ("verheyen_2006",),
    )  # fmt: skip
    return LoadPoint(day, number)


def _published(line: tuple[LoadPoint, ...], barn: Barn) -> Number | None:
    """Return the fast ground of 30 days that a study tells of, where the horse comes near it."""
    most = max(point.fast.value for point in line)
    same = barn.fast_speed_m_s == workload.FAST_SPEED_M_S
    if _STUDY.fast_m is None or _NEAR * most < _STUDY.fast_m or not same:
        return None
    name, made_by = "load.published.fast_30d", "racecalc.digest.load.load"
    return Number(name, _STUDY.fast_m, "fast_ground", made_by, 0, (_STUDY.key,))


def _since(ground: pd.DataFrame, last: date) -> Since | None:
    """Return how long ago the newest fast work was; a race counts as one (estberg_1996)."""
    fast = ground[(ground["speed_class"] == "fast") & ground["activity"].isin(["work", "race"])]
    if fast.empty:
        return None
    moment = fast["date"].max()
    what = "race" if (fast.loc[fast["date"] == moment, "activity"] == "race").any() else "work"
    days = (pd.Timestamp(last) - moment).days
    number = Number(
        "load.since_fast", float(days), "count", "racecalc.workload.ledger", 1, ("estberg_1996",)
    )
    return Since(moment.date(), what, number)


def _estimated(ground: pd.DataFrame, last: date) -> Number | None:
    first, _ = workload.last_days(last, LOAD_SPANS["60d"])
    rows = workload.between_days(ground[ground["estimated"]], first, last)
    if rows.empty:
        return None
    return Number(
        "load.60d.estimated", float(rows["distance_m"].sum()), "ground",
        "racecalc.workload.with_usual_speeds", len(rows), ("practice_usual_paces",),
    )  # fmt: skip


def _kinds(record: HorseBook, ground: pd.DataFrame, first: date, last: date) -> dict[date, str]:
    """Return what was the most of each day."""
    inside = workload.between_days(ground, first, last)
    done: dict[date, str] = {}
    for moment, activity in zip(inside["date"], inside["activity"], strict=True):
        day, kind = moment.date(), _KINDS[activity]
        done[day] = min(done.get(day, kind), kind, key=_RANKS.index)
    tested = workload.between_days(record.tables["fitness"], first, last)["date"]
    done |= {moment.date(): "test" for moment in tested if done.get(moment.date()) not in _HARDER}
    off = workload.days_off(record.tables["exercise"], record.tables["works"], first, last)
    idle = {*off.rest, *off.turnout}
    stay = record.tables["horses"].iloc[0]
    days = pd.date_range(first, last)
    away = (days < stay["arrived"]) | (days > stay["left"])
    kinds = {}
    for moment, gone in zip(days, away, strict=True):
        day = moment.date()
        left = "off" if day in idle else "away" if gone else "blank"
        kinds[day] = done.get(day, left)
    return kinds
