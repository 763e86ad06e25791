"""Typographic fractions for a printed page; what is stored stays ASCII."""

import re

__all__ = ["typeset"]

_GLYPHS = {
    "1/2": "½", "1/4": "¼", "3/4": "¾", "1/3": "⅓", "2/3": "⅔",
    "1/5": "⅕", "2/5": "⅖", "3/5": "⅗", "4/5": "⅘",
    "1/6": "⅙", "5/6": "⅚", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞",
}  # fmt: skip
_FRACTION_SLASH = "\u2044"
# A date such as 3/4/2026 and a decimal such as .3/4 are left as they are.
_FRACTION = re.compile(r"((?<=[0-9]) )?(?<![0-9/.])([1-9][0-9]?)/([1-9][0-9]?)(?![0-9/])")


def typeset(text: str) -> str:
    r"""Return a text with its ASCII fractions made typographic.

    A fraction that has a character of its own joins the whole number before it; any other keeps
    its gap and gets a fraction slash. `racecalc.notation` reads both back.

    Examples
    --------
    >>> typeset("16.2 3/4"), typeset("1:13 2/5"), typeset("5 1/2 f"), ascii(typeset("1 1/16 mi"))
    ('16.2¾', '1:13⅖', '5½ f', "'1 1\\u204416 mi'")
    """
    return _FRACTION.sub(_typeset_one, text)


def _typeset_one(match: re.Match[str]) -> str:
    """Set one fraction."""
    gap, top, bottom = match.groups()
    glyph = _GLYPHS.get(f"{top}/{bottom}")
    return glyph or f"{gap or ''}{top}{_FRACTION_SLASH}{bottom}"
