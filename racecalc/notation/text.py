"""What every reader shares: one spelling of a text, and refusal in plain words."""

import re
import unicodedata
from typing import TypeAlias

from racecalc.errors import NotationError

__all__ = ["LONGEST_TEXT", "Ratio", "proper_fraction", "refusal", "refuse_negative", "tidy"]

Ratio: TypeAlias = tuple[int, int]
"""A numerator and a denominator: exact as a Fraction, and several times faster to make."""

LONGEST_TEXT = 60
"""No measured value needs more characters; a longer text is refused unread."""

# Compatibility normalisation glues 16.2¾ into 16.23/4, so a gap is put before the fraction first.
_GLUED_FRACTION = re.compile(r"(?<=[0-9\uff10-\uff19])(?=[¼½¾⅐-⅞↉⅟⁰¹²³⁴-⁹])")

_SPELLINGS = str.maketrans(
    dict.fromkeys("\u2032\u2018\u2019\u02bc\u00b4", "'")
    | dict.fromkeys("\u2033\u201c\u201d\u02ba", '"')
    | dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d", "-")
    | dict.fromkeys("\u2044\u2215\uff0f", "/")
    | dict.fromkeys("\u00ba\u02da", "°")
    | dict.fromkeys("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad")
)


def tidy(text: str) -> str:
    """Return a text in one spelling: ASCII where it has one, lower case, single spaces.

    Vulgar fractions become ``n/d``, full-width digits, thin and unbreakable spaces and prime marks
    become plain ones.

    Raises
    ------
    NotationError
        If it is no text, is blank, or is longer than `LONGEST_TEXT` characters.
    """
    if not isinstance(text, str):
        raise NotationError(f"{text!r} is no text; give what is written, such as '16.2 3/4'")
    if len(text) > LONGEST_TEXT:
        raise refusal(text, f"is longer than {LONGEST_TEXT} characters", "one value and its unit")
    if not text.isascii():
        text = _plain_spelling(text)
    tidied = " ".join(text.lower().split())
    if not tidied:
        raise NotationError("nothing is written; write a value and its unit")
    if " /" in tidied or "/ " in tidied:
        tidied = tidied.replace(" /", "/").replace("/ ", "/")
    return tidied


def _plain_spelling(text: str) -> str:
    """Spell typographic fractions, marks, digits and spaces in ASCII."""
    spaced = _GLUED_FRACTION.sub(" ", text.translate(_SPELLINGS))
    return unicodedata.normalize("NFKC", spaced).translate(_SPELLINGS)


def refusal(text: str, wrong: str, write: str) -> NotationError:
    """Return the error that quotes a text, says what is wrong and what to write instead."""
    shown = text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…"
    shown = "".join(letter if letter.isprintable() else "\ufffd" for letter in shown)
    return NotationError(f'"{shown}" {wrong}; write {write}')


def refuse_negative(text: str, tidied: str, write: str) -> None:
    """Raise for a text that begins with a minus sign."""
    if tidied.startswith("-"):
        raise refusal(text, "is negative, which this cannot be", write)


def proper_fraction(text: str, top: str, bottom: str) -> Ratio:
    """Return the fraction that follows a whole number; it must be less than one.

    Raises
    ------
    NotationError
        If the fraction is one or more, or divides by zero.
    """
    numerator, denominator = int(top), int(bottom)
    if numerator >= denominator:
        raise refusal(
            text,
            f"has {top}/{bottom} after a whole number, and a fraction there must be less than one",
            "the whole number and the rest, such as 5 1/2",
        )
    return numerator, denominator
