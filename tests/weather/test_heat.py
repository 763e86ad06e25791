"""Heat and cold in one number: shapes, where each is told, and which way it moves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.units import celsius, fahrenheit
from racecalc.weather import (
    heat_index_c,
    sum_of_heat,
    wbgt_shade_c,
    wbgt_sun_c,
    wet_bulb_c,
    wind_chill_c,
)

OF_HUMIDITY = (sum_of_heat, wbgt_sun_c, wet_bulb_c, wbgt_shade_c, heat_index_c)
MILE_PER_HOUR = 0.44704


@pytest.mark.parametrize("function", [*OF_HUMIDITY, wind_chill_c], ids=lambda one: one.__name__)
def test_numbers_lists_and_grids_are_taken(function):
    assert np.shape(function(5.0, 50.0)) == ()
    assert function([5.0, 6.0, 7.0], 50.0).shape == (3,)
    grid = function(np.array([[5.0], [6.0]]), np.array([[20.0, 40.0, 60.0]]))
    assert grid.shape == (2, 3)
    assert grid[1, 2] == pytest.approx(float(function(6.0, 60.0)))


@pytest.mark.parametrize("function", [*OF_HUMIDITY, wind_chill_c], ids=lambda one: one.__name__)
def test_the_unknown_stays_unknown(function):
    assert np.isnan(function([np.nan, 8.0], [50.0, np.nan])).all()


@pytest.mark.parametrize("function", [wet_bulb_c, wbgt_shade_c], ids=lambda one: one.__name__)
def test_a_wet_bulb_outside_its_fit_is_not_told(function):
    airs = np.array([-20.0, 50.0, 20.0, 20.0])
    humid = np.array([50.0, 50.0, 5.0, 99.0])
    assert np.isfinite(function(airs, humid)).all()
    beyond = airs + np.array([-0.1, 0.1, 0, 0]), humid + np.array([0, 0, -0.1, 0.1])
    assert np.isnan(function(*beyond)).all()


def test_wind_chill_is_told_up_to_50_f_and_from_3_mph():
    three = 3 * MILE_PER_HOUR
    assert np.isfinite(wind_chill_c([10.0, 10.0, -30.0], [three, 20.0, three])).all()
    assert np.isnan(wind_chill_c([10.1, -5.0, -5.0], [5.0, three - 0.01, 0.0])).all()


hot = st.floats(20.0, 45.0)
damp = st.floats(10.0, 98.0)


@pytest.mark.parametrize("function", [sum_of_heat, wbgt_sun_c, wet_bulb_c, wbgt_shade_c])
@given(air=hot, humid=damp, more=st.floats(0.01, 5.0))
def test_hotter_or_damper_air_is_never_told_as_cooler(function, air, humid, more):
    usual = function(air, humid)
    assert function(air + more, humid) > usual
    assert function(air, min(humid + more, 99.0)) > usual


@given(st.floats(20.0, 45.0), st.floats(40.0, 98.0), st.floats(0.01, 5.0))
def test_the_heat_index_never_falls_from_40_percent_on(air, humid, more):
    """In drier air it steps down by up to 1.1 °C where its two forms meet, near 80 F."""
    usual = heat_index_c(air, humid)
    assert heat_index_c(air + more, humid) >= usual - 0.1
    assert heat_index_c(air, humid + more) >= usual - 0.1


def test_the_step_of_the_heat_index_in_dry_air():
    grid = heat_index_c(np.arange(20.0, 45.0, 0.1)[:, None], np.arange(5.0, 99.0)[None, :])
    assert -1.2 < np.diff(grid, axis=0).min() < -0.3


@given(st.floats(-45.0, 10.0), st.floats(1.35, 25.0), st.floats(0.01, 5.0))
def test_wind_and_cold_never_feel_warmer(air, wind, more):
    usual = wind_chill_c(air, wind)
    assert usual <= air + 0.05
    assert wind_chill_c(air, wind + more) < usual
    assert wind_chill_c(air - more, wind) < usual


@given(st.floats(5.0, 50.0), damp)
def test_the_wet_bulb_lies_below_the_air_and_the_shade_between(air, humid):
    wet, shade = wet_bulb_c(air, humid), wbgt_shade_c(air, humid)
    assert wet <= air + 0.05
    assert min(wet, air) <= shade <= max(wet, air)
    assert shade < wbgt_sun_c(air, humid)


def test_the_heat_index_of_mild_air_is_near_the_air():
    mild = np.arange(5.0, 26.0)
    assert np.abs(heat_index_c(mild, 50.0) - mild).max() < 2.0


def test_adjustments_end_where_they_are_said_to_end():
    def index(air_f, humid):
        return float(fahrenheit(heat_index_c(celsius(air_f), humid)))

    # Each adjustment is nothing at its edge, so that the index makes no step there.
    assert index(95.0, 12.999) == pytest.approx(index(95.0, 13.001), abs=0.01)
    assert index(84.0, 85.001) == pytest.approx(index(84.0, 84.999), abs=0.01)
    assert index(87.0001, 95.0) == pytest.approx(index(86.9999, 95.0), abs=0.01)
    assert index(112.0001, 10.0) == pytest.approx(index(111.9999, 10.0), abs=0.01)
