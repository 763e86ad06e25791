"""Exact units, and the conversions that floors above use on plain numbers.

Lengths rest on the international foot of 0.3048 m. The furlong, chain, rod and link that
general-purpose libraries carry often still rest on the abolished survey foot and are 2 parts in a
million too long (0.4 mm a furlong); `registry` puts that right.

Source: ``nist_us_survey_foot`` (table of revised factors), ``yard_pound_1959``.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any, SupportsFloat, TypeVar

from racecalc.errors import OutOfRangeError

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import pandas as pd
    import pint

__all__ = [
    "EXACT_KG",
    "EXACT_M",
    "FOOT_M",
    "FURLONG_M",
    "HAND_M",
    "INCH_M",
    "MILE_M",
    "POUND_KG",
    "YARD_M",
    "celsius",
    "fahrenheit",
    "furlongs",
    "inches",
    "kilometres_per_hour",
    "magnitude",
    "miles",
    "miles_per_hour",
    "pounds",
    "registry",
    "seconds_per_furlong",
]

_FOOT = Fraction(3048, 10_000)

EXACT_M: dict[str, Fraction] = {
    "millimetre": Fraction(1, 1000),
    "centimetre": Fraction(1, 100),
    "metre": Fraction(1),
    "kilometre": Fraction(1000),
    "inch": _FOOT / 12,
    "hand": _FOOT / 3,
    "foot": _FOOT,
    "yard": 3 * _FOOT,
    "rod": Fraction(33, 2) * _FOOT,
    "chain": 66 * _FOOT,
    "furlong": 660 * _FOOT,
    "mile": 5280 * _FOOT,
}
"""Metres in one of each unit of length, exactly."""

EXACT_KG: dict[str, Fraction] = {
    "kilogram": Fraction(1),
    "pound": Fraction(45_359_237, 100_000_000),
}
"""Kilograms in one of each unit of mass, exactly."""

INCH_M = float(EXACT_M["inch"])
HAND_M = float(EXACT_M["hand"])
FOOT_M = float(EXACT_M["foot"])
YARD_M = float(EXACT_M["yard"])
FURLONG_M = float(EXACT_M["furlong"])
MILE_M = float(EXACT_M["mile"])
POUND_KG = float(EXACT_KG["pound"])

_MILE_PER_HOUR_M_S = float(EXACT_M["mile"] / 3600)

# pint's own rod, chain, link and furlong rest on the survey foot in releases up to 0.26. Its `pole`
# is another name of the rod, and to a horseman a pole is a marker on the rail: it becomes a
# dimension of its own, so that no number of poles can ever pass for a length.
_DEFINITIONS = (
    "link = 0.66 * foot = li",
    "rod = 16.5 * foot = rd = perch",
    "chain = 66 * foot = ch",
    "furlong = 660 * foot = fur",
    "pole = [race_pole]",
)

Numbers = TypeVar("Numbers", float, "npt.NDArray[np.float64]", "pd.Series[float]")


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Return the one unit registry, with the exact international furlong, chain, rod and link.

    Returns
    -------
    pint.UnitRegistry
        Always the same object: quantities of two registries cannot be added.

    Notes
    -----
    Source: ``nist_us_survey_foot``. Text such as ``16.2 hh`` must not be given to it (it would
    read hectohours, and decimal hands): `racecalc.notation` reads the trade's notation.
    """
    import pint

    # The units below exist already, often with the survey foot, and are meant to be replaced.
    units: pint.UnitRegistry[Any] = pint.UnitRegistry(on_redefinition="ignore")
    for definition in _DEFINITIONS:
        units.define(definition)
    return units


def magnitude(value: Any, unit: str, name: str) -> float:
    """Return a plain number in ``unit``, from a plain number or from a quantity.

    Parameters
    ----------
    value : float or pint.Quantity
        A plain number is taken to be in ``unit`` already. A quantity of any registry is read by
        the names of its units, so that a furlong is always the exact one.
    unit : str
        The unit wanted, as the registry spells it, such as ``"metre"``.
    name : str
        What the value is, for the error text, such as ``"distance"``.

    Raises
    ------
    OutOfRangeError
        If the quantity has another dimension, or the value is no finite number.

    Examples
    --------
    >>> magnitude(6 * registry().furlong, "metre", "distance")
    1207.008
    """
    plain = value
    if hasattr(value, "dimensionality"):
        import pint

        try:
            quantity = registry().Quantity(value.magnitude, format(value.units, "D"))
            plain = quantity.to(unit).magnitude
        except (pint.DimensionalityError, pint.UndefinedUnitError) as wrong:
            raise OutOfRangeError(
                f"{name} is given in {value.units}, which cannot be turned into {unit}; "
                f"give a quantity that can, or a plain number in {unit}"
            ) from wrong
    if not isinstance(plain, SupportsFloat):  # text is not: it is read by racecalc.notation
        raise OutOfRangeError(
            f"{name} is {value!r}, which is no number; give one number in {unit} or a quantity"
        )
    number = float(plain)
    if not math.isfinite(number):
        raise OutOfRangeError(f"{name} is {number}; give a finite number in {unit}")
    return number


def furlongs(distance_m: Numbers) -> Numbers:
    """Return a distance in furlongs, from metres (any shape)."""
    return distance_m / FURLONG_M


def miles(distance_m: Numbers) -> Numbers:
    """Return a distance in miles, from metres (any shape)."""
    return distance_m / MILE_M


def inches(length_m: Numbers) -> Numbers:
    """Return a length in inches, from metres (any shape)."""
    return length_m / INCH_M


def pounds(mass_kg: Numbers) -> Numbers:
    """Return a mass in pounds, from kilograms (any shape)."""
    return mass_kg / POUND_KG


def miles_per_hour(speed_m_s: Numbers) -> Numbers:
    """Return a speed in miles per hour, from metres per second (any shape)."""
    return speed_m_s / _MILE_PER_HOUR_M_S


def kilometres_per_hour(speed_m_s: Numbers) -> Numbers:
    """Return a speed in kilometres per hour, from metres per second (any shape)."""
    return speed_m_s * 3.6


def seconds_per_furlong(speed_m_s: Numbers) -> Numbers:
    """Return the seconds that a furlong takes, from metres per second (any shape, not zero).

    A mile in two minutes, the two-minute lick, is 15 s a furlong: ``training_pace_2014``.
    """
    return FURLONG_M / speed_m_s


def fahrenheit(temperature_c: Numbers) -> Numbers:
    """Return a temperature in degrees Fahrenheit, from degrees Celsius (any shape)."""
    return temperature_c * 1.8 + 32


def celsius(temperature_f: Numbers) -> Numbers:
    """Return a temperature in degrees Celsius, from degrees Fahrenheit (any shape)."""
    return (temperature_f - 32) / 1.8
