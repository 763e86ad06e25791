"""The printed form of every kind of number: plain, signed where it should be, never a bare nan."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.daybook import Barn
from racecalc.digest import KIND_UNITS, Number
from racecalc.words import figure_and_unit, written

BARNS = [
    Barn(units=units, clock=clock)
    for units in ("imperial", "metric")
    for clock in ("fifths", "hundredths")
]


# No horse is lighter or lower, and no barn calls a slower speed fast: the daybook refuses it.
LEAST = {"height": 0.7, "weight": 30.0, "threshold": 1.0, "edge": 1.0}


@pytest.mark.parametrize("kind", KIND_UNITS)
@given(value=st.one_of(st.just(0.0), st.floats(1e-4, 90.0)), less=st.booleans())
def test_every_kind_has_a_printed_form_that_is_a_plain_number(kind, value, less):
    size = max(value, LEAST.get(kind, 0.0))
    signed = kind.endswith("_change")
    number = Number("x", -size if less and signed else size, kind, "test", 1)
    for barn in BARNS:
        text = written(number, barn)
        assert text
        assert text.isprintable()
        assert not re.search(r"nan|None|inf|-|\+0(?![.\d¼½¾])|−0(?![.\d])|e\d", text), text
        figure, unit = figure_and_unit(number, barn)
        assert text == f"{figure} {unit}".strip()


@pytest.mark.parametrize(
    ("kind", "value", "imperial", "metric"),
    [
        ("ground", 0.0, "none", "none"),
        ("ground", 40.0, "44 yd", "40 m"),
        ("ground", 1609.344, "1.0 mi", "1.6 km"),
        ("day_ground", 6 * 201.168, "6 f", "1.2 km"),
        ("fast_ground", 0.0, "none", "none"),
        ("fast_ground", 5.5 * 201.168, "5.5 f", "1.1 km"),
        ("threshold", 14.0, "14.4 s a furlong", "14.3 s per 200 m"),
        ("edge", 16.7, "12.05 s", "11.98 s"),
        ("pace_change", -0.3, "−0.3 s", "−0.3 s"),
        ("pace_change", 2.0, "+2.0 s", "+2.0 s"),
        ("pace_error", 0.84, "0.8 s", "0.8 s"),
        ("beats_change", -6.0, "−6 a minute", "−6 a minute"),
        ("strides", 7763.0, "7,800", "7,800"),
        ("ratio", 0.8123, "0.81", "0.81"),
        ("stride_time", 0.4233, "0.423 s", "0.423 s"),
        ("stride_time_error", 0.0003, "0.001 s", "0.001 s"),
        ("stride_time_rough", 0.4233, "0.42 s", "0.42 s"),
        ("stride_rate", 2.3622, "2.36 a second", "2.36 a second"),
        ("stride_rate_rough_error", 0.06, "0.1 a second", "0.1 a second"),
        ("stride_length", 7.02, "23.0 ft", "7.0 m"),
        ("stance", 0.0941, "94 ms", "94 ms"),
        ("stance_error", 0.0021, "3 ms", "3 ms"),
        ("frame_step", 1 / 240, "4 ms", "4 ms"),
        ("frame_step", 1 / 1000, "1 ms", "1 ms"),
        ("force", 2.44, "2.4", "2.4"),
        ("points", 0.6, "1 %", "1 %"),
        ("air", -3.2, "26 °F", "−3 °C"),
        ("air", -20.0, "−4 °F", "−20 °C"),
        ("chance", 0.0, "0 %", "0 %"),
        ("chance", 0.4, "under 5 %", "under 5 %"),
        ("chance", 5.0, "5 %", "5 %"),
        ("chance", 37.5, "40 %", "40 %"),
        ("chance", 99.2, "over 95 %", "over 95 %"),
        ("chance", 100.0, "100 %", "100 %"),
        ("wait", 4.0, "4", "4"),
        ("wait", 0.74, "½", "½"),
        ("wait", 2.6, "2½", "2½"),
        ("lactate", 4.04, "4.0 mmol/l", "4.0 mmol/l"),
        ("section_ground", 5 * 201.168, "5 f", "5 f"),
        ("height", 1.6764, "16.2 hands", "167.6 cm"),
        ("height_change", 0.0, "0 in", "0.0 cm"),
        ("height_change", -0.0127, "−½ in", "−1.3 cm"),
        ("weight", 500.0, "1,102 lb", "500 kg"),
        ("weight_change", 0.1, "0 lb", "0 kg"),
        ("weight_change", -10.0, "−22 lb", "−10 kg"),
        ("rain", 0.02, "trace", "trace"),
        ("rain", 12.7, "0.50 in", "13 mm"),
        ("seconds", 0.4, "⅖ s", "0.40 s"),
        ("seconds", 62.2, "62⅕ s", "62.20 s"),
        ("clock", 73.4, "1:13⅖", "1:13.40"),
        ("clock", 37.2, ":37⅕", ":37.20"),
        ("split", 12.2, "12⅕", "12.20"),
        ("distance", 1200.0, "1200 m", "1200 m"),
        ("distance", 1207.008, "6 f", "6 f"),
    ],
)
def test_printed_forms(kind, value, imperial, metric):
    number = Number("x", value, kind, "test", 1)
    assert written(number, BARNS[0]) == imperial
    assert written(number, BARNS[3]) == metric
