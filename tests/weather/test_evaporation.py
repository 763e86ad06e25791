"""Reference evapotranspiration: what is missing, polar days, arrays; the examples of the room."""

import doctest
import importlib
import itertools
import pkgutil

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import racecalc.weather
from racecalc import weather
from racecalc.errors import OutOfRangeError
from racecalc.weather import reference_et_mm

UNKNOWN = float("nan")
MODULES = [module.name for module in pkgutil.iter_modules(racecalc.weather.__path__)]
DAY = {
    "tmin_c": 14.0,
    "tmax_c": 28.0,
    "rh_min_pct": 45.0,
    "rh_max_pct": 85.0,
    "wind_m_s": 3.0,
    "sun_mj": 22.0,
    "latitude_deg": 38.0,
    "day_of_year": 172,
    "elevation_m": 300.0,
}
MAY_MISS = ("rh_min_pct", "rh_max_pct", "wind_m_s", "sun_mj")


def et(**changed):
    return float(reference_et_mm(**(DAY | changed)))


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_run(name):
    found = doctest.testmod(importlib.import_module(f"racecalc.weather.{name}"))
    assert found.failed == 0
    assert found.attempted > 0 or name == "cautions"


@pytest.mark.parametrize("missing", list(itertools.product((False, True), repeat=4)))
def test_any_of_the_four_may_be_missing(missing):
    """Whatever is guessed, the day stays within a third of the whole one."""
    unknown = {name: UNKNOWN for name, gone in zip(MAY_MISS, missing, strict=True) if gone}
    assert et(**unknown) == pytest.approx(et(), rel=1 / 3)


def test_the_lowest_temperature_stands_for_the_dew_point():
    """Where no humidity is known: as of air that is saturated at its coldest."""
    guessed = et(rh_min_pct=UNKNOWN, rh_max_pct=UNKNOWN)
    assert guessed == pytest.approx(et(rh_min_pct=UNKNOWN, rh_max_pct=100.0))


def test_one_humidity_is_taken_at_its_own_temperature():
    cold, warm = weather.saturation_kpa(14.0), weather.saturation_kpa(28.0)
    highest = weather.actual_vapour_kpa(14.0, 28.0, UNKNOWN, 85.0)
    lowest = weather.actual_vapour_kpa(14.0, 28.0, 40.0, UNKNOWN)
    both = weather.actual_vapour_kpa(14.0, 28.0, 40.0, 85.0)
    assert highest == pytest.approx(0.85 * cold)
    assert lowest == pytest.approx(0.40 * warm)
    assert both == pytest.approx((highest + lowest) / 2)


def test_the_least_humidity_alone_never_holds_more_than_the_coldest_air():
    """80 % at 30 °C is 3.4 kPa, which air of 5 °C cannot have held."""
    alone = weather.actual_vapour_kpa(5.0, 30.0, 80.0, UNKNOWN)
    assert alone == pytest.approx(weather.saturation_kpa(5.0))
    mixed = weather.actual_vapour_kpa(
        [5.0, 5.0, 5.0], [30.0, 30.0, 30.0], [80.0, UNKNOWN, 80.0], [UNKNOWN, UNKNOWN, 90.0]
    )
    assert mixed[0] == mixed[1]
    assert mixed[2] > mixed[0]  # both told: the mean is taken as it stands


def test_two_metres_a_second_stand_for_an_unknown_wind():
    aloft = 2.0 / float(weather.wind_at_2m(1.0))
    assert et(wind_m_s=UNKNOWN) == pytest.approx(et(wind_m_s=aloft))


def test_temperatures_stand_for_an_unknown_sun():
    above = weather.extraterrestrial_mj(38.0, 172)
    guess = float(weather.sun_from_temperatures_mj(14.0, 28.0, above))
    assert et(sun_mj=UNKNOWN) == pytest.approx(et(sun_mj=guess))


def test_temperatures_alone_are_hargreaves():
    above = weather.extraterrestrial_mj(38.0, 172)
    alone = et(**dict.fromkeys(MAY_MISS, UNKNOWN))
    assert alone == pytest.approx(float(weather.hargreaves_mm(14.0, 28.0, above)))


@pytest.mark.parametrize("name", ["tmin_c", "tmax_c", "latitude_deg"])
@pytest.mark.parametrize("alone", [False, True])
def test_without_a_temperature_or_a_place_it_is_unknown(name, alone):
    gone = dict.fromkeys(MAY_MISS, UNKNOWN) if alone else {}
    assert np.isnan(et(**gone, **{name: UNKNOWN}))


@pytest.mark.parametrize("latitude", [90.1, -90.1, 380.5, float("inf")])
def test_no_place_beyond_the_poles(latitude):
    with pytest.raises(OutOfRangeError, match="degrees found; give -90 to 90"):
        et(latitude_deg=latitude)


@pytest.mark.parametrize("latitude", [-90.0, -75.0, 66.56, 70.0, 90.0])
@pytest.mark.parametrize("day", [1, 172, 355, 366])
@pytest.mark.parametrize("known", [True, False])
def test_polar_days_and_nights(latitude, day, known):
    gone = {} if known else dict.fromkeys(MAY_MISS, UNKNOWN)
    sun = {"sun_mj": 0.0} if known else {}
    found = et(latitude_deg=latitude, day_of_year=day, tmin_c=-25.0, tmax_c=-15.0, **gone, **sun)
    assert 0.0 <= found < 5.0


def test_the_sun_of_polar_days_and_nights():
    assert weather.daylight_hours(80.0, 172) == pytest.approx(24.0)
    assert weather.daylight_hours(80.0, 355) == pytest.approx(0.0)
    assert weather.extraterrestrial_mj(80.0, 355) == pytest.approx(0.0, abs=1e-9)
    assert weather.extraterrestrial_mj(80.0, 172) > 40
    assert weather.extraterrestrial_mj(-38.0, 355) > weather.extraterrestrial_mj(38.0, 172) > 41


def test_a_dark_sky_counts_as_wholly_clouded_and_never_warms_the_ground():
    dark, clouded, clear, clearer = (
        float(weather.net_longwave_mj(10.0, 20.0, 1.2, share * 30.0, 30.0))
        for share in (0.0, 0.3, 1.0, 1.4)
    )
    assert dark == clouded > 0
    assert clear == clearer > clouded


def test_many_days_are_as_each_alone():
    days = {
        "tmin_c": [14.0, 2.0, UNKNOWN, 20.0],
        "tmax_c": [28.0, 12.0, 20.0, 33.0],
        "rh_min_pct": [45.0, UNKNOWN, 40.0, UNKNOWN],
        "rh_max_pct": [85.0, 95.0, 90.0, UNKNOWN],
        "wind_m_s": [3.0, UNKNOWN, 2.0, UNKNOWN],
        "sun_mj": [22.0, UNKNOWN, 20.0, UNKNOWN],
        "day_of_year": [172, 330, 100, 200],
    }
    found = reference_et_mm(**days, latitude_deg=38.0, elevation_m=300.0)
    assert found.shape == (4,)
    for index in range(4):
        alone = et(**{name: values[index] for name, values in days.items()})
        assert found[index] == pytest.approx(alone, nan_ok=True)


def test_an_array_of_places_and_days_broadcasts():
    found = reference_et_mm(
        np.full((3, 1), 14.0), np.full((1, 5), 28.0), 45.0, 85.0, 3.0, 22.0, 38.0, 172, 300.0
    )
    assert found.shape == (3, 5)
    np.testing.assert_allclose(found, et())


def test_inputs_are_left_as_they_were():
    sun = np.array([UNKNOWN, 20.0])
    reference_et_mm(14.0, 28.0, 45.0, 85.0, 3.0, sun, 38.0, 172)
    np.testing.assert_array_equal(sun, [UNKNOWN, 20.0])


def test_temperatures_the_wrong_way_round_give_no_error():
    """A check of the daybook names them; here the spread counts as nothing."""
    assert et(tmin_c=28.0, tmax_c=14.0, **dict.fromkeys(MAY_MISS, UNKNOWN)) == 0.0


@given(
    st.floats(-30.0, 35.0), st.floats(0.0, 30.0), st.floats(0.0, 100.0), st.floats(0.0, 1.0),
    st.floats(0.0, 25.0), st.floats(0.0, 40.0), st.floats(-66.0, 66.0), st.integers(1, 366),
    st.floats(-100.0, 3000.0), st.tuples(*[st.booleans()] * 4),
)  # fmt: skip
def test_it_is_never_negative_nor_absurd(
    tmin, spread, damp, share, wind, sun, latitude, day, elevation, missing
):
    told = (damp * share, damp, wind, sun)
    values = [UNKNOWN if gone else value for value, gone in zip(told, missing, strict=True)]
    found = float(reference_et_mm(tmin, tmin + spread, *values, latitude, day, elevation))
    assert 0.0 <= found < 60.0


@given(st.floats(1.0, 40.0), st.floats(0.1, 5.0))
def test_more_sun_takes_up_no_less(sun, more):
    assert et(sun_mj=sun + more) >= et(sun_mj=sun) - 1e-9


@given(st.floats(0.0, 90.0), st.floats(0.1, 10.0))
def test_damper_air_takes_up_no_more(damp, more):
    """Vapour also keeps the ground's warmth in, which weighs less."""
    assert et(rh_min_pct=damp + more) <= et(rh_min_pct=damp) + 1e-9


@given(st.floats(0.0, 60.0), st.floats(0.0, 5000.0))
def test_air_grows_thinner_and_holds_more_when_warmer(air, up):
    assert weather.saturation_kpa(air + 1) > weather.saturation_kpa(air)
    assert weather.vapour_slope_kpa(air + 1) > weather.vapour_slope_kpa(air)
    assert weather.pressure_kpa(up + 100) < weather.pressure_kpa(up)
    slope = (weather.saturation_kpa(air + 0.01) - weather.saturation_kpa(air - 0.01)) / 0.02
    assert weather.vapour_slope_kpa(air) == pytest.approx(float(slope), rel=1e-3)


@pytest.mark.parametrize(("height", "share"), [(2.0, 1.0), (3.0, 0.92), (10.0, 0.748)])
def test_wind_grows_with_height(height, share):
    assert weather.wind_at_2m(1.0, height) == pytest.approx(share, abs=0.005)
