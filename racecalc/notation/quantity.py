"""Amounts with units, alone (``5 1/2 f``) or added up (``16 hands 2 3/4 in``)."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from racecalc.notation.text import Ratio, proper_fraction, refusal, refuse_negative

__all__ = ["Term", "Units", "add_up", "read_terms", "spell", "unit_name"]

Term = tuple[int, int, str]
"""A numerator, a denominator and a unit as it is spelled, without the point of an abbreviation."""

_AMOUNT = (
    r"(?:([0-9][0-9,]*(?:\.[0-9]+)?|\.[0-9]+)"  # 6, 1,126, 5.5, .4
    r"(?:[ -]([0-9]+)/([0-9]+))?"  # 5 1/2, 5-1/2
    r"|([0-9]+)/([0-9]+))"  # 3/4
)
_BARE = re.compile(_AMOUNT)
_TERM = re.compile(_AMOUNT + r" ?([a-z°'\"][a-z°'\"/.]*) ?")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")


@dataclass(frozen=True)
class Units:
    """The units that one kind of value may be written in.

    Attributes
    ----------
    spellings : mapping of str to str
        From how people write a unit to its one name.
    factors : mapping of str to (int, int)
        SI units in one unit of that name, as a ratio.
    metric : frozenset of str
        The names that belong to the metric system; the two systems are not added up.
    write : str
        Examples for the error text.
    """

    spellings: Mapping[str, str]
    factors: Mapping[str, Ratio]
    metric: frozenset[str]
    write: str


def spell(**names: str) -> dict[str, str]:
    """Return the table of spellings, from ``name="spelling spelling"``."""
    return {spelling: name for name, text in names.items() for spelling in text.split()}


def read_terms(text: str, tidied: str, units: Units, default_unit: str | None = None) -> list[Term]:
    """Return the amounts and units of a tidied text, in the order they are written.

    Raises
    ------
    NotationError
        If it is negative, is no amount with a unit, or is a bare number and there is no
        ``default_unit``.
    """
    refuse_negative(text, tidied, units.write)
    terms: list[Term] = []
    place = 0
    while not terms or place < len(tidied):
        match = _TERM.match(tidied, place)
        if match is None:
            return _read_bare(text, tidied, units, default_unit)
        *amount, unit = match.groups()
        terms.append((*_amount(text, *amount), unit.removesuffix(".")))
        place = match.end()
    return terms


def _read_bare(text: str, tidied: str, units: Units, default_unit: str | None) -> list[Term]:
    """Give a number without a unit the unit of its column, or refuse."""
    match = _BARE.fullmatch(tidied)
    if match is None:
        raise refusal(text, "cannot be read", units.write)
    amount = _amount(text, *match.groups())
    if default_unit is None:
        raise refusal(text, "has no unit", units.write)
    return [(*amount, default_unit.lower())]


def _amount(
    text: str,
    number: str | None,
    top: str | None,
    bottom: str | None,
    top_alone: str | None,
    bottom_alone: str | None,
) -> Ratio:
    """Turn the five captured pieces of an amount into a ratio."""
    if number is None:
        assert top_alone is not None
        assert bottom_alone is not None
        if int(bottom_alone) == 0:
            raise refusal(text, "divides by zero", "a fraction such as 3/4")
        return int(top_alone), int(bottom_alone)
    if "," in number:
        number = _without_commas(text, number)
    whole, _, decimals = number.partition(".")
    if top is None or bottom is None:
        return int(whole + decimals), 10 ** len(decimals)
    if decimals:
        raise refusal(
            text,
            "has a point and a fraction in one number",
            f"either {number} or the whole number and {top}/{bottom}",
        )
    numerator, denominator = proper_fraction(text, top, bottom)
    return int(whole) * denominator + numerator, denominator


def _without_commas(text: str, number: str) -> str:
    """Drop the commas between thousands; a decimal comma is refused."""
    if not _THOUSANDS.fullmatch(number):
        raise refusal(
            text,
            "has a comma that does not part thousands",
            f"a point before decimals ({number.replace(',', '.', 1)}), "
            "or a comma before each group of three digits (1,126)",
        )
    return number.replace(",", "")


def add_up(text: str, terms: list[Term], units: Units) -> Ratio:
    """Return the sum of terms in SI units, exactly.

    Raises
    ------
    NotationError
        If a unit is unknown, or terms do not make one value (``1 mi 9 f``, ``2 f 1 mi``,
        ``1 mi 200 m``).
    """
    if len(terms) == 1:
        numerator, denominator, spelling = terms[0]
        factor = units.factors[unit_name(text, spelling, units)]
        return numerator * factor[0], denominator * factor[1]
    names = [unit_name(text, spelling, units) for _, _, spelling in terms]
    if len({name in units.metric for name in names}) > 1:
        raise refusal(text, "adds metric to other units", units.write)
    total: Ratio = 0, 1
    larger: Ratio | None = None
    for (numerator, denominator, _), name in zip(terms, names, strict=True):
        size = units.factors[name]
        part = numerator * size[0], denominator * size[1]
        if larger is not None and (_reaches(size, larger) or _reaches(part, larger)):
            raise refusal(text, f"does not add up at its {name} part", units.write)
        if larger is not None and total[0] * larger[1] % (total[1] * larger[0]):
            raise refusal(text, "has a fraction before its last part", units.write)
        total = total[0] * part[1] + part[0] * total[1], total[1] * part[1]
        larger = size
    return total


def _reaches(part: Ratio, whole: Ratio) -> bool:
    """Return whether a ratio is as large as another, or larger."""
    return part[0] * whole[1] >= whole[0] * part[1]


def unit_name(text: str, spelling: str, units: Units) -> str:
    """Return the one name of a unit, from any spelling of it.

    Raises
    ------
    NotationError
        If these units have no such spelling.
    """
    name = units.spellings.get(spelling)
    if name is None:
        raise refusal(text, f'has the unit "{spelling}", which is not read here', units.write)
    return name
