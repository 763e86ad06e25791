"""Rules: what each says of a day, at its limit and beside it."""

import doctest
import importlib
import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import planning
from racecalc.planning import DayFacts, Judgement
from racecalc.weather import (
    COLD_FAST_C,
    HOT_AIR_C,
    HOT_SUM,
    HOT_WBGT_C,
    WARM_SUM,
    WARM_WBGT_C,
)

SUNDAY = date(2026, 11, 1)
UNKNOWN = math.nan
LITTLE = 1e-6


def said(rule: planning.Rule, **facts: object) -> Judgement:
    return rule.judge(DayFacts(**({"day": SUNDAY} | facts)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("days", "says"), [(0, "refused"), (4, "refused"), (5, "fine"), (30, "fine"), (None, "unknown")]
)
def test_spacing(days: int | None, says: str) -> None:
    found = said(planning.Spacing(5), since_fast=days)
    assert (found.rule, found.says, found.cost_days) == ("spacing", says, 0)
    assert found.refuses == (says == "refused")
    if days is not None:
        assert found.figures == {"days": days, "least": 5}


@pytest.mark.parametrize(("days", "says"), [(42, "fine"), (43, "refused"), (None, "refused")])
def test_in_work(days: int | None, says: str) -> None:
    assert said(planning.InWork(42), since_fast=days).says == says


@pytest.mark.parametrize(
    ("least", "days", "says"),
    [
        (4, 4, "fine"), (4, 3, "refused"), (4, 0, "refused"), (4, -1, "refused"),
        (4, None, "unknown"), (0, 1, "fine"), (0, 0, "refused"), (0, -3, "refused"),
    ],
)  # fmt: skip
def test_before_race(least: int, days: int | None, says: str) -> None:
    """On the day of the race, or after it, never: not even of a barn that sets no days."""
    assert said(planning.BeforeRace(least), to_race=days).says == says


@pytest.mark.parametrize(
    ("before", "adds", "says"),
    [
        (0.0, 0.0, "fine"),
        (5000.0, 1000.0, "fine"),
        (5000.0, 1000.1, "refused"),
        (7e3, 0, "refused"),
    ],
)
def test_fast_ground(before: float, adds: float, says: str) -> None:
    found = said(planning.FastGround(6000.0), fast_30d_m=before, work_fast_m=adds)
    assert found.says == says
    assert found.figures == {"total_m": before + adds, "limit_m": 6000.0}


@pytest.mark.parametrize("ahead", range(7))
def test_rest_days(ahead: int) -> None:
    day = SUNDAY + timedelta(days=ahead)
    for weekdays in ((), (6,), (0, 6)):
        says = "refused" if day.weekday() in weekdays else "fine"
        assert said(planning.RestDays(weekdays), day=day).says == says
    assert SUNDAY.weekday() == 6


@pytest.mark.parametrize(("ahead", "cost"), [(-3, 3), (-1, 1), (0, 0), (1, 1), (6, 6)])
def test_waiting_costs_a_day_for_a_day_either_way(ahead: int, cost: int) -> None:
    found = said(planning.Waiting(SUNDAY), day=SUNDAY + timedelta(days=ahead))
    assert (found.cost_days, found.says) == (cost, "costs" if cost else "fine")
    assert not found.refuses


@pytest.mark.parametrize(
    ("chance", "cost", "says"),
    [
        (0.0, 0.0, "fine"),
        (0.25, 1.0, "costs"),
        (0.5, 2.0, "costs"),
        (0.5 + LITTLE, 2.0, "refused"),
        (1.0, 4.0, "refused"),
        (None, 1.2, "unknown"),
    ],
)
def test_footing(chance: float | None, cost: float, says: str) -> None:
    found = said(planning.Footing(4.0), bad_footing=chance, usual_bad_footing=0.3)
    assert (found.cost_days, found.says) == (pytest.approx(cost, abs=1e-5), says)
    assert found.refuses == (says == "refused")
    free = said(planning.Footing(0.0), bad_footing=chance, usual_bad_footing=0.3)
    assert free.cost_days == 0
    assert free.refuses == found.refuses, "too likely is refused, whatever it costs"


def test_how_likely_is_too_likely_may_be_set() -> None:
    strict = planning.Footing(4.0, most_chance=0.2)
    assert said(strict, bad_footing=0.2).says == "costs"
    assert said(strict, bad_footing=0.21).says == "refused"
    assert said(strict, usual_bad_footing=0.9).says == "unknown", "what nobody knows is not refused"


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ({}, "unknown"),
        ({"noon_wbgt_c": WARM_WBGT_C - LITTLE}, "fine"),
        ({"noon_wbgt_c": WARM_WBGT_C}, "careful"),
        ({"noon_wbgt_c": 20.0, "noon_sum": WARM_SUM}, "careful"),
        ({"noon_sum": WARM_SUM - LITTLE}, "fine"),
        # Hot at noon alone is a matter of the hour.
        ({"noon_wbgt_c": 40.0, "noon_sum": 200.0}, "careful"),
        ({"noon_wbgt_c": 40.0, "morning_wbgt_c": HOT_WBGT_C - LITTLE}, "careful"),
        ({"noon_wbgt_c": 40.0, "morning_wbgt_c": HOT_WBGT_C}, "refused"),
        ({"noon_wbgt_c": 40.0, "morning_sum": HOT_SUM}, "careful"),
        ({"noon_wbgt_c": 40.0, "morning_sum": HOT_SUM + LITTLE}, "refused"),
        # A hot morning needs no noon.
        ({"morning_wbgt_c": HOT_WBGT_C}, "refused"),
        ({"morning_sum": HOT_SUM + LITTLE}, "refused"),
        ({"morning_wbgt_c": 15.0}, "fine"),
        # Of the air alone, where nothing is known of its humidity.
        ({"tmin_c": 15.0, "tmax_c": HOT_AIR_C - LITTLE}, "fine"),
        ({"tmin_c": 15.0, "tmax_c": HOT_AIR_C}, "careful"),
        ({"tmin_c": HOT_AIR_C - LITTLE, "tmax_c": 45.0}, "careful"),
        ({"tmin_c": HOT_AIR_C, "tmax_c": 45.0}, "refused"),
        ({"tmin_c": HOT_AIR_C}, "refused"),
        ({"tmax_c": 10.0}, "fine"),
    ],
)
def test_heat(facts: dict[str, float], says: str) -> None:
    assert said(planning.Heat(), **facts).says == says


@pytest.mark.parametrize(
    ("tmin", "tmax", "says"),
    [
        (5.0, 15.0, "fine"),
        (0.0, 15.0, "fine"),
        (-0.1, 15.0, "careful"),
        # The work is in the morning: a mild noon does not help.
        (COLD_FAST_C, 15.0, "careful"),
        (COLD_FAST_C - LITTLE, 15.0, "refused"),
        (COLD_FAST_C - LITTLE, UNKNOWN, "refused"),
        (UNKNOWN, COLD_FAST_C - LITTLE, "refused"),
        (UNKNOWN, 15.0, "unknown"),
        (5.0, UNKNOWN, "fine"),
        (UNKNOWN, UNKNOWN, "unknown"),
    ],
)
def test_cold(tmin: float, tmax: float, says: str) -> None:
    assert said(planning.Cold(), tmin_c=tmin, tmax_c=tmax).says == says
    frozen = said(planning.Cold(), tmin_c=tmin, tmax_c=tmax, frozen=True)
    assert frozen.says == "refused", "a frozen track is no place for fast work, however mild"


RULES: tuple[planning.Rule, ...] = (
    planning.InWork(42), planning.Spacing(5), planning.BeforeRace(4), planning.FastGround(6000.0),
    planning.RestDays((6,)), planning.Heat(), planning.Cold(), planning.Waiting(SUNDAY),
    planning.Footing(4.0),
)  # fmt: skip
temperatures = st.one_of(st.just(UNKNOWN), st.floats(-40, 50))
facts = st.builds(
    DayFacts,
    day=st.dates(date(2026, 10, 1), date(2026, 12, 31)),
    since_fast=st.one_of(st.none(), st.integers(0, 400)),
    to_race=st.one_of(st.none(), st.integers(-3, 60)),
    fast_30d_m=st.floats(0, 1e4),
    work_fast_m=st.floats(0, 3e3),
    bad_footing=st.one_of(st.none(), st.floats(0, 1)),
    usual_bad_footing=st.floats(0, 1),
    frozen=st.booleans(),
    morning_wbgt_c=temperatures,
    morning_sum=temperatures,
    noon_wbgt_c=temperatures,
    noon_sum=temperatures,
    tmin_c=temperatures,
    tmax_c=temperatures,
)


@given(facts=facts)
def test_whatever_is_known_a_rule_says_one_of_five_words_and_costs_no_less_than_nothing(
    facts: DayFacts,
) -> None:
    names = [rule.judge(facts).rule for rule in RULES]
    assert len(set(names)) == len(RULES)
    for rule in RULES:
        found = rule.judge(facts)
        assert found.says in ("fine", "costs", "careful", "refused", "unknown")
        assert found.cost_days >= 0
        # Footing costs where it is unknown, and tells what a refused day would have cost.
        may = ("costs", "unknown", "refused") if found.rule == "footing" else ("costs",)
        assert (found.cost_days > 0) <= (found.says in may)


@pytest.mark.parametrize("name", ["choose", "rules", "value"])
def test_docstrings_run(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"racecalc.planning.{name}"))
    assert found.failed == 0
