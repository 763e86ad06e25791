"""How the top layer of a track dries: what must hold of any rain, air and layer."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.errors import OutOfRangeError
from racecalc.weather import (
    SEALED_SHEDS,
    SOILS,
    SURFACE_LAYERS,
    Layer,
    actual_vapour_kpa,
    dry_bare_day,
    dry_day,
    drying_index,
    evaporation_coefficient,
    evaporation_reduction,
    extraterrestrial_mj,
    layer_of,
    penman_monteith_mm,
    psychrometric_kpa,
    reference_et_mm,
    saturation_kpa,
    vapour_slope_kpa,
)

ROUNDING = 1e-9
UNKNOWN = float("nan")

rains = st.one_of(st.just(0.0), st.floats(0.0, 80.0))
airs = st.floats(0.0, 12.0)
coefficients = st.one_of(
    st.just((1.20, 0.0, 1.0)),
    st.tuples(st.floats(1.05, 1.30), st.floats(0.0, 1.0), st.floats(0.05, 1.0)),
)


@st.composite
def layers(draw: st.DrawFn) -> Layer:
    total = draw(st.floats(1.0, 40.0))
    ready = total * draw(st.floats(0.0, 0.95))
    return Layer(total, ready, draw(st.floats(0.0, 15.0)), draw(st.floats(0.0, 20.0)))


@st.composite
def layers_at(draw: st.DrawFn) -> tuple[Layer, float]:
    """A layer, and a depletion that it may have."""
    layer = draw(layers())
    share = draw(st.floats(0.0, 1.0))
    return layer, -layer.above_mm + share * (layer.above_mm + layer.total_mm)


days = st.lists(st.tuples(rains, airs, st.booleans()), min_size=1, max_size=15)


def course(
    depletion: float, weather: list[tuple[float, float, bool]], layer: Layer
) -> list[tuple[float, float]]:
    """Depletion after the rain and at the end of each day."""
    found = []
    for rain, et, sealed in weather:
        wet, ended = dry_day(depletion, rain, et, layer, sealed)
        found.append((float(wet), float(ended)))
        depletion = float(ended)
    return found


@given(layers_at(), days, st.data())
def test_more_rain_never_leaves_it_drier_on_any_later_day(start, weather, data):
    layer, depletion = start
    day = data.draw(st.integers(0, len(weather) - 1))
    more = data.draw(st.floats(0.0, 40.0))
    wetter = list(weather)
    wetter[day] = (weather[day][0] + more, *weather[day][1:])
    pairs = zip(course(depletion, weather, layer), course(depletion, wetter, layer), strict=True)
    for usual, soaked in pairs:
        assert soaked[0] <= usual[0] + ROUNDING
        assert soaked[1] <= usual[1] + ROUNDING


@given(layers_at(), days, st.data())
def test_more_evapotranspiration_never_leaves_it_wetter_on_any_later_day(start, weather, data):
    layer, depletion = start
    day = data.draw(st.integers(0, len(weather) - 1))
    more = data.draw(st.floats(0.0, 10.0))
    drier = list(weather)
    drier[day] = (weather[day][0], weather[day][1] + more, weather[day][2])
    for usual, dried in zip(
        course(depletion, weather, layer), course(depletion, drier, layer), strict=True
    ):
        assert dried[0] >= usual[0] - ROUNDING
        assert dried[1] >= usual[1] - ROUNDING


@given(layers_at(), days)
def test_sealing_never_leaves_it_wetter(start, weather):
    layer, depletion = start
    opened = course(depletion, [(rain, et, False) for rain, et, _ in weather], layer)
    sealed = course(depletion, [(rain, et, True) for rain, et, _ in weather], layer)
    for one, other in zip(opened, sealed, strict=True):
        assert other[0] >= one[0] - ROUNDING
        assert other[1] >= one[1] - ROUNDING


@given(layers_at(), rains, airs, st.booleans(), coefficients)
def test_the_layer_stays_between_soaked_and_dry(start, rain, et, sealed, coefficient):
    layer, depletion = start
    for found in dry_day(depletion, rain, et, layer, sealed, coefficient):
        assert -layer.above_mm - ROUNDING <= found <= layer.total_mm + ROUNDING
        assert drying_index(found, layer) <= 1.0 + ROUNDING


@given(layers_at(), days)
def test_a_bare_track_in_plain_numbers_dries_as_in_arrays(start, weather):
    layer, depletion = start
    for (rain, et, sealed), (_, ended) in zip(
        weather, course(depletion, weather, layer), strict=True
    ):
        depletion = dry_bare_day(depletion, rain, et, layer, sealed)
        assert depletion == ended


@given(layers_at(), airs, coefficients)
def test_a_day_without_rain_never_ends_wetter(start, et, coefficient):
    layer, depletion = start
    wet, ended = dry_day(depletion, 0.0, et, layer, coefficient=coefficient)
    assert wet == pytest.approx(depletion)
    assert ended >= wet - ROUNDING


@given(layers_at())
def test_only_what_stands_above_drains(start):
    layer, depletion = start
    _, ended = dry_day(depletion, 0.0, 0.0, layer)
    if depletion >= 0:
        assert ended == pytest.approx(depletion)
    else:
        assert ended == pytest.approx(min(depletion + layer.drains_mm, 0.0))


@given(layers_at(), rains)
def test_rain_is_kept_or_runs_off(start, rain):
    """Up to what can stand on the layer all of it is kept, and above that none."""
    layer, depletion = start
    wet, _ = dry_day(depletion, rain, 3.0, layer)
    room = depletion + layer.above_mm
    assert depletion - wet == pytest.approx(min(rain, room), abs=1e-6)
    shed, _ = dry_day(depletion, rain, 3.0, layer, sealed=True)
    assert depletion - shed == pytest.approx(min(rain * (1 - SEALED_SHEDS), room), abs=1e-6)


@given(layers(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_the_drier_it_is_the_less_is_left(layer, one, other):
    low, high = sorted((one * layer.total_mm, other * layer.total_mm))
    left = evaporation_reduction([low, high], layer)
    assert left[0] >= left[1]
    assert (evaporation_reduction([-layer.above_mm, layer.ready_mm], layer) == 1.0).all()
    assert evaporation_reduction(layer.total_mm, layer) == 0.0


def test_no_more_evaporates_than_bare_and_wet_ground_allows():
    assert evaporation_coefficient(1.0) == pytest.approx(1.20)
    assert evaporation_coefficient(1.0, 1.30, 0.9, 0.1) == pytest.approx(0.13)
    assert evaporation_coefficient(0.0) == 0.0


def test_many_tracks_at_once():
    layer = SURFACE_LAYERS["dirt"]
    rain = np.array([[0.0, 5.0, 30.0], [0.0, 5.0, 30.0]])
    wet, ended = dry_day(np.array([[0.0], [8.0]]), rain, 4.0, layer)
    assert wet.shape == ended.shape == (2, 3)
    for row, depletion in enumerate((0.0, 8.0)):
        for column in range(3):
            alone = dry_day(depletion, rain[row, column], 4.0, layer)
            assert (wet[row, column], ended[row, column]) == pytest.approx(alone)


def test_a_day_of_unknown_air_is_unknown():
    wet, ended = dry_day(3.0, 1.0, UNKNOWN, SURFACE_LAYERS["turf"])
    assert wet == 2.0
    assert np.isnan(ended)


# The air of a day. Humidity in percent is held while the air grows hotter.
temperatures = st.tuples(st.floats(-5.0, 26.0), st.floats(2.0, 18.0))
humidities = st.tuples(st.floats(20.0, 100.0), st.floats(0.3, 1.0))
known = st.tuples(st.sampled_from(["none", "both", "highest", "lowest"]), st.booleans())


def air_of_a_day(draws, hotter=0.0, windier=0.0):
    """Return evapotranspiration, and vapour as a share of what the air would hold."""
    (tmin, spread), (damp, dry_share), (told, sun_told), wind, clear, day = draws
    tmin, tmax = tmin + hotter, tmin + spread + hotter
    rh_min = damp * dry_share if told in ("both", "lowest") else UNKNOWN
    rh_max = damp if told in ("both", "highest") else UNKNOWN
    sun = clear * float(extraterrestrial_mj(38.0, day)) if sun_told else UNKNOWN
    et = reference_et_mm(tmin, tmax, rh_min, rh_max, wind + windier, sun, 38.0, day, 300.0)
    held = (saturation_kpa(tmin) + saturation_kpa(tmax)) / 2
    return float(et), float(actual_vapour_kpa(tmin, tmax, rh_min, rh_max) / held)


weathers = st.tuples(
    temperatures,
    humidities,
    known,
    st.floats(0.0, 12.0),
    st.floats(0.25, 0.75),
    st.integers(1, 365),
)


@given(weathers, st.floats(0.0, 5.0))
def test_hotter_air_takes_up_no_less(draws, hotter):
    """To a fiftieth of a millimetre, which the least humidity alone may fall short by."""
    usual, _ = air_of_a_day(draws)
    hot, _ = air_of_a_day(draws, hotter)
    assert hot >= usual - 0.02


@given(weathers, st.floats(2.0, 5.0), st.floats(0.0, 2.0), layers_at(), rains)
def test_a_hotter_and_windier_day_of_no_damp_air_never_dries_less(
    draws, hotter, windier, start, rain
):
    """Held where the air has at most seven tenths of the vapour that it could hold."""
    usual, share = air_of_a_day(draws)
    stronger, _ = air_of_a_day(draws, hotter, windier)
    if share > 0.7:
        return
    layer, depletion = start
    assert stronger >= usual
    ended = dry_day(depletion, rain, [usual, stronger], layer)[1]
    assert ended[1] >= ended[0] - ROUNDING


def test_wind_alone_can_dry_less_on_a_damp_and_sunny_day():
    """Penman's and Monteith's own equation: wind cools what the sun has warmed."""
    calm, breezy = (
        float(reference_et_mm(16.0, 24.0, 75.0, 98.0, wind, 26.0, 38.0, 172, 300.0))
        for wind in (1.0, 4.0)
    )
    assert 0.05 < calm - breezy < 0.5


@given(
    st.floats(-5.0, 40.0), st.floats(0.5, 25.0), st.floats(0.0, 4.0), st.floats(0.5, 8.0),
    st.floats(0.1, 3.0),
)  # fmt: skip
def test_wind_dries_more_where_the_deficit_outweighs_the_sun(air, net, deficit, wind, more):
    """The limit, which does not depend on the wind: 0.34 x 0.408 s Rn / (s + g) against 900 D / T.

    So by differentiating equation 6 with the wind.
    """
    slope, constant = float(vapour_slope_kpa(air)), psychrometric_kpa(101.3)
    limit = 0.34 * 0.408 * slope * net / (slope + constant) * (air + 273) / 900
    low, high = (
        float(penman_monteith_mm(air, net, 0.0, speed, deficit, constant))
        for speed in (wind, wind + more)
    )
    if deficit > limit:
        assert high >= low - ROUNDING
    else:
        assert high <= low + ROUNDING


def test_the_layer_of_a_surface():
    for surface, layer in SURFACE_LAYERS.items():
        assert layer_of(surface) == layer


def test_a_soil_goes_before_the_surface_and_the_tracks_own_numbers_before_both():
    base = SURFACE_LAYERS["dirt"]
    soil = layer_of("dirt", "sandy loam")
    assert (soil.total_mm, soil.ready_mm) == (17.5, 8.0)
    assert (soil.above_mm, soil.drains_mm) == (base.above_mm, base.drains_mm)
    own = layer_of("dirt", "sandy loam", total_mm=35.0)
    assert (own.total_mm, own.ready_mm) == (35.0, 16.0)
    own = layer_of("dirt", "sandy loam", 35.0, 10.0, 2.5)
    assert own == Layer(35.0, 10.0, base.above_mm, 2.5)
    assert layer_of("dirt", total_mm=22.0) == Layer(22.0, 10.0, base.above_mm, base.drains_mm)
    assert layer_of("turf", ready_mm=3.0).total_mm == SURFACE_LAYERS["turf"].total_mm
    assert layer_of("turf", drains_mm=0.0).drains_mm == 0.0


@pytest.mark.parametrize("surface", SURFACE_LAYERS)
@pytest.mark.parametrize("soil", SOILS)
def test_every_soil_makes_a_layer_of_every_surface(surface, soil):
    layer = layer_of(surface, soil)
    (ready_low, ready_high), (total_low, total_high) = SOILS[soil]
    assert ready_low < layer.ready_mm < ready_high
    assert total_low < layer.total_mm < total_high


@pytest.mark.parametrize(("surface", "soil"), [("snow", None), ("", None), ("dirt", "gravel")])
def test_what_is_not_known_is_refused_with_what_is(surface, soil):
    with pytest.raises(OutOfRangeError, match="not known; there are dirt, turf, synthetic, sand"):
        layer_of(surface, soil)


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((10.0, 10.0), "give less than the whole"),
        ((10.0, 12.0), "12.0 mm lost readily of 10.0 mm found"),
        ((10.0, -1.0), "not below zero"),
        ((0.0, 0.0), "0.0 mm found"),
        ((-5.0, -6.0), "give less"),
        ((UNKNOWN, 5.0), "nan mm found"),
        ((10.0, 5.0, -1.0), "-1.0 mm standing"),
        ((10.0, 5.0, 0.0, -2.0), "-2.0 mm drained in a day found; give zero or more"),
        ((10.0, 5.0, UNKNOWN), "nan mm standing"),
    ],
)
def test_a_layer_that_cannot_be_is_refused(numbers, words):
    with pytest.raises(OutOfRangeError, match=words):
        Layer(*numbers)


def test_own_numbers_that_make_no_layer_are_refused():
    with pytest.raises(OutOfRangeError, match=r"12\.0 mm lost readily of 11\.0 mm"):
        layer_of("dirt", ready_mm=12.0)
    with pytest.raises(OutOfRangeError, match=r"-1\.0 mm drained"):
        layer_of("dirt", drains_mm=-1.0)
