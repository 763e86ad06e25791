"""Heights at the withers: ``16.2 3/4`` is 16 hands and 2 3/4 inches, a hand being 4 inches."""

import re
from fractions import Fraction
from typing import Literal

from racecalc.errors import OutOfRangeError
from racecalc.notation.quantity import Units, add_up, read_terms, spell
from racecalc.notation.text import Ratio, proper_fraction, refusal, refuse_negative, tidy
from racecalc.notation.writing import decimal, exact, mixed, nearest
from racecalc.units import EXACT_M

__all__ = ["height_ratio", "read_height", "write_height"]

_WRITE = "16.2 3/4, 16.2 hh, 66 3/4 in or 169.5 cm"
_UNITS = Units(
    spellings=spell(
        hand="h hh hand hands",
        foot="ft foot feet '",
        inch="in inch inches \" ''",
        millimetre="mm",
        centimetre="cm",
        metre="m metre metres meter meters",
    ),
    factors={name: size.as_integer_ratio() for name, size in EXACT_M.items()},
    metric=frozenset({"millimetre", "centimetre", "metre"}),
    write=_WRITE,
)
_HANDS = re.compile(r"([0-9]{1,3})[.-]([0-9]+)(?:[ -]([0-9]+)/([0-9]+))? ?(?:(?:hh|h|hands?)\.?)?")
_WHOLE_HANDS = re.compile(r"([0-9]{1,3}) ?((?:hh|h|hands?)\.?)?")
_MOST_BARE_HANDS = 30


def read_height(text: str) -> Fraction:
    """Return the metres of a written height, exactly.

    Parameters
    ----------
    text : str
        Hands and inches (``16.2 3/4``, ``16-2 3/4``, ``16.2¾ hh``, ``16 hands 2 3/4 in``), or
        ``66 3/4 in``, ``5 ft 6 in``, ``169.5 cm``, ``1.695 m``. A whole number below 30 may stand
        alone for hands, because a spreadsheet turns 16.0 into 16.

    Raises
    ------
    NotationError
        If it cannot be read, is zero or negative, or can be read in two ways: the figure after
        the point counts inches, so it runs from 0 to 3 and has one digit.

    Notes
    -----
    Source of the notation: ``hands_notation``.

    Examples
    --------
    >>> float(read_height("16.2 3/4"))
    1.69545
    """
    return Fraction(*height_ratio(text))


def height_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres of a written height as a ratio; see `read_height`."""
    tidied = tidy(text)
    refuse_negative(text, tidied, _WRITE)
    match = _HANDS.fullmatch(tidied)
    if match and default_unit is None:
        numerator, denominator = _hands(text, *match.groups())
    elif match := _WHOLE_HANDS.fullmatch(tidied):
        numerator, denominator = _whole_hands(text, match[1], match[2], default_unit)
    else:
        terms = read_terms(text, tidied, _UNITS, default_unit)
        if any(bottom != 1 and unit.startswith("h") for _, bottom, unit in terms):
            raise refusal(text, "has a fraction of a hand", "hands and inches, such as 16.2")
        numerator, denominator = add_up(text, terms, _UNITS)
    if numerator == 0:
        raise refusal(text, "is no height", _WRITE)
    return numerator, denominator


def _hands(text: str, hands: str, inches: str, top: str | None, bottom: str | None) -> Ratio:
    """Add up hands, inches 0 to 3, and a fraction of an inch; 1 hand is 0.1016 m."""
    if len(inches) > 1:
        raise refusal(
            text,
            "has more than one digit after the point, where the inches of a hand (0 to 3) stand",
            "a fraction of an inch as 16.2 1/4, or the height in inches or cm with its unit",
        )
    over = int(inches)
    if over > 3:
        total = 4 * int(hands) + over
        raise refusal(
            text,
            f"has {over} inches after the point, where the inches of a hand run from 0 to 3",
            f"{total // 4}.{total % 4} for {hands} hands and {over} inches, "
            "or the height in inches or cm with its unit",
        )
    if top is None or bottom is None:
        return (4 * int(hands) + over) * 254, 10_000
    numerator, denominator = proper_fraction(text, top, bottom)
    return ((4 * int(hands) + over) * denominator + numerator) * 254, 10_000 * denominator


def _whole_hands(text: str, number: str, unit: str | None, default_unit: str | None) -> Ratio:
    """Read whole hands; a bare number must be small enough to be nothing else."""
    if unit is None and default_unit is not None:
        return add_up(text, [(int(number), 1, default_unit.lower())], _UNITS)
    if unit is None and int(number) >= _MOST_BARE_HANDS:
        raise refusal(text, "has no unit", _WRITE)
    return int(number) * 1016, 10_000


def write_height(
    height_m: float | Fraction,
    unit: Literal["hands", "inches", "centimetres"] = "hands",
    step: Fraction = Fraction(1, 4),
) -> str:
    """Return a height in the trade's notation, such as ``16.2 3/4``.

    Parameters
    ----------
    height_m : float or Fraction
        Height in metres, more than zero.
    unit : {"hands", "inches", "centimetres"}
        Centimetres are written to one decimal.
    step : Fraction, optional
        What hands and inches are rounded to: a part of an inch such as 1/4, or 1. Rounding comes
        before hands are counted, so 63.9 in is ``16.0`` and never 15.4.

    Raises
    ------
    OutOfRangeError
        If the height is not finite or more than zero, rounds to nothing, or ``unit`` or ``step``
        is none of those.

    Examples
    --------
    >>> write_height(1.69545), write_height(1.69545, "inches"), write_height(1.69545, "centimetres")
    ('16.2 3/4', '66 3/4 in', '169.5 cm')
    """
    height = exact(height_m, "height", zero=False)
    if unit == "centimetres":
        return f"{_not_zero(decimal(height / EXACT_M['centimetre'], 1), height_m)} cm"
    if unit not in ("hands", "inches"):
        raise OutOfRangeError(f'unit is "{unit}"; use hands, inches or centimetres')
    if step <= 0 or Fraction(1) % step:
        raise OutOfRangeError(f"step is {step}; use 1 or a part of an inch such as 1/2 or 1/4")
    inches = nearest(height / EXACT_M["inch"] / step) * step
    _not_zero(str(inches), height_m)
    if unit == "inches":
        return f"{mixed(inches)} in"
    hands, rest = divmod(inches, 4)
    whole, part = divmod(rest, 1)
    return f"{hands}.{whole} {part}" if part else f"{hands}.{whole}"


def _not_zero(written: str, height_m: float | Fraction) -> str:
    """Refuse a height that rounding has made nothing."""
    if written == "0":
        raise OutOfRangeError(f"height is {float(height_m)} m, which rounds to nothing")
    return written
