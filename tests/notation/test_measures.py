"""Weights, speeds, lengths, rain and temperatures, in and out."""

from fractions import Fraction

import pytest
from astropy import units as astropy_units
from astropy.units import imperial

from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import (
    read_length,
    read_mass,
    read_rain,
    read_speed,
    read_temperature,
    read_wind,
    write_length,
    write_mass,
    write_speed,
    write_temperature,
)

M_S = astropy_units.m / astropy_units.s
KM_H = astropy_units.km / astropy_units.h
MPH = imperial.mile / astropy_units.h
S_F = astropy_units.s / imperial.furlong


# The right-hand sides are worked out by astropy.
@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("1126 lb", 1126 * imperial.lb),
        ("1,126 lb", 1126 * imperial.lb),
        ("1126LBS.", 1126 * imperial.lb),
        ("1126 1/2 pounds", 1126.5 * imperial.lb),
        ("511 kg", 511 * astropy_units.kg),
        ("511.5 kg", 511.5 * astropy_units.kg),
    ],
)
def test_reads_weights(text, reference):
    assert float(read_mass(text)) == pytest.approx(reference.to_value(astropy_units.kg), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("35 mph", 35 * MPH),
        ("35 mi/h", 35 * MPH),
        ("15.6 m/s", 15.6 * M_S),
        ("56 km/h", 56 * KM_H),
        ("56 kph", 56 * KM_H),
        ("12.4 s/f", 1 / (12.4 * S_F)),
        ("12 2/5 s/f", 1 / (12.4 * S_F)),
        ("12.4 sec / f", 1 / (12.4 * S_F)),
        ("51 ft/s", 51 * imperial.foot / astropy_units.s),
        ("10 kt", 10 * imperial.kn),
    ],
)
def test_reads_speeds(text, reference):
    assert float(read_speed(text)) == pytest.approx(reference.to_value(M_S), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("0.4 in", 0.4 * imperial.inch),
        (".4 in", 0.4 * imperial.inch),
        ("10 mm", 10 * astropy_units.mm),
        ("3 1/2 in", 3.5 * imperial.inch),
        ("3½″", 3.5 * imperial.inch),
        ("8.9 cm", 8.9 * astropy_units.cm),
        ("80 ft", 80 * imperial.foot),
        ("6 ft 2 in", 74 * imperial.inch),
        ("1 m", 1 * astropy_units.m),
        ("0 mm", 0 * astropy_units.m),
        ("0", 0 * astropy_units.m),
    ],
)
def test_reads_lengths_and_rain(text, reference):
    expected = pytest.approx(reference.to_value(astropy_units.m), rel=1e-12)
    assert float(read_length(text)) == expected
    assert float(read_rain(text)) == expected


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("101.2 F", 101.2 * imperial.deg_F),
        ("101.2°F", 101.2 * imperial.deg_F),
        ("101.2 ° F", 101.2 * imperial.deg_F),
        ("101.2 deg F", 101.2 * imperial.deg_F),
        ("101.2 degrees Fahrenheit", 101.2 * imperial.deg_F),
        ("38.4 C", 38.4 * astropy_units.deg_C),
        ("38.4℃", 38.4 * astropy_units.deg_C),
        ("68 F", 68 * imperial.deg_F),
        ("0 F", 0 * imperial.deg_F),
        ("-3 C", -3 * astropy_units.deg_C),
        ("\u22123 °C", -3 * astropy_units.deg_C),
        ("-40 F", -40 * astropy_units.deg_C),
    ],
)
def test_reads_temperatures(text, reference):
    expected = reference.to_value(astropy_units.deg_C, equivalencies=astropy_units.temperature())
    assert float(read_temperature(text)) == pytest.approx(expected, abs=1e-9)


def test_reads_are_exact():
    assert read_mass("1 lb") == Fraction(45_359_237, 100_000_000)
    assert read_temperature("101.2 F") == Fraction(346, 9)
    assert read_speed("12.4 s/f") == Fraction("201.168") / Fraction("12.4")


def test_a_trace_is_rain_only():
    assert read_rain("trace") == read_rain("Trace") == read_rain("T") == 0
    with pytest.raises(NotationError):
        read_length("trace")


def test_a_calm_is_a_wind_but_no_speed():
    assert read_wind("0") == read_wind("calm") == read_wind("0 mph") == 0
    assert read_wind("10 mph") == read_speed("10 mph")
    with pytest.raises(NotationError, match="zero"):
        read_speed("0 mph")
    with pytest.raises(NotationError, match="zero"):
        read_wind("0 s/f")
    with pytest.raises(NotationError, match="no unit"):
        read_wind("5")


@pytest.mark.parametrize(
    ("read", "text", "wrong", "write"),
    [
        (read_mass, "1126", "has no unit", "1126 lb"),
        (read_mass, "0 lb", "is zero", "leave the cell blank"),
        (read_mass, "0 kg", "is zero", "511 kg"),
        (read_mass, "-5 lb", "negative", "1126 lb"),
        (read_mass, "511,5 kg", "comma", "511.5"),
        (read_mass, "1.126,5 kg", "cannot be read", "511 kg"),
        (read_mass, "1126 hands", 'the unit "hands"', "1126 lb"),
        (read_speed, "35", "has no unit", "35 mph"),
        (read_speed, "0 mph", "is zero", "35 mph"),
        (read_speed, "0 s/f", "is zero", "12.4 s/f"),
        (read_speed, "-3 mph", "negative", "35 mph"),
        (read_speed, "35 mph 2 mph", "more than one value", "35 mph"),
        (read_length, "-1 in", "negative", "3 1/2 in"),
        (read_length, "5", "has no unit", "10 mm"),
        (read_length, "1 ft 12 in", "does not add up", "3 1/2 in"),
        (read_rain, "-1 mm", "negative", "10 mm"),
        (read_rain, "some", "cannot be read", "10 mm"),
        (read_temperature, "38", "has no unit", "38.4 C"),
        (read_temperature, "38,4 C", "comma", "38.4"),
        (read_temperature, "-500 F", "absolute zero", "38.4 C"),
        (read_temperature, "38.4 K", 'the unit "k"', "38.4 C"),
        (read_temperature, "warm", "cannot be read", "38.4 C"),
    ],
)
def test_refuses_and_says_what_to_write(read, text, wrong, write):
    with pytest.raises(NotationError) as refused:
        read(text)
    message = str(refused.value)
    assert wrong in message
    assert write in message
    assert f'"{text}"' in message


def test_writes_decimals_with_a_unit():
    assert write_mass(510.74500862) == "1,126 lb"
    assert write_mass(511, "kilograms", 1) == "511.0 kg"
    assert write_speed(15.6464) == "35.0 mph"
    assert write_speed(16.764, "seconds_per_furlong", 2) == "12.00 s/f"
    assert write_speed(16.764, "metres_per_second", 2) == "16.76 m/s"
    assert write_speed(10, "kilometres_per_hour", 0) == "36 km/h"
    assert write_length(0.01016) == "0.4 in"
    assert write_length(0.01, "millimetres", 0) == "10 mm"
    assert write_length(0) == "0.0 in"
    assert write_temperature(38.4444) == "101.2 F"
    assert write_temperature(-3, "celsius") == "-3.0 C"
    assert write_temperature(-0.01, "celsius") == "0.0 C"


@pytest.mark.parametrize(
    ("write", "value", "said"),
    [
        (write_mass, 0, "mass is 0"),
        (write_mass, -1, "mass is -1"),
        (write_mass, 0.0001, "more decimals"),
        (write_speed, float("nan"), "speed is nan"),
        (write_speed, 1e-9, "more decimals"),
        (write_length, -0.1, "length is -0.1"),
        (write_length, float("inf"), "length is inf"),
        (write_temperature, -274, "-273.15"),
        (write_temperature, float("nan"), "temperature is nan"),
    ],
)
def test_refuses_to_write_what_is_none(write, value, said):
    with pytest.raises(OutOfRangeError, match=said):
        write(value)


@pytest.mark.parametrize("write", [write_mass, write_speed, write_length, write_temperature])
def test_refuses_an_unknown_unit(write):
    with pytest.raises(OutOfRangeError, match='unit is "stones"; use '):
        write(10, "stones")
