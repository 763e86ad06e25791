"""Speeds read from tests: their intervals hold, and what cannot be read says why."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from racecalc import fitness
from racecalc.errors import OutOfRangeError
from racecalc.fitness.reading import inverse, straight

SPEEDS = np.array([7.0, 9.0, 11.0, 12.5, 14.3])
BEATS = 116.5 + 6.1 * SPEEDS
LACTATES = 0.08 * np.exp(0.33 * SPEEDS)


def noisy(seed: int, beats: float = 2.5) -> np.ndarray:
    return BEATS + np.random.default_rng(seed).normal(0, beats, SPEEDS.size)


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5, 6])
def test_the_interval_ends_where_the_band_of_scipys_line_reaches_the_rate(seed: int) -> None:
    """The reference is the band of the mean of scipy.stats.linregress, 95 of 100."""
    rates = noisy(seed)
    line = straight(SPEEDS, rates)
    assert line is not None
    _, low, high = inverse(line, 190.0, 0.0)
    assert low is not None
    assert high is not None
    fit = stats.linregress(SPEEDS, rates)
    reach = stats.t.ppf(0.975, SPEEDS.size - 2)
    for end, side in ((low, 1), (high, -1)):
        variance = (
            fit.intercept_stderr**2
            + (end * fit.stderr) ** 2
            - 2 * end * SPEEDS.mean() * fit.stderr**2
        )
        band = fit.intercept + fit.slope * end + side * reach * math.sqrt(variance)
        assert band == pytest.approx(190.0, abs=1e-6)


def test_exact_steps_give_the_exact_speed_and_the_width_of_rounding() -> None:
    """Rates are read in whole beats: that alone leaves a tenth of a metre a second or more."""
    reading = fitness.speed_at_heart_rate(fitness.heart_line(SPEEDS, BEATS))
    assert reading.speed_m_s == pytest.approx((200 - 116.5) / 6.1)
    assert reading.low_m_s is not None
    assert reading.high_m_s is not None
    assert reading.high_m_s - reading.low_m_s > 0.1
    lactate = fitness.speed_at_lactate(fitness.lactate_curve(SPEEDS, LACTATES))
    assert lactate.low_m_s is not None
    assert lactate.high_m_s is not None
    assert lactate.high_m_s - lactate.low_m_s > 0.05


@given(order=st.permutations(range(5)), seed=st.integers(0, 50))
def test_the_order_of_steps_changes_nothing(order: list[int], seed: int) -> None:
    rates = noisy(seed)
    plain = fitness.speed_at_heart_rate(fitness.heart_line(SPEEDS, rates))
    mixed = fitness.speed_at_heart_rate(fitness.heart_line(SPEEDS[order], rates[order]))
    assert mixed == plain
    one = fitness.speed_at_lactate(fitness.lactate_curve(SPEEDS, LACTATES))
    two = fitness.speed_at_lactate(fitness.lactate_curve(SPEEDS[order], LACTATES[order]))
    assert one == two


@given(seed=st.integers(0, 200))
def test_the_interval_holds_the_speed_read(seed: int) -> None:
    line = straight(SPEEDS, noisy(seed))
    assert line is not None
    speed, low, high = inverse(line, 190.0, 0.3)
    assert low is not None
    assert high is not None
    assert low <= speed <= high


def test_the_line_leaves_out_the_plateau() -> None:
    """Two steps at 214 beats; with them the line would put 200 at 0.6 m/s too fast."""
    speeds = np.array([7.0, 9.0, 11.0, 13.0, 17.0, 18.0])
    rates = np.minimum(116.5 + 6.1 * speeds, 214.0)
    found = fitness.heart_line(speeds, rates)
    assert found is not None
    assert found.plateau_bpm == pytest.approx(214.0)
    assert fitness.speed_at_heart_rate(found).speed_m_s == pytest.approx(13.689, abs=0.001)
    assert fitness.speed_at_peak(found).speed_m_s == pytest.approx(15.984, abs=0.001)


def test_a_plateau_is_rarely_seen_where_there_is_none() -> None:
    """2,000 tests of five steps, good to 2 beats."""
    seen = sum(
        found.plateau_bpm is not None
        for seed in range(2000)
        if (found := fitness.heart_line(SPEEDS, noisy(seed, 2.0)))
    )
    assert seen / 2000 < 0.05


@pytest.mark.parametrize(("steps", "held"), [(4, 0.94), (5, 0.94), (6, 0.94)])
def test_the_interval_of_v200_holds(steps: int, held: float) -> None:
    """2,000 tests, heart rates good to 2.5 beats; where an interval is given it holds 95 %."""
    speeds = np.linspace(7.0, 14.5, steps)
    true = (200 - 116.5) / 6.1
    inside, given_out = 0, 0
    for seed in range(2000):
        rates = 116.5 + 6.1 * speeds + np.random.default_rng(seed).normal(0, 2.5, steps)
        reading = fitness.speed_at_heart_rate(fitness.heart_line(speeds, rates))
        if reading.low_m_s is not None and reading.high_m_s is not None:
            given_out += 1
            inside += reading.low_m_s <= true <= reading.high_m_s
    assert given_out > 1500
    assert inside / given_out > held


@pytest.mark.parametrize("steps", [4, 5, 6])
@pytest.mark.parametrize(("rest", "rise", "slope"), [(0.0, 0.08, 0.33), (0.8, 0.012, 0.45)])
def test_the_interval_of_v4_holds(steps: int, rest: float, rise: float, slope: float) -> None:
    """2,000 tests, lactate good to 10 %: an exponential curve, and one that rests before it rises.

    Where lactate rests the steps scatter more about an exponential line, so that the interval is
    wider; the speed itself is read between two steps and is not off by more than 0.1 m/s in the
    middle.
    """
    speeds = np.linspace(7.0, 15.5, steps)
    true, inside, given_out, off = math.log((4 - rest) / rise) / slope, 0, 0, []
    for seed in range(2000):
        noise = np.exp(np.random.default_rng(seed).normal(0, 0.1, steps))
        lactates = (rest + rise * np.exp(slope * speeds)) * noise
        reading = fitness.speed_at_lactate(fitness.lactate_curve(speeds, lactates))
        if reading.speed_m_s is not None:
            off.append(reading.speed_m_s - true)
        if reading.low_m_s is not None and reading.high_m_s is not None:
            given_out += 1
            inside += reading.low_m_s <= true <= reading.high_m_s
    assert given_out > 1000
    assert inside / given_out > 0.92
    assert abs(float(np.median(off))) < 0.1


def test_the_curve_is_too_low_where_lactate_rests() -> None:
    """Why the speed between two steps is printed, and not that on the curve."""
    lactates = 0.8 + 0.012 * np.exp(0.45 * SPEEDS)
    true = math.log((4 - 0.8) / 0.012) / 0.45
    curve = fitness.lactate_curve(SPEEDS, lactates)
    on_curve, between = fitness.speed_on_curve(curve), fitness.speed_at_lactate(curve)
    assert on_curve.speed_m_s is not None
    assert between.speed_m_s is not None
    assert true - on_curve.speed_m_s > 0.15
    assert abs(between.speed_m_s - true) < 0.1


def test_an_interval_that_leaves_the_steps_is_not_given() -> None:
    reading = fitness.speed_at_lactate(
        fitness.lactate_curve([7.0, 8.5, 9.9, 11.4, 12.8], [1.2, 1.2, 2.1, 1.8, 4.3])
    )
    assert reading.speed_m_s is not None
    assert 11.4 < reading.speed_m_s < 12.8
    assert (reading.low_m_s, reading.high_m_s) == (None, None)


@pytest.mark.parametrize(
    ("lactates", "why"),
    [
        ([1.0, 1.2, 1.5, 1.8, 2.0], "outside"),
        ([4.5, 5.0, 6.0, 7.0, 8.0], "outside"),
        ([1.0, 5.0, 3.0, 5.0, 6.0], "several"),
        ([8.0, 6.0, 3.5, 2.0, 1.0], "level"),
    ],
)
def test_lactate_that_does_not_tell_says_why(lactates: list[float], why: str) -> None:
    reading = fitness.speed_at_lactate(fitness.lactate_curve(SPEEDS, lactates))
    assert (reading.speed_m_s, reading.why) == (None, why)


def test_on_a_curve_nothing_is_read_outside_the_steps_either() -> None:
    curve = fitness.lactate_curve(SPEEDS, [1.0, 1.2, 1.5, 1.8, 2.0])
    assert fitness.speed_on_curve(curve).why == "outside"
    falling = fitness.lactate_curve(SPEEDS, [8.0, 6.0, 3.5, 2.0, 1.0])
    assert fitness.speed_on_curve(falling).why == "level"


@pytest.mark.parametrize(
    ("speeds", "rates", "why"),
    [
        ([8.0], [160.0], "few"),
        ([8.0, 8.0, 8.0], [160.0, 161.0, 162.0], "few"),
        ([8.0, 10.0], [160.0, 170.0], "few"),
        ([8.0, 10.0, 12.0], [170.0, 165.0, 160.0], "level"),
        ([6.0, 8.0, 10.0], [140.0, 152.0, 164.0], "outside"),
        (
            [8.0, 10.0, 12.0, 14.0, 15.0, 16.0],
            [160.0, 180.0, 200.0, 201.0, 201.0, 201.0],
            "plateau",
        ),
    ],
)
def test_heart_rates_that_do_not_tell_say_why(
    speeds: list[float], rates: list[float], why: str
) -> None:
    reading = fitness.speed_at_heart_rate(fitness.heart_line(speeds, rates))
    assert (reading.speed_m_s, reading.why) == (None, why)


def test_no_speed_at_the_peak_without_a_plateau() -> None:
    assert fitness.speed_at_peak(fitness.heart_line(SPEEDS, BEATS)).why == "outside"
    assert fitness.speed_at_peak(None).why == "few"


@pytest.mark.parametrize("bad", [0.0, -1.0])
def test_impossible_readings_are_refused(bad: float) -> None:
    with pytest.raises(OutOfRangeError, match="above zero"):
        fitness.heart_line([8.0, 10.0, bad], [150.0, 160.0, 170.0])
    with pytest.raises(OutOfRangeError, match="above zero"):
        fitness.lactate_curve([8.0, 10.0], [1.0, bad])
    with pytest.raises(OutOfRangeError, match="turns down"):
        fitness.speed_on_parabola((1.0, 2.0, 3.0), 4.0, (12.0, 16.0))


def test_a_change_takes_the_larger_limit() -> None:
    wide = fitness.Reading(12.0, 11.0, 13.0)
    narrow = fitness.Reading(12.5, 12.4, 12.6)
    found = fitness.change(wide, narrow, fitness.REPEATS_WITHIN)
    assert found is not None
    assert found.limit_m_s == pytest.approx(math.hypot(1.0, 0.1))
    assert found.real is False
    unknown = fitness.change(fitness.Reading(12.0), fitness.Reading(13.0), None)
    assert unknown is not None
    assert (unknown.real, unknown.limit_m_s) == (None, None)
    assert fitness.change(fitness.Reading(None, why="few"), narrow, None) is None


def test_a_speed_lies_below_at_or_above() -> None:
    threshold = fitness.Reading(12.0, 11.5, 12.5)
    found = fitness.place([11.0, 11.4, 12.0, 12.9, np.nan], [0.1, 0.2, 0.1, 0.1, 0.1], threshold)
    assert found.tolist() == ["below", "at", "at", "above", ""]
    # Without an interval repeated tests stand in: 3.9 % of 12 m/s.
    bare = fitness.Reading(12.0)
    ends = fitness.bounds(bare)
    assert ends == pytest.approx((12 - 0.4704, 12 + 0.4704))
    assert fitness.bounds(fitness.Reading(None, why="few")) is None
    with pytest.raises(OutOfRangeError, match="was read"):
        fitness.place([12.0], [0.1], fitness.Reading(None, why="few"))
