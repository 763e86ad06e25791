"""Temperature and pulse: what is off, against what, and how often a healthy horse is called off."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError

FIRST = date(2026, 3, 1)
KINDS = st.sampled_from(["temperature", "pulse"])
# Tenths of a degree, so that sums stay exact enough to compare.
TEMPERATURES = st.lists(
    st.integers(365, 385).map(lambda tenths: tenths / 10), min_size=10, max_size=60
)


def days(number: int) -> list[date]:
    return [FIRST + timedelta(days=place) for place in range(number)]


@given(KINDS, st.integers(0, 80))
def test_a_constant_series_is_never_off(kind: str, number: int) -> None:
    value = {"temperature": 37.5, "pulse": 36.0}[kind]
    assert body.days_off(days(number), [value] * number, kind) == []


@given(TEMPERATURES, st.integers(-10, 10))
def test_a_shift_of_all_readings_shifts_the_limits(values: list[float], tenths: int) -> None:
    plain = body.usual(values, "temperature")
    moved = body.usual(np.array(values) + tenths / 10, "temperature")
    for one, other in (
        (plain.median, moved.median), (plain.low, moved.low), (plain.high, moved.high)
    ):  # fmt: skip
        assert one is not None
        assert other == pytest.approx(one + tenths / 10)


@given(TEMPERATURES, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_of_no_account(values: list[float], chance: object) -> None:
    rows = list(zip(days(len(values)), values, strict=True))
    found = body.days_off(*zip(*rows, strict=True), "temperature")
    chance.shuffle(rows)  # type: ignore[attr-defined]
    assert body.days_off(*zip(*rows, strict=True), "temperature") == found


@given(TEMPERATURES)
def test_later_days_change_nothing_said_before(values: list[float]) -> None:
    whole = body.days_off(days(len(values)), values, "temperature")
    for kept in (len(values) // 2, len(values) - 1):
        early = body.days_off(days(kept), values[:kept], "temperature")
        assert early == [off for off in whole if off.day < days(len(values))[kept]]


@given(TEMPERATURES)
def test_the_median_lies_between_the_limits_and_they_keep_their_floor(values: list[float]) -> None:
    found = body.usual(values, "temperature")
    assert found.n == len(values)
    assert found.low is not None
    assert found.median is not None
    assert found.high is not None
    assert found.high - found.median >= 0.4 - 1e-9
    assert found.median - found.low >= 0.4 - 1e-9


def test_fewer_than_ten_readings_make_no_limits() -> None:
    nine = body.usual([37.5] * 9 + [float("nan")], "temperature")
    assert nine == body.Usual(37.5, None, None, 9)
    assert body.usual([], "pulse") == body.Usual(None, None, None, 0)
    assert body.usual([37.5] * 10, "temperature").high == pytest.approx(38.0)


def test_a_fever_is_off_by_its_own_limits_before_the_published_range() -> None:
    """37.2 every day: 38.0 is within every published range, and not within the horse's own."""
    found = body.days_off(days(21), [37.2] * 20 + [38.0], "temperature")
    assert found == [
        body.OffDay(
            days(21)[-1], 38.0, "above", True, False, body.usual([37.2] * 20, "temperature")
        )
    ]


def test_a_reading_is_not_judged_by_itself_its_own_day_or_a_later_one() -> None:
    """Ten fevers on one day would hide each other; ten days later they would pass for usual."""
    dates = [*days(10), *[FIRST + timedelta(days=10)] * 10]
    found = body.days_off(dates, [37.2] * 10 + [39.0] * 10, "temperature")
    assert [(off.value, off.own, off.published) for off in found] == [(39.0, True, True)] * 10
    assert {off.usual.n for off in found} == {10}


def test_only_sixty_days_count() -> None:
    late = days(10)[-1] + timedelta(days=60)
    (found,) = body.days_off([*days(10), late], [37.2] * 10 + [38.9], "temperature")
    assert (found.usual.n, found.own, found.published) == (1, False, True)
    (found,) = body.days_off(
        [*days(10), FIRST + timedelta(days=60)], [37.2] * 10 + [38.0], "temperature"
    )
    assert (found.usual.n, found.own) == (10, True)


def test_a_low_pulse_is_off_by_its_own_limits_only() -> None:
    (found,) = body.days_off(days(13), [36.0] * 12 + [24.0], "pulse")
    assert (found.side, found.own, found.published) == ("below", True, False)
    assert body.days_off(days(3), [24.0] * 3, "pulse") == []


def test_a_few_days_of_fever_do_not_widen_the_limits() -> None:
    values = [37.3, 37.4, 37.5, 37.4, 37.3, 37.5, 37.4, 37.4, 37.3, 37.5, 39.4, 39.6, 39.5]
    healthy = body.usual(values[:10], "temperature")
    ill = body.usual(values, "temperature")
    assert healthy.high is not None
    assert ill.high is not None
    assert ill.high < healthy.high + 0.2
    assert [off.value for off in body.days_off(days(13), values, "temperature")] == values[10:]


def test_a_blank_reading_is_left_out() -> None:
    values = [37.2] * 10 + [float("nan"), 38.0]
    (found,) = body.days_off(days(12), values, "temperature")
    assert (found.value, found.usual.n) == (38.0, 10)


@pytest.mark.parametrize(
    ("kind", "wrong"), [("temperature", 99.5), ("temperature", float("inf")), ("pulse", 0.0)]
)
def test_a_reading_of_no_horse_is_refused_with_what_to_write(kind: str, wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="such as"):
        body.usual([wrong], kind)
    with pytest.raises(OutOfRangeError, match="such as"):
        body.days_off(days(1), [wrong], kind)


def test_an_unknown_kind_names_the_kinds() -> None:
    with pytest.raises(OutOfRangeError, match="temperature, pulse"):
        body.usual([12.0], "breaths")


def test_each_reading_needs_its_day() -> None:
    with pytest.raises(OutOfRangeError, match="one day for each reading"):
        body.days_off(days(2), [37.5], "temperature")


@pytest.mark.parametrize(
    ("kind", "mean", "deviation", "step", "most"),
    [
        ("temperature", 37.4, 0.10, 0.1, 0.001),
        ("temperature", 37.4, 0.20, 0.1, 0.025),
        ("temperature", 37.4, 0.25, 0.1, 0.025),
        ("pulse", 34.0, 2.0, 1.0, 0.001),
        ("pulse", 34.0, 3.0, 1.0, 0.007),
        ("pulse", 34.0, 4.0, 1.0, 0.015),
    ],
)
def test_a_healthy_horse_is_seldom_off(
    kind: str, mean: float, deviation: float, step: float, most: float
) -> None:
    """Twenty horses for 180 days, read every day in whole steps, with normal scatter."""
    chance = np.random.default_rng(20260301)
    off = 0
    for _ in range(20):
        values = np.round(chance.normal(mean, deviation, 180) / step) * step
        off += sum(found.own for found in body.days_off(days(180), values, kind))
    assert off / (20 * 180) <= most


def test_a_fever_of_one_degree_is_seldom_missed() -> None:
    """After 30 days with a standard deviation of 0.2 degrees, in 400 horses (of more, 95 %)."""
    chance = np.random.default_rng(20260302)
    seen = 0
    for _ in range(400):
        values = np.round(chance.normal(37.4, 0.2, 31), 1)
        values[-1] += 1.0
        seen += any(
            off.day == days(31)[-1] for off in body.days_off(days(31), values, "temperature")
        )
    assert seen / 400 >= 0.85
