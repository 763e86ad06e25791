"""The day proposed: the cheapest allowed one, and the days to fall back on."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import planning
from racecalc.errors import OutOfRangeError
from racecalc.planning import DayFacts, Footing, RestDays, Spacing, Waiting

FIRST = date(2026, 11, 2)


def days(*chances: float | None, since: int = 10, usual: float = 0.0) -> list[DayFacts]:
    """Return a day for each chance of bad footing, from a Monday on."""
    return [
        DayFacts(
            FIRST + timedelta(days=ahead),
            since_fast=since + ahead,
            bad_footing=chance,
            usual_bad_footing=usual,
        )
        for ahead, chance in enumerate(chances)
    ]


def proposed(facts: list[DayFacts], *rules: planning.Rule) -> tuple[int | None, list[int]]:
    """Return the best day and the fall-backs, as days from the first."""
    weighed = planning.weigh(facts, rules)
    best = planning.propose(weighed)
    if best is None:
        return None, []
    later = planning.fall_backs(weighed, best)
    return (best - FIRST).days, [(day - FIRST).days for day in later]


def test_every_rule_judges_every_day() -> None:
    rules = (Spacing(12), Waiting(FIRST), Footing(4.0))
    weighed = planning.weigh(days(0.5, 0.25, None, 1.0, 0.5, usual=0.5), rules)
    assert [one.day for one in weighed] == [FIRST + timedelta(days=n) for n in range(5)]
    for one in weighed:
        assert [judged.rule for judged in one.judgements] == ["spacing", "waiting", "footing"]
    assert [one.allowed for one in weighed] == [False, False, True, False, True]
    assert [one.cost_days for one in weighed] == pytest.approx([2.0, 2.0, 4.0, 7.0, 6.0])


def test_the_cheapest_day_is_proposed_and_later_ones_are_to_fall_back_on() -> None:
    assert proposed(days(0.5, 0.1, 0.4, 0.1, 0.0), Waiting(FIRST), Footing(8.0)) == (1, [3, 4])


def test_fall_backs_come_after_the_day_proposed() -> None:
    """Day 0 costs less than day 4, but is over by the morning on which day 3 falls through."""
    planned = FIRST + timedelta(days=3)
    found = proposed(days(0, 0, 0, 0, 0, 0), Waiting(planned), Footing(4.0))
    assert found == (3, [4, 5])


def test_fall_backs_are_the_cheapest_but_stand_in_order_of_time() -> None:
    """Day 3 is the cheapest of those after day 0, then day 2; day 1 is left out."""
    facts = days(0.0, 0.5, 0.3, 0.0)
    assert proposed(facts, Waiting(FIRST), Footing(20.0)) == (0, [2, 3])


def test_fall_backs_may_be_weighed_by_what_is_likely_once_the_day_fell_through() -> None:
    rules = Waiting(FIRST), Footing(4.0)
    usual, then = days(0.1, 0.1, 0.1, 0.0), days(1.0, 0.9, 0.2, 0.1)
    best = planning.propose(planning.weigh(usual, rules))
    assert best == FIRST
    assert planning.fall_backs(planning.weigh(usual, rules), best) == (
        FIRST + timedelta(days=1),
        FIRST + timedelta(days=2),
    )
    assert planning.fall_backs(planning.weigh(then, rules), best) == (
        FIRST + timedelta(days=2),
        FIRST + timedelta(days=3),
    )


def test_of_two_alike_the_earlier_is_proposed() -> None:
    planned = FIRST + timedelta(days=1)
    assert proposed(days(0, 1, 0), Waiting(planned), Footing(4.0)) == (0, [2])


def test_a_day_likelier_bad_than_not_is_refused_whatever_it_costs() -> None:
    assert proposed(days(0.51, 0.5), Waiting(FIRST), Footing(0.0)) == (1, [])
    assert proposed(days(0.5, 0.5), Waiting(FIRST), Footing(0.0)) == (0, [1])
    assert proposed(days(0.6, 0.7, 1.0), Waiting(FIRST), Footing(4.0)) == (None, [])


def test_the_order_of_days_does_not_matter() -> None:
    facts = days(0.3, 0.3, 0.1, 0.1)
    rules = Waiting(FIRST), Footing(5.0)
    assert proposed(facts[::-1], *rules) == proposed(facts, *rules)


def test_where_every_day_is_refused_none_is_proposed() -> None:
    assert proposed(days(0, 0, since=1), Spacing(9)) == (None, [])
    assert planning.propose([]) is None
    assert planning.fall_backs([], FIRST) == ()
    assert planning.weigh([], (Spacing(9),)) == ()


def test_the_last_day_has_nothing_to_fall_back_on() -> None:
    assert proposed(days(0.5, 0.5, 0), Waiting(FIRST), Footing(30.0)) == (2, [])


def test_without_rules_the_first_day_is_as_good_as_any() -> None:
    assert proposed(days(1, 0, 0, 0)) == (0, [1, 2])


def test_unknown_footing_costs_the_usual_chance_and_refuses_nothing() -> None:
    assert proposed(days(None, None, None), Waiting(FIRST), Footing(60.0)) == (0, [1, 2])
    # What nobody knows is not better than what one does, and not worse than the usual.
    rules = Waiting(FIRST), Footing(10.0)
    assert proposed(days(0.3, None, usual=0.3), *rules)[0] == 0
    assert proposed(days(0.3, None, usual=0.1), *rules)[0] == 1
    assert proposed(days(None, None, usual=0.9), *rules)[0] == 0


chances = st.lists(st.floats(0, 1), min_size=1, max_size=14)
weekdays = st.sets(st.integers(0, 6), max_size=6).map(tuple)


@given(
    chances=chances,
    planned=st.integers(0, 13),
    least=st.integers(0, 20),
    rests=weekdays,
    bad=st.floats(0, 60),
)
def test_what_a_rule_refuses_is_never_bought(
    chances: list[float], planned: int, least: int, rests: tuple[int, ...], bad: float
) -> None:
    """However dry a refused day and however dear the others: it is neither best nor fall-back."""
    rules = (
        Spacing(least),
        RestDays(rests),
        Waiting(FIRST + timedelta(days=planned)),
        Footing(bad),
    )
    weighed = planning.weigh(days(*chances), rules)
    best = planning.propose(weighed)
    allowed = {one.day: one.cost_days for one in weighed if one.allowed}
    assert (best is None) == (not allowed)
    if best is None:
        return
    assert allowed[best] == min(allowed.values())
    later = {day: cost for day, cost in allowed.items() if day > best}
    found = planning.fall_backs(weighed, best)
    assert list(found) == sorted(found)
    assert sorted(later[day] for day in found) == sorted(later.values())[:2]


@given(
    count=st.integers(1, 14), planned=st.integers(0, 13), least=st.integers(0, 24), rests=weekdays,
    bad=st.floats(0, 60),
)  # fmt: skip
def test_where_it_is_certainly_dry_the_rules_alone_decide(
    count: int, planned: int, least: int, rests: tuple[int, ...], bad: float
) -> None:
    rules = (Spacing(least), RestDays(rests), Waiting(FIRST + timedelta(days=planned)))
    dry, unknown = days(*[0.0] * count), days(*[None] * count)
    assert proposed(dry, *rules, Footing(bad)) == proposed(unknown, *rules)


@given(chances=chances, bad=st.floats(0, 30), more=st.floats(0, 30))
def test_the_dearer_bad_footing_the_drier_the_day_proposed(
    chances: list[float], bad: float, more: float
) -> None:
    facts = days(*chances)
    (one, _), (other, _) = (
        proposed(facts, Waiting(FIRST), Footing(cost)) for cost in (bad, bad + more)
    )
    assert (one is None) == (other is None) == (min(chances) > 0.5)
    if one is None or other is None:
        return
    assert chances[other] <= chances[one] + 1e-9


@given(chances=chances, bad=st.floats(0, 60))
def test_no_wait_is_longer_than_bad_footing_costs(chances: list[float], bad: float) -> None:
    """From the first day on that is not refused."""
    best, _ = proposed(days(*chances), Waiting(FIRST), Footing(bad))
    allowed = [ahead for ahead, chance in enumerate(chances) if chance <= 0.5]
    assert (best is None) == (not allowed)
    if best is not None:
        assert best - allowed[0] <= bad * chances[allowed[0]] + 1e-9


@given(
    hits=st.floats(0, 1), false=st.floats(0, 1), base=st.floats(0.01, 0.99),
    ratio=st.floats(0.01, 0.99),
)  # fmt: skip
def test_no_forecast_is_worth_more_than_a_perfect_one(
    hits: float, false: float, base: float, ratio: float
) -> None:
    assert planning.relative_value(hits, false, base, ratio) <= 1 + 1e-9
    assert planning.relative_value(1, 0, base, ratio) == pytest.approx(1)
    assert planning.relative_value(0, 0, base, ratio) <= 1e-9
    assert planning.relative_value(1, 1, base, ratio) <= 1e-9


def test_where_nothing_can_be_saved_there_is_no_value() -> None:
    for base, ratio in ((0.0, 0.3), (1.0, 0.3), (0.3, 0.0), (0.3, 1.0)):
        assert planning.relative_value(0.8, 0.1, base, ratio) != planning.relative_value(
            0.8, 0.1, base, ratio
        ), "not a number"


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ((1.1, 0, 0.3, 0.3), "hits: 1.1 found; give 0 to 1"),
        ((1, -0.1, 0.3, 0.3), "false alarms: -0.1"),
        ((1, 0, 30, 0.3), "base rate: 30"),
        ((1, 0, 0.3, float("nan")), "ratio: nan"),
    ],
)
def test_a_value_of_no_shares_is_refused(values: tuple[float, ...], says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        planning.relative_value(*values)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ((1.5, 1, 4), "chance: 1.5"),
        ((0.5, 0, 4), "more than zero"),
        ((0.5, 1, -4), "costs 1 and -4"),
    ],
)
def test_waiting_without_a_price_is_refused(values: tuple[float, ...], says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        planning.pays_to_wait(*values)
