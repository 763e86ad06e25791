"""Typographic fractions."""

import pytest

from racecalc.notation import typeset


@pytest.mark.parametrize(
    ("plain", "printed"),
    [
        ("16.2 3/4", "16.2¾"),
        ("1:13 2/5", "1:13⅖"),
        ("5 1/2 f", "5½ f"),
        ("3/4 mi", "¾ mi"),
        ("+1/8", "+⅛"),
        ("1 1/16 mi", "1 1\u204416 mi"),
        ("3/16", "3\u204416"),
        ("12.4 s/f", "12.4 s/f"),
        ("35 km/h", "35 km/h"),
        ("3/4/2026", "3/4/2026"),
        ("10/100", "10/100"),
        ("120/80", "120/80"),
        ("from 3/4 to 5/8", "from ¾ to ⅝"),
        ("16.2", "16.2"),
        ("", ""),
    ],
)
def test_typeset(plain, printed):
    assert typeset(plain) == printed


def test_typeset_twice_is_typeset_once():
    for text in ("16.2 3/4", "1 1/16 mi", "1:13 2/5"):
        assert typeset(typeset(text)) == typeset(text)
