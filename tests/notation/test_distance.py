"""Distances and poles: every way of writing them, every way of getting them wrong."""

from fractions import Fraction

import pytest
from astropy import units as astropy_units
from astropy.units import imperial

from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import read_distance, read_pole, write_distance, write_pole

MILE, YARD, FOOT, METRE = imperial.mile, imperial.yard, imperial.foot, astropy_units.m
FURLONG = imperial.furlong


# The right-hand side is worked out by astropy.
@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("6f", 6 * FURLONG),
        ("6 f", 6 * FURLONG),
        ("6 F.", 6 * FURLONG),
        ("6 furlongs", 6 * FURLONG),
        ("5 1/2 f", 5.5 * FURLONG),
        ("5-1/2 f", 5.5 * FURLONG),
        ("5½f", 5.5 * FURLONG),
        ("5.5 f", 5.5 * FURLONG),
        ("3/4 mi", 0.75 * MILE),
        ("1 1/16 mi", 1.0625 * MILE),
        ("1 1\u204416 mi", 1.0625 * MILE),
        ("1¹\u2044₁₆ mi", 1.0625 * MILE),
        ("1 mi 70 yd", 1 * MILE + 70 * YARD),
        ("1 Mile 70 Yards", 1 * MILE + 70 * YARD),
        ("1m70y", 1 * MILE + 70 * YARD),
        ("1m2f", 1 * MILE + 2 * FURLONG),
        ("1 m 2 f 10 yd", 1 * MILE + 2 * FURLONG + 10 * YARD),
        ("1mi 40y", 1 * MILE + 40 * YARD),
        ("7f 110y", 7 * FURLONG + 110 * YARD),
        ("1 mi 600 ft", 1 * MILE + 600 * FOOT),
        ("660 ft", 660 * FOOT),
        ("1200 m", 1200 * METRE),
        ("1200m", 1200 * METRE),
        ("1,200 m", 1200 * METRE),
        ("100 m", 100 * METRE),
        ("1.2 km", 1200 * METRE),
        ("1 km 200 m", 1200 * METRE),
        ("80 metres", 80 * METRE),
        ("1 metre 3 cm", 1.03 * METRE),
        ("0 f", 0 * METRE),
    ],
)
def test_reads_as_astropy_adds_up(text, reference):
    expected = reference.to_value(astropy_units.m)
    assert float(read_distance(text)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "wrong", "write"),
    [
        ("1m", "a mile or a metre", "write 1 mi, or spell out 1 metres"),
        ("1 m", "a mile or a metre", "write 1 mi"),
        ("1 1/16m", "a mile or a metre", "write 1 1/16 mi"),
        ("1 m.", "a mile or a metre", "write 1 mi"),
        ("99.9 m", "a mile or a metre", "write 99.9 mi"),
        ("6", "has no unit", "6 f"),
        ("3/4", "has no unit", "6 f"),
        ("-6 f", "negative", "6 f"),
        ("6,5 f", "comma", "6.5"),
        ("1,20 km", "comma", "1.20"),
        ("0,126 km", "comma", "0.126"),
        ("12,00 m", "comma", "12.00"),
        ("1,2000 m", "comma", "1.2000"),
        ("1.5 1/2 f", "a point and a fraction", "1.5"),
        ("5 3/2 f", "less than one", "5 1/2"),
        ("3/0 f", "divides by zero", "3/4"),
        ("1 mi 9 f", "does not add up", "1 mi 70 yd"),
        ("1 mi 1760 yd", "does not add up", "1 mi 70 yd"),
        ("2 f 1 mi", "does not add up", "1 mi 70 yd"),
        ("1 mi 1/2 mi", "does not add up", "1 mi 70 yd"),
        ("1 1/2 mi 70 yd", "fraction before its last part", "1 mi 70 yd"),
        ("1 mi 200 m", "adds metric", "1200 m"),
        ("6 hands", 'the unit "hands"', "6 f"),
        ("six f", "cannot be read", "6 f"),
        ("6 f or so 3", "cannot be read", "6 f"),
        ("1 mi 70", "cannot be read", "1 mi 70 yd"),
        ("6²f", "cannot be read", "6 f"),
        ("9" * 61, "longer than 60", "one value"),
    ],
)
def test_refuses_and_says_what_to_write(text, wrong, write):
    with pytest.raises(NotationError) as refused:
        read_distance(text)
    message = str(refused.value)
    assert wrong in message
    assert write in message
    assert text[:59] in message


@pytest.mark.parametrize(
    ("distance_m", "written"),
    [
        (1207.008, "6 f"),
        (1106.424, "5 1/2 f"),
        (905.256, "4 1/2 f"),
        (1609.344, "1 mi"),
        (1709.928, "1 1/16 mi"),
        (1673.352, "1 mi 70 yd"),
        (2414.016, "1 1/2 mi"),
        (1200, "1200 m"),
        (1000.0, "1000 m"),
        (2010, "2010 m"),
        (64.008, "70 yd"),
        (265.176, "1 f 70 yd"),
        (0, "0 f"),
    ],
)
def test_writes_as_the_trade_does(distance_m, written):
    assert write_distance(distance_m) == written


def test_writes_in_the_style_asked_for():
    assert write_distance(1609.344, "furlongs") == "8 f"
    assert write_distance(1207.008, "miles") == "3/4 mi"
    assert write_distance(1207.008, "metres") == "1207.008 m"
    assert write_distance(99.9996, "metres") == "100 m"
    assert write_distance(50, "metres") == "50 metres"
    assert write_distance(1200, "furlongs") == "5 f 212.34 yd"
    with pytest.raises(OutOfRangeError, match="use trade, furlongs, miles or metres"):
        write_distance(1200, "yards")


def test_six_furlongs_and_1200_metres_are_not_one_distance():
    assert write_distance(1207.008) != write_distance(1200)
    assert read_distance("6 f") - read_distance("1200 m") == Fraction("7.008")


@pytest.mark.parametrize("distance_m", [-1, float("nan"), float("inf")])
def test_refuses_to_write_no_distance(distance_m):
    with pytest.raises(OutOfRangeError, match="distance is"):
        write_distance(distance_m)


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("5/8", 0.625 * MILE),
        ("⅝", 0.625 * MILE),
        ("1/16", MILE / 16),
        ("3/16", 3 * MILE / 16),
        ("1 1/8", 1.125 * MILE),
        ("1⅛", 1.125 * MILE),
        ("finish", 0 * MILE),
        (" Finish ", 0 * MILE),
        ("+1/8", -MILE / 8),
        ("+ 1/8", -MILE / 8),
        ("+⅛", -MILE / 8),
        ("400 m", 400 * METRE),
        ("+200 m", -200 * METRE),
        ("1 mi", 1 * MILE),
        ("5 f", 5 * FURLONG),
        ("1 mi 70 yd", 1 * MILE + 70 * YARD),
    ],
)
def test_reads_poles(text, reference):
    expected = reference.to_value(astropy_units.m)
    assert float(read_pole(text)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["5", "0", "-1/8", "+0 m", "+finish", "1/0", "+", "wire?", "5/8 pole", "1.5/8", "8 m"]
)
def test_refuses_what_is_no_pole(text):
    with pytest.raises(NotationError) as refused:
        read_pole(text)
    assert f'"{text}"' in str(refused.value)
    assert "write " in str(refused.value)


@pytest.mark.parametrize(
    ("to_finish_m", "written"),
    [
        (1005.84, "5/8"),
        (804.672, "1/2"),
        (100.584, "1/16"),
        (0, "finish"),
        (-0.0, "finish"),
        (-201.168, "+1/8"),
        (400, "400 m"),
        (-200, "+200 m"),
        (1609.344, "1 mi"),
        (1810.512, "1 1/8"),
    ],
)
def test_writes_poles(to_finish_m, written):
    assert write_pole(to_finish_m) == written


def test_refuses_to_write_no_pole():
    with pytest.raises(OutOfRangeError, match="distance to the finish is nan"):
        write_pole(float("nan"))
