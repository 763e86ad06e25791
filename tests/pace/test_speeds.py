"""Speeds and paces against an independent library of units, and between themselves."""

import math
from typing import Any

import numpy as np
import pytest
from astropy import units as astropy_units
from astropy.units import imperial
from hypothesis import given
from hypothesis import strategies as st

from racecalc import pace, units
from racecalc.errors import OutOfRangeError
from racecalc.notation import read_clock, read_distance, write_clock
from racecalc.units import FURLONG_M

F = FURLONG_M

# Reference: astropy's international furlong, mile and metre. The printed figures were computed with
# it; a furlong of survey feet is off by 2e-6 and would fail.
ASTROPY_FURLONG_M = (1 * imperial.furlong).to_value(astropy_units.m)


def reference_speed(seconds_per_furlong: float) -> Any:
    return 1 * imperial.furlong / (seconds_per_furlong * astropy_units.s)


@pytest.mark.parametrize(
    ("seconds", "miles_per_hour", "metres_per_second", "per_200m"),
    [
        (11, 40.909091, 18.288, 10.936133),
        (12, 37.5, 16.764, 11.930327),
        (12.2, 36.885246, 16.489180, 12.129166),
        (12 + 6 / 7, 35, 15.6464, 12.782493),
        (13, 34.615385, 15.474462, 12.924521),
        (15, 30, 13.4112, 14.912909),
        (18, 25, 11.176, 17.895490),
        (20, 22.5, 10.0584, 19.883878),
    ],
)
def test_a_table_of_paces(
    seconds: float, miles_per_hour: float, metres_per_second: float, per_200m: float
) -> None:
    speed = reference_speed(seconds)
    found = pace.speed_m_s(F, seconds)
    assert float(found) == pytest.approx(speed.to_value(astropy_units.m / astropy_units.s), 1e-12)
    assert float(found) == pytest.approx(metres_per_second, abs=5e-7)
    in_miles = float(units.miles_per_hour(found))
    assert in_miles == pytest.approx(speed.to_value(imperial.mile / astropy_units.hour), 1e-12)
    assert in_miles == pytest.approx(miles_per_hour, abs=5e-7)
    # Exactly: a mile is eight furlongs, so that 3600 / 8 = 450.
    assert in_miles == pytest.approx(450 / seconds, rel=1e-12)
    per = float(pace.seconds_per_200m(F, seconds))
    assert per == pytest.approx((200 * astropy_units.m / speed).to_value(astropy_units.s), 1e-12)
    assert per == pytest.approx(per_200m, abs=5e-7)


@pytest.mark.parametrize(
    ("seconds_per_200m", "metres_per_second", "per_furlong"),
    [(14.29, 14.0, 14.37), (13.33, 15.0, 13.41), (11.98, 16.7, 12.05), (12.90, 15.5, 12.98)],
)
def test_classes_of_speed(
    seconds_per_200m: float, metres_per_second: float, per_furlong: float
) -> None:
    """Edges of classes in studies of exposure, as paces: by astropy, to the hundredth."""
    speed = metres_per_second * astropy_units.m / astropy_units.s
    time_s = (1000 * astropy_units.m / speed).to_value(astropy_units.s)
    assert float(pace.seconds_per_200m(1000.0, time_s)) == pytest.approx(seconds_per_200m, abs=5e-3)
    found = float(pace.seconds_per_furlong(1000.0, time_s))
    assert found == pytest.approx((1 * imperial.furlong / speed).to_value(astropy_units.s), 1e-12)
    assert found == pytest.approx(per_furlong, abs=5e-3)


def test_six_furlongs_at_twelve_and_a_fifth() -> None:
    """6 x 12.2 s = 366/5 s, in fractions; written both ways."""
    time_s = 6 * read_clock("12 1/5")
    assert (write_clock(time_s), write_clock(time_s, "hundredths")) == ("1:13 1/5", "1:13.20")
    found = pace.seconds_per_furlong(float(read_distance("6 f")), float(time_s))
    assert float(found) == pytest.approx(12.2, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "furlongs"),
    [("2400 m", 11.930326890956811), ("1 1/16 mi", 8.5), ("1 mi 70 yd", 8.318182)],
)
def test_lengths_in_furlongs(text: str, furlongs: float) -> None:
    metres = float(read_distance(text))
    assert units.furlongs(metres) == pytest.approx(metres / ASTROPY_FURLONG_M, rel=1e-12)
    assert units.furlongs(metres) == pytest.approx(furlongs, abs=5e-7)


def test_six_furlongs_and_1200_metres_are_two_distances() -> None:
    """At 12 s a furlong they lie 0.418 s apart, more than a watch errs: no line holds both."""
    apart_s = (float(read_distance("6 f")) - 1200) / float(pace.speed_m_s(F, 12.0))
    assert apart_s == pytest.approx(0.418, abs=5e-4)
    assert pace.is_difference(73.0, 73.0 + apart_s, pace.clock_error_s("fifths"))


@given(distance=st.floats(100, 5000), time=st.floats(5, 500))
def test_speed_and_pace_are_one_thing(distance: float, time: float) -> None:
    speed = float(pace.speed_m_s(distance, time))
    assert math.isclose(speed * float(pace.seconds_per_furlong(distance, time)), F, rel_tol=1e-12)
    assert math.isclose(speed * float(pace.seconds_per_200m(distance, time)), 200, rel_tol=1e-12)


def test_speeds_of_a_column() -> None:
    found = pace.speed_m_s(np.array([F, 2 * F]), np.array([12.0, np.nan]))
    assert found[0] == pytest.approx(16.764)
    assert np.isnan(found[1])


@pytest.mark.parametrize(
    "reckon", [pace.speed_m_s, pace.seconds_per_furlong, pace.seconds_per_200m]
)
@pytest.mark.parametrize(
    ("distance", "time"), [(0, 12), (-1, 12), (F, 0), (F, -3), (math.inf, 12), (F, math.inf)]
)
def test_nothing_takes_no_time(reckon: Any, distance: float, time: float) -> None:
    with pytest.raises(OutOfRangeError, match="give a finite value above zero"):
        reckon(distance, time)
