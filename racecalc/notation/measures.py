"""Masses, speeds, short lengths, rain and temperatures, each with its unit in the cell."""

import re
from fractions import Fraction

from racecalc.notation.quantity import Term, Units, add_up, read_terms, spell, unit_name
from racecalc.notation.text import Ratio, refusal, tidy
from racecalc.units import EXACT_KG, EXACT_M

__all__ = [
    "length_ratio",
    "mass_ratio",
    "rain_ratio",
    "read_length",
    "read_mass",
    "read_rain",
    "read_speed",
    "read_temperature",
    "read_wind",
    "speed_ratio",
    "temperature_ratio",
    "wind_ratio",
]

_MASSES = Units(
    spellings=spell(pound="lb lbs pound pounds", kilogram="kg kgs kilo kilos kilogram kilograms"),
    factors={name: size.as_integer_ratio() for name, size in EXACT_KG.items()},
    metric=frozenset({"kilogram"}),
    write="1126 lb or 511 kg",
)
_LENGTHS = Units(
    spellings=spell(
        inch="in inch inches \" ''",
        foot="ft foot feet '",
        yard="y yd yds yard yards",
        millimetre="mm millimetre millimetres millimeter millimeters",
        centimetre="cm centimetre centimetres centimeter centimeters",
        metre="m metre metres meter meters",
    ),
    factors={name: size.as_integer_ratio() for name, size in EXACT_M.items()},
    metric=frozenset({"millimetre", "centimetre", "metre"}),
    write="3 1/2 in, 10 mm, 8.9 cm or 80 ft",
)
_SPEEDS = Units(
    spellings=spell(
        mile_per_hour="mph mi/h miles/h",
        metre_per_second="m/s",
        kilometre_per_hour="km/h kmh kph kmph",
        foot_per_second="ft/s fps",
        knot="kn kt kts knot knots",
        second_per_furlong="s/f sec/f s/fur s/furlong",
    ),
    factors={
        "mile_per_hour": (EXACT_M["mile"] / 3600).as_integer_ratio(),
        "metre_per_second": (1, 1),
        "kilometre_per_hour": (5, 18),
        "foot_per_second": EXACT_M["foot"].as_integer_ratio(),
        "knot": Fraction(1852, 3600).as_integer_ratio(),
        "second_per_furlong": EXACT_M["furlong"].as_integer_ratio(),
    },
    metric=frozenset(),
    write="35 mph, 15.6 m/s, 56 km/h or 12.4 s/f",
)
_TEMPERATURES = Units(
    spellings=spell(
        fahrenheit="f °f degf fahrenheit °fahrenheit",
        celsius="c °c degc celsius °celsius",
    ),
    factors={"fahrenheit": (5, 9), "celsius": (1, 1)},
    metric=frozenset(),
    write="101.2 F or 38.4 C",
)
_ABSOLUTE_ZERO_100_C = -27_315
_DEGREES = re.compile(r"(?:deg(?:rees?)?\.?|°) ?")


def read_mass(text: str) -> Fraction:
    """Return the kilograms of a written weight, exactly: ``1,126 lb``, ``511.5 kg``.

    Raises
    ------
    NotationError
        If it cannot be read, has no unit, or is zero or negative.
    """
    return Fraction(*mass_ratio(text))


def mass_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the kilograms of a written weight as a ratio; see `read_mass`."""
    ratio = add_up(text, read_terms(text, tidy(text), _MASSES, default_unit), _MASSES)
    return _more_than_zero(text, ratio, _MASSES)


def read_speed(text: str) -> Fraction:
    """Return the metres per second of a written speed, exactly.

    Parameters
    ----------
    text : str
        ``35 mph``, ``15.6 m/s``, ``56 km/h``, ``51 ft/s``, or seconds per furlong: ``12.4 s/f``.

    Raises
    ------
    NotationError
        If it cannot be read, has no unit, or is zero or negative.
    """
    return Fraction(*speed_ratio(text))


def speed_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres per second of a written speed as a ratio; see `read_speed`."""
    return _more_than_zero(text, _speed(text, default_unit), _SPEEDS)


def _speed(text: str, default_unit: str | None) -> Ratio:
    """Read a speed; seconds per furlong are turned over."""
    terms = read_terms(text, tidy(text), _SPEEDS, default_unit)
    numerator, denominator, unit = _only(text, terms, _SPEEDS)
    if unit_name(text, unit, _SPEEDS) == "second_per_furlong":
        _more_than_zero(text, (numerator, denominator), _SPEEDS)
        return add_up(text, [(denominator, numerator, unit)], _SPEEDS)
    return add_up(text, terms, _SPEEDS)


def _only(text: str, terms: list[Term], units: Units) -> Term:
    """Return the one term of a value that has no parts."""
    if len(terms) > 1:
        raise refusal(text, "is more than one value", units.write)
    return terms[0]


def _more_than_zero(text: str, ratio: Ratio, units: Units) -> Ratio:
    """Refuse zero, which only a value left blank may mean."""
    if ratio[0] == 0:
        raise refusal(text, "is zero; leave the cell blank if it is not known", units.write)
    return ratio


def read_wind(text: str) -> Fraction:
    """Return the metres per second of a written wind, exactly; a calm may be ``0`` or ``calm``.

    Raises
    ------
    NotationError
        If it cannot be read, is negative, or has no unit and is not zero.
    """
    return Fraction(*wind_ratio(text))


def wind_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres per second of a written wind as a ratio; see `read_wind`."""
    if tidy(text) in ("0", "calm"):
        return 0, 1
    return _speed(text, default_unit)


def read_length(text: str) -> Fraction:
    """Return the metres of a written length, exactly: ``3 1/2 in``, ``8.9 cm``, ``80 ft``, ``0``.

    Raises
    ------
    NotationError
        If it cannot be read, is negative, or has no unit and is not zero.
    """
    return Fraction(*length_ratio(text))


def length_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres of a written length as a ratio; see `read_length`."""
    tidied = tidy(text)
    if tidied == "0":
        return 0, 1
    return add_up(text, read_terms(text, tidied, _LENGTHS, default_unit), _LENGTHS)


def read_rain(text: str) -> Fraction:
    """Return the metres of written rain, exactly: ``0.4 in``, ``10 mm``, ``0``.

    A ``trace`` (or ``T``), less than 0.005 inch by ``akyuz_2013``, adds nothing to a sum of rain
    and is read as zero.

    Raises
    ------
    NotationError
        If it cannot be read, is negative, or has no unit and is not zero.
    """
    return Fraction(*rain_ratio(text))


def rain_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres of written rain as a ratio; see `read_rain`."""
    if tidy(text) in ("trace", "t"):
        return 0, 1
    return length_ratio(text, default_unit)


def read_temperature(text: str) -> Fraction:
    """Return the degrees Celsius of a written temperature, exactly: ``101.2 F``, ``38.4 C``.

    Raises
    ------
    NotationError
        If it cannot be read, has no unit, or is below absolute zero.
    """
    return Fraction(*temperature_ratio(text))


def temperature_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the degrees Celsius of a written temperature as a ratio; see `read_temperature`."""
    tidied = _DEGREES.sub("°", tidy(text))
    terms = read_terms(text, tidied.removeprefix("-").lstrip(), _TEMPERATURES, default_unit)
    numerator, denominator, unit = _only(text, terms, _TEMPERATURES)
    if tidied.startswith("-"):
        numerator = -numerator
    if unit_name(text, unit, _TEMPERATURES) == "fahrenheit":
        numerator, denominator = 5 * (numerator - 32 * denominator), 9 * denominator
    if 100 * numerator < _ABSOLUTE_ZERO_100_C * denominator:
        raise refusal(text, "is below absolute zero", _TEMPERATURES.write)
    return numerator, denominator
