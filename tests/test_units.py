"""Units: exact against a reference library, one registry, wrong dimensions refused."""

import math
import subprocess
import sys

import numpy as np
import pandas as pd
import pint
import pytest
from astropy import units as astropy_units
from astropy.units import imperial
from hypothesis import given
from hypothesis import strategies as st

from racecalc import units
from racecalc.errors import OutOfRangeError

# Reference: astropy.units.imperial and astropy.units, whose furlong is 660 international feet.
# 1e-12 is float noise; a survey furlong is 2e-6 off and could not pass.
ASTROPY = {
    "inch": imperial.inch,
    "foot": imperial.foot,
    "yard": imperial.yard,
    "furlong": imperial.furlong,
    "mile": imperial.mile,
    "metre": astropy_units.m,
    "kilometre": astropy_units.km,
    "centimetre": astropy_units.cm,
    "millimetre": astropy_units.mm,
}


@pytest.mark.parametrize(("name", "reference"), ASTROPY.items())
def test_lengths_agree_with_astropy(name, reference):
    expected = (1 * reference).to_value(astropy_units.m)
    assert float(units.EXACT_M[name]) == pytest.approx(expected, rel=1e-12)
    assert units.magnitude(1 * units.registry()(name), "metre", name) == pytest.approx(
        expected, rel=1e-12
    )


def test_masses_agree_with_astropy():
    expected = (1 * imperial.lb).to_value(astropy_units.kg)
    assert pytest.approx(expected, rel=1e-12) == units.POUND_KG


def test_parts_of_the_mile_are_whole():
    assert 8 * units.EXACT_M["furlong"] == units.EXACT_M["mile"]
    assert 10 * units.EXACT_M["chain"] == units.EXACT_M["furlong"]
    assert 4 * units.EXACT_M["rod"] == units.EXACT_M["chain"]
    assert 220 * units.EXACT_M["yard"] == units.EXACT_M["furlong"]
    assert 3 * units.EXACT_M["hand"] == units.EXACT_M["foot"]


def test_float_constants_are_the_exact_ones():
    assert units.FURLONG_M == 201.168
    assert units.MILE_M == 1609.344
    assert units.FOOT_M == 0.3048
    assert units.YARD_M == 0.9144
    assert units.INCH_M == 0.0254
    assert units.HAND_M == 0.1016
    assert units.POUND_KG == 0.45359237


def test_registry_is_one_and_has_no_survey_furlong():
    registry = units.registry()
    assert units.registry() is registry
    assert (1 * registry.furlong).to("metre").magnitude == pytest.approx(201.168, rel=1e-12)
    assert (1 * registry.mile / registry.furlong).to("").magnitude == pytest.approx(8, rel=1e-12)
    for name in ("rod", "chain"):
        size = (1 * registry(name)).to("metre").magnitude
        assert size == pytest.approx(float(units.EXACT_M[name]), rel=1e-12)
    assert (1 * registry.link).to("foot").magnitude == pytest.approx(0.66, rel=1e-12)


def test_the_furlong_of_a_bare_pint_registry_depends_on_its_release_and_ours_does_not():
    """The reason for our own definitions: 0.26 still has the survey furlong, 0.26.2 has not."""
    survey_m = 660 * 1200 / 3937
    bare_m = (1 * pint.UnitRegistry().furlong).to("metre").magnitude
    assert min(abs(bare_m - survey_m), abs(bare_m - units.FURLONG_M)) < 1e-10
    assert (1 * units.registry().furlong).to("metre").magnitude == pytest.approx(
        units.FURLONG_M, rel=1e-15
    )
    assert survey_m - units.FURLONG_M == pytest.approx(0.4023368e-3, rel=1e-4)


def test_a_pole_is_no_length():
    registry = units.registry()
    with pytest.raises(pint.DimensionalityError):
        (5 * registry.pole).to("metre")
    with pytest.raises(pint.UndefinedUnitError):
        registry("length")


@pytest.mark.slow
def test_importing_units_does_not_import_pint():
    script = "import sys, racecalc.units; sys.exit('pint' in sys.modules or 'numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


def test_magnitude_takes_numbers_and_quantities():
    registry = units.registry()
    assert units.magnitude(5, "metre", "distance") == 5.0
    assert units.magnitude(np.float64(5.5), "metre", "distance") == 5.5
    assert units.magnitude(6 * registry.furlong, "metre", "distance") == pytest.approx(1207.008)
    assert units.magnitude(registry.Quantity(68, "degF"), "degC", "air") == pytest.approx(20)
    assert units.magnitude(35 * registry("mile/hour"), "metre/second", "speed") == pytest.approx(
        15.6464, rel=1e-12
    )


def test_magnitude_reads_another_registrys_furlong_as_the_exact_one():
    bare = pint.UnitRegistry()
    found = units.magnitude(8 * bare.furlong, "metre", "distance")
    assert found == pytest.approx(units.MILE_M, rel=1e-12)
    bare.formatter.default_format = "~P"
    found = units.magnitude(8 * bare.furlong, "metre", "distance")
    assert found == pytest.approx(units.MILE_M, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (5 * units.registry().second, "distance is given in second, .* metre"),
        ("5", "no number"),
        (None, "no number"),
        (math.nan, "distance is nan"),
        (math.inf, "distance is inf"),
    ],
)
def test_magnitude_refuses_by_name(value, said):
    with pytest.raises(OutOfRangeError, match=said):
        units.magnitude(value, "metre", "distance")


CONVERTERS = {
    units.furlongs: ("metre", "furlong"),
    units.miles: ("metre", "mile"),
    units.inches: ("metre", "inch"),
    units.pounds: ("kilogram", "pound"),
    units.miles_per_hour: ("metre/second", "mile/hour"),
    units.kilometres_per_hour: ("metre/second", "kilometre/hour"),
    units.fahrenheit: ("degC", "degF"),
    units.celsius: ("degF", "degC"),
}


@pytest.mark.parametrize(("convert", "names"), CONVERTERS.items())
@given(value=st.floats(min_value=-1e6, max_value=1e6))
def test_converters_agree_with_the_registry(convert, names, value):
    expected = units.registry().Quantity(value, names[0]).to(names[1]).magnitude
    assert convert(value) == pytest.approx(expected, rel=1e-12, abs=1e-9)


@given(speed=st.floats(min_value=0.1, max_value=25))
def test_pace_and_speed_are_one(speed):
    pace = units.seconds_per_furlong(speed)
    assert units.FURLONG_M / pace == pytest.approx(speed, rel=1e-12)
    assert units.miles_per_hour(speed) * pace == pytest.approx(450, rel=1e-12)


@pytest.mark.parametrize("convert", [*CONVERTERS, units.seconds_per_furlong])
def test_converters_take_arrays_and_columns(convert):
    plain = [1.5, 20.0]
    expected = [convert(value) for value in plain]
    assert convert(np.array(plain)).tolist() == expected
    column = convert(pd.Series(plain, index=["a", "b"]))
    assert column.tolist() == expected
    assert list(column.index) == ["a", "b"]
