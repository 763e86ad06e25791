"""The footing drawn from a forecast: what must hold of any forecast, track and evening before."""

import doctest
import importlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from racecalc import surface
from racecalc.errors import OutOfRangeError
from racecalc.surface import DRYING_ORDER, ForecastDay, WordCurves
from racecalc.weather import SURFACE_LAYERS, Layer, drying_index, reference_et_mm

DRAWS = 300
ROUNDING = 1e-9

forecasts = st.lists(
    st.builds(ForecastDay, st.floats(0, 1), st.floats(0, 60), st.floats(0, 12)),
    min_size=1,
    max_size=6,
)
layers = st.builds(
    lambda total, share, above, drains: Layer(total, share * total, above, drains),
    st.floats(2, 40), st.floats(0, 0.95), st.floats(0, 12), st.floats(0, 20),
)  # fmt: skip
starts = st.floats(0, 1)


def drawn(start: float, days: list[ForecastDay], layer: Layer, before_work: float = 0.5):
    """Return depletions from a start between soaked, 0, and dry, 1."""
    water = -layer.above_mm + start * (layer.above_mm + layer.total_mm)
    rain = surface.draw_rain(days, DRAWS)
    return surface.mornings(water, days, layer, before_work, rain)


def changed(days: list[ForecastDay], at: int, **values: float) -> list[ForecastDay]:
    """Return the days with one of them changed."""
    day = vars(days[at]) | values
    return [*days[:at], ForecastDay(**day), *days[at + 1 :]]


@given(days=forecasts, layer=layers, start=starts, data=st.data())
def test_more_chance_of_rain_never_makes_a_morning_drier(days, layer, start, data) -> None:
    at = data.draw(st.integers(0, len(days) - 1))
    more = data.draw(st.floats(days[at].rain_chance, 1))
    usual = drawn(start, days, layer)
    wetter = drawn(start, changed(days, at, rain_chance=more), layer)
    assert (wetter <= usual + ROUNDING).all()


@given(days=forecasts, layer=layers, start=starts, data=st.data())
def test_more_rain_never_makes_a_morning_drier(days, layer, start, data) -> None:
    at = data.draw(st.integers(0, len(days) - 1))
    more = data.draw(st.floats(days[at].rain_mm, 80))
    usual = drawn(start, days, layer)
    wetter = drawn(start, changed(days, at, rain_mm=more), layer)
    assert (wetter <= usual + ROUNDING).all()


@given(days=forecasts, layer=layers, start=starts, data=st.data())
def test_thirstier_air_never_makes_a_morning_wetter(days, layer, start, data) -> None:
    at = data.draw(st.integers(0, len(days) - 1))
    more = data.draw(st.floats(days[at].et_mm, 15))
    usual = drawn(start, days, layer)
    drier = drawn(start, changed(days, at, et_mm=more), layer)
    assert (drier >= usual - ROUNDING).all()


@given(
    tmax=st.floats(10, 38),
    warmer=st.floats(0, 6),
    wind=st.floats(0, 12),
    windier=st.floats(0, 8),
)
def test_a_windier_forecast_never_lets_the_track_dry_slower(tmax, warmer, wind, windier) -> None:
    """With the same vapour in the air; and a warmer day as well."""

    def et(high: float, gusts: float) -> float:
        vapour = 0.6  # kPa: the air is never damper than this
        rh_max, rh_min = (
            min(100 * vapour / (0.6108 * np.exp(17.27 * air / (air + 237.3))), 100)
            for air in (high - 9, high)
        )
        return float(reference_et_mm(high - 9, high, rh_min, rh_max, gusts, np.nan, 38.0, 170))

    first, second = et(tmax, wind), et(tmax + warmer, wind + windier)
    assert second >= first - 1e-6
    before = ForecastDay(0.5, 8, first), ForecastDay(0.2, 5, first)
    after = ForecastDay(0.5, 8, second), ForecastDay(0.2, 5, second)
    layer = SURFACE_LAYERS["dirt"]
    usual, dried = (drawn(0.5, list(days), layer) for days in (before, after))
    assert (dried >= usual - ROUNDING).all()


@given(days=forecasts, layer=layers, start=starts, more=st.floats(0, 1))
def test_a_drier_evening_never_makes_a_morning_wetter(days, layer, start, more) -> None:
    usual = drawn(start, days, layer)
    assert (drawn(start + more * (1 - start), days, layer) >= usual - ROUNDING).all()


@given(days=forecasts, layer=layers, start=starts, part=st.floats(0, 1), more=st.floats(0, 1))
def test_rain_before_work_never_makes_a_morning_drier(days, layer, start, part, more) -> None:
    usual = drawn(start, days, layer, part)
    assert (drawn(start, days, layer, part + more * (1 - part)) <= usual + ROUNDING).all()


@settings(max_examples=30)
@given(days=forecasts, start=starts, kind=st.sampled_from(tuple(DRYING_ORDER)))
def test_chances_of_words_add_up(days, start, kind) -> None:
    layer = SURFACE_LAYERS[kind]
    chances = surface.word_chances(drawn(start, days, layer), layer, surface.default_curves(kind))
    assert chances.shape == (len(days), len(DRYING_ORDER[kind]))
    np.testing.assert_allclose(chances.sum(axis=1), 1.0, atol=1e-9)


@settings(max_examples=30)
@given(days=forecasts, start=starts, data=st.data())
def test_more_rain_never_makes_a_word_that_is_refused_less_likely(days, start, data) -> None:
    at = data.draw(st.integers(0, len(days) - 1))
    wetter = changed(days, at, rain_chance=data.draw(st.floats(days[at].rain_chance, 1)))
    layer, curves = SURFACE_LAYERS["dirt"], surface.default_curves("dirt")
    refused = ~np.array(surface.workable("dirt", ["sloppy", "muddy", "heavy"]))
    usual, soaked = (
        surface.word_chances(drawn(start, one, layer), layer, curves)[:, refused].sum(axis=1)
        for one in (days, wetter)
    )
    assert (soaked >= usual - ROUNDING).all()


def test_no_rain_is_certain_and_one_day_moves_no_other() -> None:
    days = [ForecastDay(0.0, 30, 4), ForecastDay(0.6, 9, 4), ForecastDay(1.0, 5, 4)]
    rain = surface.draw_rain(days, DRAWS)
    assert (rain[:, 0] == 0).all()
    assert (rain[:, 2] > 0).all()
    other = surface.draw_rain(changed(days, 0, rain_chance=0.9), DRAWS)
    np.testing.assert_array_equal(rain[:, 1:], other[:, 1:])


@pytest.mark.parametrize("chance", [0.0, 0.013, 0.1, 0.3, 0.5, 0.7, 0.99, 1.0])
def test_it_rains_in_exactly_the_share_of_draws_that_the_forecast_says(chance: float) -> None:
    rain = surface.draw_rain([ForecastDay(chance, 6, 4)] * 4)
    wet = (rain > 0).sum(axis=0)
    assert wet.tolist() == [round(chance * surface.DRAWS)] * 4


def test_amounts_are_spread_evenly_over_their_distribution() -> None:
    """A certain day's mean is the forecast's, and its quantiles the gamma distribution's."""
    rain = np.sort(surface.draw_rain([ForecastDay(1.0, 6, 4)])[:, 0])
    assert rain.mean() == pytest.approx(6, rel=1e-3)
    even = (np.arange(surface.DRAWS) + 0.5) / surface.DRAWS
    shape = surface.RAIN_SHAPE
    np.testing.assert_allclose(rain, stats.gamma.ppf(even, shape, scale=6 / shape), rtol=1e-6)
    assert shape == 0.8


def test_how_many_days_are_told_of_changes_nothing() -> None:
    days = [ForecastDay(0.1 + 0.1 * at, 4 + at, 3) for at in range(8)]
    rain = surface.draw_rain(days)
    water = surface.mornings(4.0, days, SURFACE_LAYERS["dirt"], 0.3)
    for count in range(len(days)):
        np.testing.assert_array_equal(surface.draw_rain(days[:count]), rain[:, :count])
        np.testing.assert_array_equal(
            surface.mornings(4.0, days[:count], SURFACE_LAYERS["dirt"], 0.3), water[:, :count]
        )


def test_days_are_drawn_independently() -> None:
    """Each has its own stream: chance of rain, amount and hour are in no order of one another."""
    rain = surface.draw_rain([ForecastDay(0.5, 6, 4)] * 5)
    off = np.corrcoef(rain, rowvar=False) - np.eye(5)
    assert np.abs(off).max() < 4 / np.sqrt(surface.DRAWS)
    both = ((rain[:, :-1] > 0) & (rain[:, 1:] > 0)).mean(axis=0)
    np.testing.assert_allclose(both, 0.25, atol=4 * np.sqrt(0.25 * 0.75 / surface.DRAWS))
    early = surface.mornings(9.0, [ForecastDay(1.0, 6, 0)], Layer(18.0, 8.0), 0.5)[:, 0] < 9.0
    amount = surface.draw_rain([ForecastDay(1.0, 6, 0)])[:, 0]
    assert amount[early].mean() == pytest.approx(6, rel=4 / np.sqrt(0.8 * surface.DRAWS / 2))


def test_the_same_forecast_is_drawn_the_same() -> None:
    days = [ForecastDay(0.4, 6, 4)] * 3
    layer = SURFACE_LAYERS["dirt"]
    np.testing.assert_array_equal(
        surface.mornings(3.0, days, layer), surface.mornings(3.0, days, layer)
    )
    assert surface.mornings(3.0, days, layer).shape == (surface.DRAWS, 3)


def test_rain_of_a_day_is_in_its_morning_only_where_it_falls_before() -> None:
    days, layer = [ForecastDay(1.0, 20, 4), ForecastDay(0.0, 0, 4)], SURFACE_LAYERS["dirt"]
    dry = surface.mornings(9.0, days, layer, before_work=0.0)
    assert (dry[:, 0] == 9.0).all()
    assert (dry[:, 1] < 9.0).any()
    half = surface.mornings(9.0, days, layer)
    assert (half[:, 0] < 9.0).mean() == surface.BEFORE_WORK
    often = surface.mornings(9.0, days, layer, before_work=0.83)
    assert (often[:, 0] < 9.0).mean() == pytest.approx(0.83, abs=1e-9)
    np.testing.assert_array_equal(dry[:, 1], half[:, 1])


def test_a_track_without_rain_dries_to_the_same_place_in_every_draw() -> None:
    found = surface.mornings(0.0, [ForecastDay(0.0, 0, 5)] * 6, Layer(18.0, 8.0))
    assert (np.ptp(found, axis=0) == 0).all()
    np.testing.assert_allclose(found[0, :5], [0, 6, 12, 15.6, 17.04], atol=0.005)


@pytest.mark.parametrize("kind", tuple(DRYING_ORDER))
def test_a_word_alone_gives_an_evening_that_the_word_fits(kind: str) -> None:
    layer, curves = SURFACE_LAYERS[kind], surface.default_curves(kind)
    means = []
    for rank in range(len(DRYING_ORDER[kind])):
        start = surface.start_from_word(rank, curves, layer)
        assert start.shape == (surface.DRAWS,)
        index = drying_index(start, layer)
        assert index.min() >= -layer.above_mm / layer.total_mm - ROUNDING
        assert index.max() <= 1
        means.append(index.mean())
        # By Bayes from an even beginning: the density is the chance of the word there.
        grid = np.linspace(-layer.above_mm / layer.total_mm, 1, 4001)
        weights = curves.chances(grid)[:, rank]
        assert index.mean() == pytest.approx((grid * weights).sum() / weights.sum(), abs=0.01)
    assert means == sorted(means, reverse=True), "a wetter word, a wetter evening"


def test_a_sharp_word_gives_an_evening_between_its_edges() -> None:
    curves = WordCurves("synthetic", (0.5, 0.2, -0.2), 1e-3, 0, odd=0.0)
    layer = SURFACE_LAYERS["synthetic"]
    index = drying_index(surface.start_from_word(1, curves, layer), layer)
    assert 0.19 < index.min() < 0.21
    assert 0.49 < index.max() < 0.51
    assert np.median(index) == pytest.approx(0.35, abs=0.01)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ((-0.1, 5, 4), "rain chance: -0.1 found; give 0 to 1"),
        ((30, 5, 4), "rain chance: 30 found"),
        ((float("nan"), 5, 4), "rain chance: nan found"),
        ((0.3, -1, 4), "give zero or more"),
        ((0.3, 5, float("nan")), "give zero or more"),
    ],
)
def test_a_forecast_that_cannot_be_is_refused(values: tuple[float, ...], says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        ForecastDay(*values)


@pytest.mark.parametrize("name", ["entries", "learned", "order", "outlook", "record"])
def test_docstrings_run(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"racecalc.surface.{name}"))
    assert found.failed == 0
