"""Growth: shapes, refusals, and whether the interval of a height to come is wide enough."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError

AGES = st.floats(0, 120)


@given(AGES, AGES)
def test_a_horse_only_grows(one: float, other: float) -> None:
    young, old = sorted((one, other))
    assert 0 < body.mature_weight_fraction(young) <= body.mature_weight_fraction(old) < 1
    for before, after in zip(
        body.mature_height_fraction(young), body.mature_height_fraction(old), strict=True
    ):
        assert np.isnan(before) or 0.7 < before <= after <= 1


@given(AGES)
def test_the_least_share_is_never_above_the_greatest(age: float) -> None:
    low, high = body.mature_height_fraction(age)
    assert bool(np.isnan(low)) == bool(np.isnan(high)) == (age < 3)
    assert np.isnan(low) or low <= high


def test_growth_ends_at_36_months_at_the_earliest_and_at_60_at_the_latest() -> None:
    low, high = body.mature_height_fraction([36, 59.9, 60, 100])
    assert high.tolist() == [1, 1, 1, 1]
    assert (low < 1).tolist() == [True, True, False, False]


@given(age=st.floats(0.1, 59), mature_kg=st.floats(300, 700))
def test_the_gain_is_the_slope_of_the_curve(age: float, mature_kg: float) -> None:
    step = body.mature_weight_fraction(age + 0.01) - body.mature_weight_fraction(age - 0.01)
    slope = mature_kg * float(step) / 0.02 / 30.4
    assert float(body.average_daily_gain(mature_kg, age)) == pytest.approx(slope, rel=1e-5)


@pytest.mark.parametrize("wrong", [-0.1, float("nan"), float("inf")])
def test_an_impossible_age_is_refused(wrong: float) -> None:
    for call in (
        lambda: body.mature_weight_fraction([12, wrong]),
        lambda: body.average_daily_gain(500, wrong),
        lambda: body.mature_height_fraction(wrong),
        lambda: body.predicted_mature_height(1.55, wrong, 0.01),
        lambda: body.leave_one_out([6, 12, 18, wrong], [1.3, 1.4, 1.5, 1.5]),
    ):
        with pytest.raises(OutOfRangeError, match="months since birth"):
            call()


@pytest.mark.parametrize("wrong", [0.0, -1.5, 155.3, float("nan"), float("inf")])
def test_an_impossible_height_is_refused(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="write it in metres"):
        body.predicted_mature_height(wrong, 17, 0.01)
    with pytest.raises(OutOfRangeError, match="write it in metres"):
        body.leave_one_out([6, 12, 18], [1.3, 1.4, wrong])


@pytest.mark.parametrize("wrong", [-0.01, float("nan"), float("inf")])
def test_an_impossible_error_is_refused(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="zero or more"):
        body.predicted_mature_height(1.55, 17, wrong)


@pytest.mark.parametrize("wrong", [0.0, -500.0, float("nan"), float("inf")])
def test_an_impossible_mature_weight_is_refused(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="mature weight"):
        body.average_daily_gain([500, wrong], 12)


def test_nothing_is_foretold_of_a_foal_under_three_months() -> None:
    found = body.predicted_mature_height(1.10, 2, 0.01)
    assert np.isnan([found.low_m, found.middle_m, found.high_m]).all()


def test_a_grown_horse_is_as_tall_as_it_is() -> None:
    found = body.predicted_mature_height(1.62, 72, 0.01)
    assert (found.low_m, found.middle_m, found.high_m) == pytest.approx((1.61, 1.62, 1.63))


@given(
    height_m=st.floats(1.2, 1.7), age=st.floats(3, 80), error_m=st.floats(0, 0.03),
)  # fmt: skip
def test_ends_are_in_order_and_none_is_below_the_height_less_its_error(
    height_m: float, age: float, error_m: float
) -> None:
    found = body.predicted_mature_height(height_m, age, error_m)
    assert found.low_m <= found.middle_m <= found.high_m
    assert found.low_m >= height_m - error_m
    wider = body.predicted_mature_height(height_m, age, error_m + 0.01)
    assert wider.low_m < found.low_m
    assert found.high_m < wider.high_m


@pytest.mark.parametrize("end", [0, 1])
@pytest.mark.parametrize("age", [6, 12, 18, 24, 30, 36, 48])
def test_the_interval_holds_19_of_20_invented_horses(age: int, end: int) -> None:
    """The average course runs at either end of the published shares; horses differ from it by a
    standard deviation of 1 % of mature height (to 24 months, then less), and none is taller than
    when it is grown.
    """
    chance = np.random.default_rng(age + 1000 * end)
    number, error_m = 4000, 0.0106
    mature_m = chance.normal(1.62, 0.035, number)
    spread = 0.01 * min(1.0, (60 - age) / 36)
    share = float(body.mature_height_fraction(age)[end]) + chance.normal(0, spread, number)
    read_m = np.minimum(share, 1.0) * mature_m + chance.normal(0, error_m / 1.96, number)
    held = 0
    for one_m, true_m in zip(read_m, mature_m, strict=True):
        found = body.predicted_mature_height(one_m, age, error_m)
        held += found.low_m <= true_m <= found.high_m
    assert held / number >= 0.95


def test_a_horse_on_the_course_misses_nothing() -> None:
    ages = np.array([24.0, 6.0, 40.0, 14.0, 70.0])
    heights = 1.63 * np.mean(body.mature_height_fraction(ages), axis=0)
    assert body.leave_one_out(ages.tolist(), heights.tolist()) == pytest.approx(np.zeros(5))


def test_one_wrong_height_misses_by_what_it_is_wrong_and_spares_the_others() -> None:
    ages = [6.0, 10.0, 14.0, 18.0, 24.0]
    heights = 1.63 * np.mean(body.mature_height_fraction(ages), axis=0)
    heights[2] += 0.05
    missed = body.leave_one_out(ages, heights.tolist())
    assert missed == pytest.approx([0, 0, 0.05, 0, 0], abs=1e-12)


def test_a_height_under_three_months_is_neither_used_nor_judged() -> None:
    ages, heights = [1.0, 12.0, 18.0, 24.0], [1.0, 1.45, 1.52, 1.55]
    missed = body.leave_one_out(ages, heights)
    assert np.isnan(missed[0])
    assert missed[1:].tolist() == body.leave_one_out(ages[1:], heights[1:]).tolist()


def test_two_heights_are_too_few_to_leave_one_out() -> None:
    with pytest.raises(OutOfRangeError, match="at least 3"):
        body.leave_one_out([1.0, 12.0, 18.0], [1.0, 1.45, 1.52])
    with pytest.raises(OutOfRangeError, match="one age for each height"):
        body.leave_one_out([6.0, 12.0, 18.0, 20.0], [1.3, 1.45, 1.52])


def test_ages_in_months() -> None:
    assert body.months_between(date(2024, 3, 1), date(2024, 3, 1)) == 0
    assert body.months_between(date(2020, 1, 1), date(2024, 1, 1)) == 48
    with pytest.raises(OutOfRangeError, match="before the birth"):
        body.months_between(date(2024, 3, 2), date(2024, 3, 1))
