"""Timed works: those that the story fixes, those drawn around them, and their split clocks."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import combinations
from random import Random

from sample_stable.barn import MILE, TRAINING, Track
from sample_stable.calendar import chance, day, days
from sample_stable.sky import NO_WORK_STATES
from sample_stable.story import Horse, PlannedWork
from sample_stable.writing import clock_text, distance_text, pole_text

__all__ = ["States", "Work", "companions", "split_rows", "work_rows", "works_of"]

States = Mapping[tuple[str, date], str]

# Seconds per furlong at four furlongs on a fast track, by what was asked.
_PACE = {"easy": 12.75, "steady": 12.4, "threshold": 12.2, "sharp": 12.0}
_EFFORTS = ("steady", "threshold", "easy", "steady", "sharp", "threshold")
_STATE_SLOWER = {"good": 0.10, "wet fast": -0.03, "wet": 0.05, "slow": 0.12}
_FEET_PER_FURLONG = 660


@dataclass(frozen=True)
class Work:
    """One timed work; ``fifths`` is the watch at the finish, or None when it was not started."""

    horse: Horse
    on: date
    track: Track
    furlongs: int
    fifths: int | None
    effort: str
    state: str
    from_gate: bool = False
    note: str = ""
    company: str = ""

    @property
    def id(self) -> str:
        """The work's id: initials and day."""
        return f"{self.horse.initials}-{self.on:%y%m%d}"


def works_of(horse: Horse, states: States) -> list[Work]:
    """Return a horse's works, oldest first.

    Raises
    ------
    ValueError
        If the story sets a work on a track that is closed to works, or before a race.
    """
    planned = {day(work.date): work for work in horse.works}
    rng = chance("works", horse.id)
    found: list[Work] = []
    gap = 7
    earliest = horse.first_day + timedelta(days=rng.choice((1, 2, 4, 5, 7)))
    for on in days(horse.first_day, horse.last_day):
        if on in planned:
            found.append(_as_planned(horse, planned[on], states))
        elif on >= earliest and _may_work(horse, on, found, gap):
            work = _drawn(horse, on, _since_a_break(found, on), states, rng)
            if work:
                found.append(work)
                gap = rng.choice((6, 7, 7, 8, 9))
    return found


def _as_planned(horse: Horse, plan: PlannedWork, states: States) -> Work:
    on = day(plan.date)
    state = states[plan.track.id, on]
    if state in NO_WORK_STATES:
        raise ValueError(f"{horse.id}: {plan.track.id} is {state} on {on}; move the work")
    return Work(
        horse=horse,
        on=on,
        track=plan.track,
        furlongs=plan.furlongs,
        fifths=plan.fifths,
        effort=plan.effort,
        state=state,
        from_gate=plan.from_gate,
        note=plan.note,
    )


def _may_work(horse: Horse, on: date, found: list[Work], gap: int) -> bool:
    if horse.turn(on) != "work" or on >= day(horse.planned_from) or on.weekday() == 6:
        return False
    if found and (on - found[-1].on).days < gap:
        return False
    fixed = [day(work.date) for work in horse.works] + [day(text) for text in horse.test_days]
    if any(abs((on - other).days) < 5 for other in fixed):
        return False
    return all(not -10 < (day(race.date) - on).days < 5 for race in horse.races)


def _since_a_break(found: list[Work], on: date) -> int:
    """Return how many works a horse has behind it since it last went four weeks without one."""
    count = 0
    for work in reversed(found):
        if (on - work.on).days > 28:
            break
        on, count = work.on, count + 1
    return count


def _drawn(horse: Horse, on: date, count: int, states: States, rng: Random) -> Work | None:
    """Draw a work, on the training track when the dirt is closed to works."""
    track = MILE
    if states[MILE.id, on] in NO_WORK_STATES:
        if rng.random() < 0.4:
            return None
        track = TRAINING
    state = states[track.id, on]
    furlongs = horse.distances[count % len(horse.distances)]
    if track is TRAINING:
        furlongs = min(furlongs, 4)
    effort = "easy" if count == 0 else _EFFORTS[count % len(_EFFORTS)]
    pace = _PACE[effort] + horse.slower + 0.07 * (furlongs - 4) + _STATE_SLOWER.get(state, 0.0)
    # A horse sharpens over its first dozen works.
    pace += 0.20 * max(0, 12 - count) / 12 + rng.gauss(0, 0.08)
    from_gate = furlongs >= 3 and rng.random() < 0.06
    seconds = pace * furlongs + (1.0 if from_gate else 0.0)
    return Work(horse, on, track, furlongs, math.floor(seconds * 5), effort, state, from_gate)


def companions(works: list[Work]) -> list[Work]:
    """Return the works with company noted: same day, track and distance, under a second apart."""
    company: dict[str, str] = {}
    rng = chance("company")
    for one, other in combinations(works, 2):
        is_free = one.id not in company and other.id not in company
        if is_free and _could_be_together(one, other) and rng.random() < 0.7:
            company[one.id], company[other.id] = other.horse.id, one.horse.id
    return [replace(work, company=company.get(work.id, "")) for work in works]


def _could_be_together(one: Work, other: Work) -> bool:
    if one.fifths is None or other.fifths is None or one.horse.rider == other.horse.rider:
        return False
    return (
        one.on == other.on
        and one.track is other.track
        and one.furlongs == other.furlongs
        and one.from_gate == other.from_gate
        and abs(one.fifths - other.fifths) < 5
    )


def work_rows(works: list[Work]) -> list[tuple[str, ...]]:
    """Return the rows of the works table."""
    manners = {"easy": "breezing", "steady": "breezing", "threshold": "handily", "sharp": "handily"}
    return [
        (
            work.id,
            work.on.isoformat(),
            work.horse.id,
            work.track.id,
            distance_text(work.furlongs),
            "" if work.fifths is None else clock_text(work.fifths),
            pole_text(work.furlongs),
            manners[work.effort],
            "yes" if work.from_gate else "no",
            work.state,
            work.effort,
            work.company,
            work.horse.rider,
            work.note,
        )
        for work in works
    ]


def split_rows(works: list[Work]) -> list[tuple[str, ...]]:
    """Return the rows of the splits table: what the clocker caught, pole by pole."""
    return [row for work in works for row in _splits_of(work)]


def _splits_of(work: Work) -> list[tuple[str, ...]]:
    rng = chance("splits", work.id)
    if work.fifths is None or rng.random() < 0.04:
        return []
    clocks = _section_ends(work, work.fifths, rng)
    gallops_out = rng.random() < 0.7
    if gallops_out:
        past = work.fifths / 5 + 0.1
        for pole, low, high in ((-1, 13.3, 14.3), (-2, 15.2, 16.8)):
            past += rng.uniform(low, high)
            clocks[pole] = math.floor(past * 5)
    rows = []
    for pole, fifths in clocks.items():
        if pole != 0 and rng.random() < work.horse.missed_pole_chance:
            continue
        rows.append((work.id, pole_text(pole), clock_text(fifths), _lead(work, pole, rng)))
    return rows


def _section_ends(work: Work, final_fifths: int, rng: Random) -> dict[int, int]:
    """Return the watch at each furlong pole, in fifths rounded down; the last is the work's time.

    The shape is a work's usual one: into stride, steady through the middle, a little slower home.
    A start from the gate costs more than a second.
    """
    shape = [12.0 + rng.gauss(0, 0.09) for _ in range(work.furlongs)]
    shape[0] += 1.3 if work.from_gate else 0.3
    shape[-1] += 0.12 if work.effort in ("threshold", "sharp") else 0.0
    true_total = final_fifths / 5 + rng.uniform(0.03, 0.17)
    scale = true_total / sum(shape)
    clocks: dict[int, int] = {}
    running = 0.0
    for gone, seconds in enumerate(shape, 1):
        running += seconds * scale
        clocks[work.furlongs - gone] = math.floor(running * 5)
    clocks[0] = final_fifths
    return clocks


def _lead(work: Work, pole: int, rng: Random) -> str:
    """Left on the turns, right on the straights, now and then the other one."""
    if not work.horse.leads_are_noted:
        return ""
    is_left = work.track.is_turn(pole * _FEET_PER_FURLONG)
    if rng.random() < 0.07:
        is_left = not is_left
    return "left" if is_left else "right"
