"""What is written reads back exactly, for every kind; and no text at all breaks a reader."""

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from racecalc import notation
from racecalc.errors import NotationError
from racecalc.notation import typeset
from racecalc.units import EXACT_M

INCH, MILE, FURLONG, YARD = (EXACT_M[name] for name in ("inch", "mile", "furlong", "yard"))
MILLIMETRE = EXACT_M["millimetre"]

heights_m = st.floats(min_value=0.3, max_value=3)
distances_m = st.floats(min_value=0, max_value=1e6)
times_s = st.floats(min_value=0, max_value=1e6)


def read_both(read, written, *settings):
    """Read a text as written and as typeset; both must give one value."""
    value = read(written, *settings)
    assert read(typeset(written), *settings) == value
    assert read(written.upper(), *settings) == value
    return value


@given(quarters=st.integers(min_value=1, max_value=1000))
def test_heights_on_the_quarter_inch_are_exact(quarters):
    height = quarters * INCH / 4
    for unit in ("hands", "inches"):
        assert read_both(notation.read_height, notation.write_height(height, unit)) == height
        assert notation.write_height(float(height), unit) == notation.write_height(height, unit)


@given(height_m=heights_m, parts=st.sampled_from([1, 2, 4, 8, 16]))
def test_heights_come_back_within_half_a_step(height_m, parts):
    step = Fraction(1, parts)
    written = notation.write_height(height_m, step=step)
    back = read_both(notation.read_height, written)
    assert abs(back - Fraction(height_m)) <= step * INCH / 2
    assert notation.write_height(back, step=step) == written


@given(millimetres=st.integers(min_value=1, max_value=5000))
def test_heights_in_centimetres_are_exact(millimetres):
    height = millimetres * MILLIMETRE
    assert read_both(notation.read_height, notation.write_height(height, "centimetres")) == height


@given(
    count=st.integers(min_value=0, max_value=4000),
    size=st.sampled_from([MILE / 16, FURLONG / 4, YARD, 10 * YARD]),
    style=st.sampled_from(["trade", "furlongs", "miles"]),
)
def test_trade_distances_are_exact(count, size, style):
    distance = count * size
    written = notation.write_distance(distance, style)
    assert read_both(notation.read_distance, written) == distance
    assert notation.write_distance(float(distance), style) == written


@given(metres=st.integers(min_value=10, max_value=100_000))
def test_metric_distances_are_exact(metres):
    assert read_both(notation.read_distance, notation.write_distance(metres, "metres")) == metres
    tens = notation.write_distance(10 * metres)
    assert tens == f"{10 * metres} m"
    assert read_both(notation.read_distance, tens) == 10 * metres


@given(distance_m=distances_m, style=st.sampled_from(["trade", "furlongs", "miles", "metres"]))
@example(distance_m=99.9996, style="metres")
@example(distance_m=1609.3439, style="trade")
def test_any_distance_is_stable_once_written(distance_m, style):
    written = notation.write_distance(distance_m, style)
    back = read_both(notation.read_distance, written)
    assert abs(back - Fraction(distance_m)) <= YARD / 200
    assert notation.read_distance(notation.write_distance(back, style)) == back


@given(
    count=st.integers(min_value=-40, max_value=40),
    size=st.sampled_from([MILE / 16, Fraction(100), Fraction(200), 10 * YARD]),
)
def test_poles_are_exact(count, size):
    left = count * size
    written = notation.write_pole(left)
    assert read_both(notation.read_pole, written) == left
    assert notation.write_pole(float(left)) == written


@given(to_finish_m=st.floats(min_value=-1e5, max_value=1e5))
def test_any_place_reads_back_within_a_hundredth_of_a_yard(to_finish_m):
    back = read_both(notation.read_pole, notation.write_pole(to_finish_m))
    assert abs(back - Fraction(to_finish_m)) <= max(YARD / 200, MILLIMETRE)


@given(
    fifths=st.integers(min_value=0, max_value=100_000),
    clock=st.sampled_from(["fifths", "hundredths"]),
)
def test_fifths_are_exact_under_either_clock(fifths, clock):
    time = Fraction(fifths, 5)
    written = notation.write_clock(time, clock)
    assert read_both(notation.read_clock, written, clock) == time
    assert notation.write_clock(float(time), clock) == written


@given(time_s=times_s, clock=st.sampled_from(["fifths", "hundredths"]))
@example(time_s=59.995, clock="hundredths")
def test_any_time_reads_back_within_half_a_hundredth(time_s, clock):
    written = notation.write_clock(time_s, clock)
    back = read_both(notation.read_clock, written, clock)
    assert abs(back - Fraction(time_s)) <= Fraction(1, 200)
    assert notation.read_clock(notation.write_clock(back, clock), clock) == back


UNITS = [
    (notation.write_mass, notation.read_mass, ("pounds", "kilograms"), 30, 1000),
    (
        notation.write_speed,
        notation.read_speed,
        ("miles_per_hour", "metres_per_second", "kilometres_per_hour", "seconds_per_furlong"),
        1,
        25,
    ),
    (
        notation.write_length,
        notation.read_length,
        ("inches", "feet", "millimetres", "centimetres", "metres"),
        0,
        3000,
    ),
    (notation.write_length, notation.read_rain, ("inches", "millimetres"), 0, 1),
    (notation.write_temperature, notation.read_temperature, ("fahrenheit", "celsius"), -60, 60),
]


@pytest.mark.parametrize(("write", "read", "units", "least", "most"), UNITS)
@given(data=st.data())
def test_decimals_come_back_as_written(write, read, units, least, most, data):
    value = data.draw(st.floats(min_value=least, max_value=most))
    unit = data.draw(st.sampled_from(units))
    decimals = data.draw(st.integers(min_value=0, max_value=4))
    written = write(value, unit, decimals)
    back = read_both(read, written)
    assert write(back, unit, decimals) == written
    assert float(back) == pytest.approx(value, rel=0.5, abs=10.0 ** (2 - decimals))


READERS = [
    notation.read_height,
    notation.read_distance,
    notation.read_clock,
    notation.read_mass,
    notation.read_speed,
    notation.read_wind,
    notation.read_length,
    notation.read_rain,
    notation.read_temperature,
    notation.read_pole,
]
notation_like = st.text(
    "0123456789 :./,-+¾½⅖¹²₁\u2044'\"°hfmiydsknlbtracew\u2009\u2212\uff11", max_size=14
)


@pytest.mark.parametrize("read", READERS)
@given(text=st.one_of(st.text(max_size=80), notation_like))
def test_any_text_is_read_or_refused_in_words(read, text):
    try:
        value = read(text)
    except NotationError as refused:
        message = str(refused)
        assert "; write " in message
        assert message.isprintable()
    else:
        assert isinstance(value, Fraction)
        float(value)
