"""Clocks in fifths and in hundredths, and what no clock shows."""

from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import read_clock, write_clock

BOTH = ("fifths", "hundredths")


@pytest.mark.parametrize("clock", BOTH)
@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1:13 2/5", "73.4"),
        ("1:13⅖", "73.4"),
        ("1:13 ⅖", "73.4"),
        ("1:13-2/5", "73.4"),
        ("1:00⅘", "60.8"),
        (":48", "48"),
        ("0:48", "48"),
        (":48 1/5", "48.2"),
        ("48", "48"),
        ("48 1/5", "48.2"),
        ("73", "73"),
        ("1:13.40", "73.4"),
        ("2:01.05", "121.05"),
        ("40:00", "2400"),
        ("1:05:00", "3900"),
        ("1:05:00 1/5", "3900.2"),
        ("00:01:13", "73"),
        ("40 min", "2400"),
        ("40min.", "2400"),
        ("1 h 5 min", "3900"),
        ("1 min 13 2/5 s", "73.4"),
        ("1\u203213\u2033", "73"),
        ("48 s", "48"),
        ("48.20 s", "48.2"),
        ("\uff11:13 2/5", "73.4"),
        ("0", "0"),
    ],
)
def test_reads_under_either_clock(text, seconds, clock):
    assert read_clock(text, clock) == Fraction(seconds)


@pytest.mark.parametrize(
    ("text", "fifths", "hundredths"),
    [("1:13.2", "73.4", "73.2"), ("48.4", "48.8", "48.4"), (":36.0", "36", "36")],
)
def test_one_digit_after_the_point_follows_the_barns_clock(text, fifths, hundredths):
    assert read_clock(text, "fifths") == Fraction(fifths)
    assert read_clock(text, "hundredths") == Fraction(hundredths)


def test_hundredths_clock_reads_tenths_and_thousandths():
    assert read_clock("1:13.7", "hundredths") == Fraction("73.7")
    assert read_clock("1:13.456", "hundredths") == Fraction("73.456")
    assert read_clock("48.2 s", "hundredths") == Fraction("48.2")


@pytest.mark.parametrize(
    ("text", "wrong", "write"),
    [
        ("1:13.7", "fifths (0 to 4)", "1:13.70 for hundredths"),
        ("1:13.456", "3 digits after the point", "hundredths"),
        ("48.2 s", "fifths or tenths", "write 48 2/5 or 48.20"),
        ("1:73", "73 seconds", "write 2:13"),
        (":73", "73 seconds", "write 1:13"),
        ("1:05:73", "73 seconds", "1:05:00"),
        ("1:5", "no two digits", "1:05"),
        (":5", "no two digits", ":48"),
        ("1:75:00", "no minutes from 00 to 59", "1:05:00"),
        ("1:5:00", "no minutes from 00 to 59", "1:05:00"),
        ("::13", "no minutes", "1:05:00"),
        ("1:13 2/4", "no fifths", "1:13 2/5"),
        ("1:13 0/5", "no fifths", "1:13 2/5"),
        ("1:13 5/5", "no fifths", "1:13 2/5"),
        ("-1:13", "negative", "1:13 2/5"),
        ("\u22121:13", "negative", "1:13 2/5"),
        ("1:13,2", "cannot be read", "1:13 2/5"),
        ("1.13.2", "cannot be read", "1:13 2/5"),
        ("1:13 AM", "cannot be read", "1:13 2/5"),
        ("fast", "cannot be read", "1:13 2/5"),
    ],
)
def test_refuses_under_fifths_and_says_what_to_write(text, wrong, write):
    with pytest.raises(NotationError) as refused:
        read_clock(text, "fifths")
    message = str(refused.value)
    assert wrong in message
    assert write in message
    assert text in message


def test_hundredths_clock_refuses_more_than_thousandths():
    with pytest.raises(NotationError, match="4 digits"):
        read_clock("1:13.4567", "hundredths")


def test_an_unknown_clock_is_refused():
    with pytest.raises(NotationError, match="set it to fifths or hundredths"):
        read_clock("1:13", "tenths")
    with pytest.raises(NotationError, match="set it to fifths or hundredths"):
        write_clock(73, "tenths")


@given(
    hours=st.integers(0, 99),
    minutes=st.integers(0, 59),
    seconds=st.integers(0, 59),
    hundredths=st.integers(0, 99),
)
def test_agrees_with_pandas(hours, minutes, seconds, hundredths):
    """Reference: pandas.Timedelta reads h:mm:ss.ss on its own."""
    text = f"{hours}:{minutes:02d}:{seconds:02d}.{hundredths:02d}"
    assert float(read_clock(text)) == pytest.approx(pd.Timedelta(text).total_seconds(), abs=1e-9)


def test_writes_what_a_clock_shows():
    assert write_clock(73.4) == "1:13 2/5"
    assert write_clock(73.4, "hundredths") == "1:13.40"
    assert write_clock(48.2) == "48 1/5"
    assert write_clock(48) == "48"
    assert write_clock(48, "hundredths") == "48.00"
    assert write_clock(60) == "1:00"
    assert write_clock(3900) == "1:05:00"
    assert write_clock(0) == "0"


def test_a_time_measured_finer_is_not_rounded_to_a_fifth():
    assert write_clock(73.42) == "1:13.42"
    assert write_clock(73.4 + 1e-9) == "1:13 2/5"
    assert write_clock(73.4 + 1e-5) == "1:13.40"


def test_rounding_carries_into_the_minute():
    assert write_clock(59.999, "hundredths") == "1:00.00"
    assert write_clock(3599.996, "hundredths") == "1:00:00.00"
    assert write_clock(59.9999999) == "1:00"


@pytest.mark.parametrize("time_s", [-0.2, float("nan"), float("inf")])
def test_refuses_to_write_no_time(time_s):
    with pytest.raises(OutOfRangeError, match="time is"):
        write_clock(time_s)
