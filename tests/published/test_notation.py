"""Notation against print: hands, fifths and poles as others wrote them."""

from fractions import Fraction
from statistics import mean, median

import pytest

from racecalc import notation
from racecalc.daybook.meant import decimal_hands
from racecalc.errors import NotationError
from racecalc.units import EXACT_M
from tests.published.compare import assert_published, published_table


@pytest.mark.published("hands_notation", "Terminology: 62 in and 64 in")
@pytest.mark.parametrize("row", published_table("hands.csv"))
def test_hands__terminology(row: dict[str, str]) -> None:
    height = notation.read_height(row["hands"])
    assert height == int(row["inches"]) * EXACT_M["inch"]
    assert notation.write_height(height) == row["hands"]


@pytest.mark.published("hands_notation", "Terminology: 64 in is not 15.4, 15.5 is no height")
@pytest.mark.parametrize("text", ["15.4", "15.5"])
def test_hands__inches_end_at_three(text: str) -> None:
    with pytest.raises(NotationError, match="from 0 to 3"):
        notation.read_height(text)


@pytest.mark.published("hands_notation", "a hand is 4 in, 10.16 cm")
def test_hands__centimetres() -> None:
    assert_published(float(notation.read_height("1 hand")) * 100, "10.16")


@pytest.mark.published("chicago_tribune_1989", "1:10.39 and 1:10.40 in fifths")
@pytest.mark.parametrize("row", published_table("fifths.csv"))
def test_fifths__rounded_down_1989(row: dict[str, str]) -> None:
    fine = notation.read_clock(row["hundredths"])
    coarse = notation.read_clock(row["fifths"])
    assert coarse == Fraction(fine * 5 // 1, 5)
    assert notation.write_clock(coarse) == row["fifths"]
    assert notation.write_clock(fine, "hundredths") == row["hundredths"]


@pytest.mark.published("horse_prices", "50 horses, 47 with a height; mean 16.33, median 16.50")
def test_decimal_hands_are_not_read_as_hands_and_inches__horse_prices() -> None:
    """16.75 would be 67 inches, written 16.3; read as written it would be no height."""
    rows = published_table("horse_prices.csv")
    heights = [float(row["decimal_hands"]) for row in rows for _ in range(int(row["horses"]))]
    assert len(heights) == 47
    assert_published(mean(heights), "16.33")
    assert_published(median(heights), "16.50")
    for text in {row["decimal_hands"] for row in rows}:
        plain = text.rstrip("0").rstrip(".")
        if "." not in plain:
            assert float(notation.read_height(plain)) == pytest.approx(float(plain) * 0.1016)
            continue
        with pytest.raises(NotationError):
            notation.read_height(plain)
        write = decimal_hands(plain).rpartition("write ")[2]
        assert float(notation.read_height(write)) == pytest.approx(float(plain) * 0.1016)


@pytest.mark.published("practice_point_fifths", "one digit after the point")
@pytest.mark.parametrize("row", published_table("point_fifths.csv"))
def test_point__common_practice(row: dict[str, str]) -> None:
    assert notation.read_clock(row["printed"]) == notation.read_clock(row["fifths"])
    assert notation.read_clock(row["printed"], "hundredths") != notation.read_clock(row["fifths"])


@pytest.mark.published("derby_quarters_2008", "quarters in fifths and in decimals, 1:59 2/5")
def test_quarters__sum_to_the_printed_time() -> None:
    rows = published_table("quarters.csv")
    times = [notation.read_clock(row["fifths"]) for row in rows]
    assert times == [Fraction(row["seconds"]) for row in rows]
    assert [notation.write_clock(time) for time in times] == [row["fifths"] for row in rows]
    assert notation.write_clock(sum(times, Fraction(0))) == "1:59 2/5"


@pytest.mark.published("practice_poles", "names of the sixteenths of a one-mile oval")
@pytest.mark.parametrize("row", published_table("poles_practice.csv"))
def test_poles__named_by_what_is_left(row: dict[str, str]) -> None:
    left = int(row["sixteenths"]) * EXACT_M["mile"] / 16
    if "/" in row["name"]:
        assert notation.read_pole(row["name"]) == left
        assert notation.write_pole(left) == row["name"]
    else:
        assert left == EXACT_M["mile"]
        assert notation.write_pole(left) == "1 mi"


@pytest.mark.published("akyuz_2013", "abstract: a trace is less than 0.005 inch")
def test_trace__akyuz_2013() -> None:
    trace = notation.read_rain("trace")
    assert trace == notation.read_rain("T")
    # Rain is kept to 1/100 inch: anything less than 0.005 inch is written as the trace is.
    assert trace < notation.read_rain("0.005 in")
    assert notation.write_length(trace, "inches", 2) == "0.00 in"
    assert notation.write_length(notation.read_rain("0.0049 in"), "inches", 2) == "0.00 in"
    assert notation.write_length(notation.read_rain("0.005 in"), "inches", 2) == "0.01 in"
