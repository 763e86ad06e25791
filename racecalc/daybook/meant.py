"""What a cell may have meant: its figure in the other unit, or hands written as a decimal."""

import re
from fractions import Fraction

from racecalc.notation import write_height, write_length, write_mass
from racecalc.notation.quantity import spell
from racecalc.units import EXACT_M, INCH_M, POUND_KG

__all__ = ["decimal_hands", "like", "other_unit"]

_AMOUNT_AND_UNIT = re.compile(r"""([^a-z"']*\d[^a-z"']*?)\s*([a-z]+|"|'')\.?\s*""", re.IGNORECASE)
_SPELLINGS = spell(
    inches="in inch inches \" ''",
    centimetres="cm centimetre centimetres centimeter centimeters",
    metres="m metre metres meter meters",
    millimetres="mm millimetre millimetres millimeter millimeters",
    pounds="lb lbs pound pounds",
    kilograms="kg kgs kilo kilos kilogram kilograms",
)
# The unit that may have been meant: how it is written, and how much larger it is.
_OTHERS = {
    "inches": ("centimetres", "cm", 0.01 / INCH_M),
    "centimetres": ("inches", "in", INCH_M / 0.01),
    "pounds": ("kilograms", "kg", 1 / POUND_KG),
    "kilograms": ("pounds", "lb", POUND_KG),
}
_DECIMAL_HANDS = re.compile(r"(\d{1,2}\.\d{1,4})\s*(?:(?:hh|h|hands?)\.?)?", re.IGNORECASE)


def _parts(text: str) -> tuple[str, str]:
    """Part the amount of a cell from its unit; both are empty where there is no such unit."""
    match = _AMOUNT_AND_UNIT.fullmatch(text.strip())
    unit = _SPELLINGS.get(match[2].casefold(), "") if match else ""
    return (match[1].strip(), unit) if match and unit else ("", "")


def other_unit(text: str, value: float, low: float, high: float) -> str:
    """Return what to write if the other unit was meant, where that would fit; else nothing.

    Parameters
    ----------
    text : str
        What the cell holds: one amount and its unit.
    value : float
        Its value in SI units.
    low, high : float
        Where the value with the other unit must lie, in SI units.

    Examples
    --------
    >>> other_unit("74 cm", 0.74, 1.5, 2.2)
    '; if inches were meant, write 74 in'
    >>> other_unit("40 cm", 0.40, 1.5, 2.2)
    ''
    """
    amount, unit = _parts(text)
    if unit not in _OTHERS:
        return ""
    name, symbol, larger = _OTHERS[unit]
    if not low <= value * larger <= high:
        return ""
    return f"; if {name} were meant, write {amount} {symbol}"


def like(text: str, what: str, value: float) -> str:
    """Write a value in the unit that a cell is written in.

    Parameters
    ----------
    text : str
        What the cell holds.
    what : str
        What is measured: a weight in kilograms, anything else in metres.
    value : float
        The value to write.

    Examples
    --------
    >>> like("2,084 lb", "weight", 472.6), like("16.2 3/4", "height", 1.6764)
    ('1,042 lb', '16.2')
    """
    unit = _parts(text)[1]
    if what == "weight":
        return write_mass(value, "kilograms" if unit == "kilograms" else "pounds")
    if unit == "metres":
        return write_length(value, "metres", 3)
    if unit in ("centimetres", "millimetres"):
        return write_length(value, "centimetres")
    if unit == "inches" or what != "height":
        return write_length(value, "inches")
    return write_height(value)


def decimal_hands(text: str) -> str:
    """Return what to write if decimal hands were meant; nothing where they give no quarter inch.

    References
    ----------
    horse_prices (an open table of heights in decimal hands).

    Examples
    --------
    >>> decimal_hands("16.75")
    '; if 16 3/4 hands were meant, write 16.3'
    >>> decimal_hands("16.71")
    ''
    """
    match = _DECIMAL_HANDS.fullmatch(text.strip())
    hands = Fraction(match[1]) if match else Fraction(0)
    whole, part = divmod(hands, 1)
    if not whole or not part or (hands * 16) % 1:
        return ""
    written = write_height(hands * EXACT_M["hand"])
    return f"; if {whole} {part} hands were meant, write {written}"
