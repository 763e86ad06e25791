"""The days on which a horse might work, each judged by every rule."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import pandas as pd

from racecalc import planning, weather, workload
from racecalc.daybook import WEEKDAYS, Barn
from racecalc.digest.model import Target
from racecalc.digest.next_model import PlanDay, Reason
from racecalc.digest.number import Number
from racecalc.digest.outlook_model import Outlook, OutlookDay
from racecalc.digest.plan_asked import Asked

__all__ = ["IN_WORK_DAYS", "Chosen", "fast_30d", "plan_days", "rules_of"]

_MADE_BY = "racecalc.digest.build_next_work"
_FAST_DAYS = 30
# A day as warm as this thaws a track. A choice.
_THAW_C = 4.0
IN_WORK_DAYS = 42
"""After so many days without a work or a race a horse is coming back: nothing is proposed. Ours."""


def fast_30d(ground: pd.DataFrame, day: date) -> float:
    """Return the fast ground on record in the 30 days that end with a day, in metres."""
    first = day - timedelta(days=_FAST_DAYS - 1)
    return float(workload.by_speed(ground, first, day).get("fast", 0.0))


def rules_of(barn: Barn, asked: Asked, wanted: date, least_days: int) -> tuple[planning.Rule, ...]:
    """Return the barn's rules for a planned day, and so many days since the last work or race."""
    return (
        planning.InWork(IN_WORK_DAYS),
        planning.Spacing(least_days),
        planning.BeforeRace(barn.days_work_to_race),
        planning.FastGround(barn.fast_limit_30d_m),
        planning.RestDays(tuple(WEEKDAYS.index(day) for day in barn.rest_days)),
        planning.Heat(),
        planning.Cold(),
        planning.Waiting(wanted),
        planning.Footing(asked.bad_days),
    )


@dataclass(frozen=True)
class Chosen:
    """The day proposed, none where every day is refused; the days after it; and all of them."""

    best: date | None
    fall_backs: tuple[date, ...]
    days: tuple[PlanDay, ...]


def plan_days(
    ahead: Outlook | None,
    rules: Sequence[planning.Rule],
    since: date | None,
    target: Target | None,
    ground: pd.DataFrame,
    adds_m: float,
) -> Chosen:
    """Let the rules judge the days, and propose one.

    Parameters
    ----------
    ahead : Outlook, optional
        The days.
    rules : sequence of Rule
        The rules.
    since : date, optional
        The day of the last work or race.
    target : Target, optional
        The race aimed at.
    ground : DataFrame
        The horse's ledger.
    adds_m : float
        The fast ground that a work like the last would add, in metres.
    """
    if ahead is None:
        return Chosen(None, (), ())
    facts = _facts(ahead, since, target, ground, adds_m)
    weighed = planning.weigh(facts, rules)
    best = planning.propose(weighed)
    later: tuple[date, ...] = ()
    if best is not None:
        # On the morning that a fall-back is for, the day proposed was too wet.
        then = planning.weigh(_given_wet(ahead, facts, best), rules)
        later = planning.fall_backs(then, best)
    plan = tuple(_plan_day(one, on) for one, on in zip(weighed, ahead.days, strict=True))
    return Chosen(best, later, plan)


def _given_wet(
    ahead: Outlook, facts: Sequence[planning.DayFacts], best: date
) -> list[planning.DayFacts]:
    """Return the facts as they are where the day proposed turns out to be too wet."""
    at = [day.day for day in ahead.days].index(best)
    if at >= len(ahead.if_wet) or ahead.days[at].bad is None:
        return list(facts)
    row = ahead.if_wet[at]
    return [
        replace(one, bad_footing=row[number]) if number < len(row) else one
        for number, one in enumerate(facts)
    ]


def _facts(
    ahead: Outlook,
    since: date | None,
    target: Target | None,
    ground: pd.DataFrame,
    adds_m: float,
) -> list[planning.DayFacts]:
    known = [on.bad.value / 100 for on in ahead.days if on.bad]
    usual = sum(known) / len(known) if known else 0.0
    frozen = ahead.begins == "frozen"
    found = []
    for on in ahead.days:
        fact = _fact(on, since, target, fast_30d(ground, on.day), adds_m)
        # A frozen track stays so until a day that thaws, and is another one from the next on.
        found.append(replace(fact, usual_bad_footing=usual, frozen=frozen))
        frozen = frozen and not (on.warmest and on.warmest.value > _THAW_C)
    return found


def _fact(
    on: OutlookDay, since: date | None, target: Target | None, fast_m: float, adds_m: float
) -> planning.DayFacts:
    cold, warm = (one.value if one else math.nan for one in (on.coldest, on.warmest))
    return planning.DayFacts(
        day=on.day,
        since_fast=(on.day - since).days if since else None,
        to_race=(target.day - on.day).days if target else None,
        fast_30d_m=fast_m,
        work_fast_m=adds_m,
        bad_footing=on.bad.value / 100 if on.bad else None,
        morning_wbgt_c=float(weather.wbgt_shade_c(cold, on.rh_max_pct)),
        morning_sum=float(weather.sum_of_heat(cold, on.rh_max_pct)),
        # Unknown below 20 °C, where no figure of heat says anything, however damp it is.
        noon_wbgt_c=on.air.wbgt_sun.value if on.air.wbgt_sun else math.nan,
        noon_sum=on.air.sum_of_heat.value if on.air.sum_of_heat else math.nan,
        tmin_c=cold,
        tmax_c=warm,
    )


def _plan_day(one: planning.Weighed, on: OutlookDay) -> PlanDay:
    name, facts = f"next.{one.day.isoformat()}", one.facts

    def number(key: str, value: float | None, kind: str, made_by: str = _MADE_BY) -> Number | None:
        return None if value is None else Number(f"{name}.{key}", float(value), kind, made_by, 1)

    cost = one.cost_days if one.allowed else None
    return PlanDay(
        day=one.day,
        allowed=one.allowed,
        since=number("since", facts.since_fast, "count"),
        to_race=number("to_race", facts.to_race, "count"),
        outlook=on,
        reasons=tuple(Reason(judged.rule, judged.says) for judged in one.judgements),
        cost=number("cost", cost, "wait", "racecalc.planning.weigh"),
    )
