"""Heights: every way of writing them, every way of getting them wrong."""

from fractions import Fraction

import pytest

from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import read_height, write_height

INCH = Fraction(254, 10_000)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("16.2 3/4", "66.75"),
        ("16.2¾", "66.75"),
        ("16.2¾ hh", "66.75"),
        ("16-2 3/4", "66.75"),
        ("16-2-3/4", "66.75"),
        ("16.2 hh", "66"),
        ("16.2HH", "66"),
        ("16.2 h.", "66"),
        ("16.2 hands", "66"),
        ("16 hands 2 3/4 in", "66.75"),
        ("16 hh 2 in.", "66"),
        ("16 hands", "64"),
        ("16", "64"),
        ("16.0", "64"),
        ("66 3/4 in", "66.75"),
        ("66.75 in", "66.75"),
        ('66 3/4"', "66.75"),
        ("5 ft 6 3/4 in", "66.75"),
        ("14.1¾hh", "57.75"),
    ],
)
def test_reads_hands_and_inches(text, inches):
    assert read_height(text) == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("text", "metres"),
    [("169.5 cm", "1.695"), ("1.695 m", "1.695"), ("1,695 mm", "1.695"), ("1.7 metres", "1.7")],
)
def test_reads_metric(text, metres):
    assert read_height(text) == Fraction(metres)


@pytest.mark.parametrize(
    "text",
    [
        "16.2\u00a0¾",  # no-break space
        "16.2\u20093\u20444",  # thin space, fraction slash
        "16.2³\u2044₄",  # superscript and subscript digits, no gap
        "16.2 ³/₄",
        "\uff11\uff16.\uff12 3/4",  # full-width digits
        "\uff11\uff16.\uff12¾",
        "16\u20132¾",  # en dash
        "66¾\u2033",  # double prime
        "5\u2032 6¾\u2033",
        "5' 6 3/4''",
        "\ufeff16.2 3/4\u200b",
        "  16.2\t3/4 ",
        "16.2 3 / 4",
    ],
)
def test_reads_typography(text):
    assert read_height(text) == Fraction("66.75") * INCH


@pytest.mark.parametrize(
    ("text", "wrong", "write"),
    [
        ("16.5", "inches of a hand run from 0 to 3", "write 17.1 "),
        ("15.4 hh", "inches of a hand run from 0 to 3", "write 16.0 "),
        ("16.25", "more than one digit after the point", "16.2 1/4"),
        ("16.23/4", "cannot be read", "16.2 3/4"),  # a fraction glued to its inches
        ("14.13/4", "cannot be read", "16.2 3/4"),
        ("16.2 4/4", "less than one", "5 1/2"),
        ("16.2 3/0", "less than one", "5 1/2"),
        ("16 1/2 hands", "fraction of a hand", "16.2"),
        ("16.75 hands 1 in", "fraction of a hand", "16.2"),
        ("16 hands 4 in", "does not add up", "16.2 3/4"),
        ("16 hands 2 cm", "adds metric", "16.2 3/4"),
        ("16 3/4", "has no unit", "16.2 3/4"),
        ("66", "has no unit", "66 3/4 in"),
        ("169", "has no unit", "169.5 cm"),
        ("169,5 cm", "comma", "169.5"),
        ("5 6", "cannot be read", "16.2 3/4"),
        ("6 hats", 'the unit "hats"', "16.2 3/4"),
        ("0", "no height", "16.2 3/4"),
        ("0.0 hh", "no height", "16.2 3/4"),
        ("0 cm", "no height", "16.2 3/4"),
        ("-16.2", "negative", "16.2 3/4"),
        ("\u221216.2", "negative", "16.2 3/4"),
        ("", "nothing is written", "a value"),
    ],
)
def test_refuses_and_says_what_to_write(text, wrong, write):
    with pytest.raises(NotationError) as refused:
        read_height(text)
    message = str(refused.value)
    assert wrong in message
    assert write in message
    assert text.strip() in message


def test_writes_the_canonical_form():
    assert write_height(1.69545) == "16.2 3/4"
    assert write_height(1.69545, "inches") == "66 3/4 in"
    assert write_height(1.69545, "centimetres") == "169.5 cm"
    assert write_height(1.6764) == "16.2"
    assert write_height(1.7, "centimetres") == "170 cm"


def test_rounding_comes_before_hands_are_counted():
    assert write_height(Fraction("63.9") * INCH) == "16.0"
    assert write_height(Fraction("63.87") * INCH) == "15.3 3/4"
    assert write_height(Fraction("65.6") * INCH, step=Fraction(1)) == "16.2"
    assert write_height(Fraction("65.6") * INCH, step=Fraction(1, 2)) == "16.1 1/2"


@pytest.mark.parametrize("height_m", [0, -1.6, float("nan"), float("inf"), 0.0001])
def test_refuses_to_write_no_height(height_m):
    with pytest.raises(OutOfRangeError, match="height is"):
        write_height(height_m)


def test_refuses_an_unknown_unit_or_step():
    with pytest.raises(OutOfRangeError, match="use hands, inches or centimetres"):
        write_height(1.6, "feet")
    with pytest.raises(OutOfRangeError, match="step is 2/3"):
        write_height(1.6, step=Fraction(2, 3))
    with pytest.raises(OutOfRangeError, match="step is 0"):
        write_height(1.6, step=Fraction(0))
