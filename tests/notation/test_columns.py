"""Whole columns: the same as one by one, blanks unknown, each refusal at its own index."""

import math

import numpy as np
import pytest

from racecalc import notation
from racecalc.errors import NotationError
from racecalc.notation import KINDS, read_column

ONE_BY_ONE = {
    "height": (notation.read_height, ["16.2 3/4", "66 in", "169.5 cm", "16"], "16.5"),
    "distance": (notation.read_distance, ["6 f", "1 mi 70 yd", "1200 m", "5½f"], "1m"),
    "clock": (notation.read_clock, ["1:13 2/5", ":48", "48", "1:13.2"], "1:73"),
    "weight": (notation.read_mass, ["1,126 lb", "511 kg"], "1126"),
    "speed": (notation.read_speed, ["35 mph", "12.4 s/f"], "0 mph"),
    "wind": (notation.read_wind, ["5 mph", "calm", "0"], "-5 mph"),
    "length": (notation.read_length, ["3 1/2 in", "0"], "trace"),
    "rain": (notation.read_rain, ["0.4 in", "trace", "0"], "-1 mm"),
    "temperature": (notation.read_temperature, ["101.2 F", "-3 C"], "38"),
    "pole": (notation.read_pole, ["5/8", "finish", "+1/8", "400 m"], "5"),
}


def test_every_kind_is_tested():
    assert set(ONE_BY_ONE) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_column_is_read_as_its_cells_are(kind):
    read, texts, bad = ONE_BY_ONE[kind]
    column = read_column([None, *texts, "", bad, "  ", texts[0], bad], kind)
    assert column.values.dtype == np.float64
    expected = [float(read(text)) for text in texts]
    end = 1 + len(texts)
    assert column.values[1:end].tolist() == expected
    assert column.values[end + 3] == expected[0]
    blank_or_refused = [0, end, end + 1, end + 2, end + 4]
    assert np.flatnonzero(np.isnan(column.values)).tolist() == blank_or_refused
    with pytest.raises(NotationError) as refused:
        read(bad)
    assert column.refused == {end + 1: str(refused.value), end + 4: str(refused.value)}


def test_the_clock_setting_reaches_the_cells():
    assert read_column(["1:13.2"], "clock").values[0] == 73.4
    assert read_column(["1:13.2"], "clock", clock="hundredths").values[0] == 73.2


@pytest.mark.parametrize(
    ("kind", "unit", "number", "expected"),
    [
        ("length", "mm", "10", 0.010),
        ("rain", "in", "0.4", 0.01016),
        ("temperature", "C", "38.4", 38.4),
        ("temperature", "C", "-3", -3.0),
        ("weight", "kg", "511", 511.0),
        ("speed", "m/s", "15.6", 15.6),
        ("speed", "s/f", "12", 16.764),
        ("wind", "km/h", "36", 10.0),
        ("distance", "f", "5 1/2", 1106.424),
        ("distance", "m", "80", 80.0),
        ("height", "cm", "169.5", 1.695),
        ("height", "cm", "16", 0.16),
        ("clock", "min", "40", 2400.0),
        ("pole", "m", "400", 400.0),
    ],
)
def test_a_bare_number_takes_the_unit_of_its_column(kind, unit, number, expected):
    column = read_column([number], kind, default_unit=unit)
    assert column.refused == {}
    assert column.values[0] == pytest.approx(expected, rel=1e-12)


def test_a_unit_in_the_cell_wins_over_that_of_the_column():
    assert read_column(["1 in"], "rain", default_unit="mm").values[0] == 0.0254


def test_a_cell_that_is_no_text_is_refused_not_raised():
    column = read_column([math.nan, 6], "distance")
    assert np.isnan(column.values).all()
    assert set(column.refused) == {0, 1}


def test_an_empty_column():
    column = read_column([], "distance")
    assert column.values.shape == (0,)
    assert column.refused == {}


def test_an_unknown_kind_or_clock_is_one_error():
    with pytest.raises(NotationError, match='kind is "girth"; use one of height'):
        read_column(["6 f"], "girth")
    with pytest.raises(NotationError, match="fifths or hundredths"):
        read_column([], "clock", clock="tenths")
