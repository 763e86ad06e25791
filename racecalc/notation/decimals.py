"""Masses, speeds, short lengths and temperatures written as decimals with their unit."""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from racecalc.errors import OutOfRangeError
from racecalc.notation.writing import exact, nearest
from racecalc.units import EXACT_KG, EXACT_M

__all__ = ["write_length", "write_mass", "write_speed", "write_temperature"]

_MASS_UNITS = {"pounds": ("lb", EXACT_KG["pound"]), "kilograms": ("kg", EXACT_KG["kilogram"])}
_SPEED_UNITS = {
    "miles_per_hour": ("mph", EXACT_M["mile"] / 3600),
    "metres_per_second": ("m/s", Fraction(1)),
    "kilometres_per_hour": ("km/h", Fraction(5, 18)),
}
_LENGTH_UNITS = {
    "inches": ("in", EXACT_M["inch"]),
    "feet": ("ft", EXACT_M["foot"]),
    "millimetres": ("mm", EXACT_M["millimetre"]),
    "centimetres": ("cm", EXACT_M["centimetre"]),
    "metres": ("m", EXACT_M["metre"]),
}
_ABSOLUTE_ZERO_C = -273.15


def write_mass(
    mass_kg: float | Fraction,
    unit: Literal["pounds", "kilograms"] = "pounds",
    decimals: int = 0,
) -> str:
    """Return a weight such as ``1,126 lb`` or ``511 kg``.

    Parameters
    ----------
    mass_kg : float or Fraction
        Mass in kilograms, more than zero.
    unit : {"pounds", "kilograms"}
    decimals : int, optional
        Digits after the point.

    Raises
    ------
    OutOfRangeError
        If the mass is not finite or more than zero, rounds to zero, or ``unit`` is none of those.
    """
    mass = exact(mass_kg, "mass", zero=False)
    symbol, size = _written_unit(_MASS_UNITS, unit)
    return _positive(f"{_rounded(mass / size, decimals)} {symbol}", "mass")


def write_speed(
    speed_m_s: float | Fraction,
    unit: Literal[
        "miles_per_hour", "metres_per_second", "kilometres_per_hour", "seconds_per_furlong"
    ] = "miles_per_hour",
    decimals: int = 1,
) -> str:
    """Return a speed such as ``35.0 mph`` or ``12.4 s/f``.

    Parameters
    ----------
    speed_m_s : float or Fraction
        Speed in metres per second, more than zero.
    unit : {"miles_per_hour", "metres_per_second", "kilometres_per_hour", "seconds_per_furlong"}
    decimals : int, optional
        Digits after the point.

    Raises
    ------
    OutOfRangeError
        If the speed is not finite or more than zero, rounds to zero, or ``unit`` is none of those.
    """
    speed = exact(speed_m_s, "speed", zero=False)
    if unit == "seconds_per_furlong":
        return _positive(f"{_rounded(EXACT_M['furlong'] / speed, decimals)} s/f", "speed")
    symbol, size = _written_unit(_SPEED_UNITS, unit)
    return _positive(f"{_rounded(speed / size, decimals)} {symbol}", "speed")


def write_length(
    length_m: float | Fraction,
    unit: Literal["inches", "feet", "millimetres", "centimetres", "metres"] = "inches",
    decimals: int = 1,
) -> str:
    """Return a short length or rain such as ``0.4 in`` or ``10.0 mm``.

    Parameters
    ----------
    length_m : float or Fraction
        Length in metres, zero or more.
    unit : {"inches", "feet", "millimetres", "centimetres", "metres"}
    decimals : int, optional
        Digits after the point.

    Raises
    ------
    OutOfRangeError
        If the length is not finite or is negative, or ``unit`` is none of those.
    """
    length = exact(length_m, "length", zero=True)
    symbol, size = _written_unit(_LENGTH_UNITS, unit)
    return f"{_rounded(length / size, decimals)} {symbol}"


def write_temperature(
    temperature_c: float | Fraction,
    unit: Literal["fahrenheit", "celsius"] = "fahrenheit",
    decimals: int = 1,
) -> str:
    """Return a temperature such as ``101.2 F`` or ``38.4 C``.

    Parameters
    ----------
    temperature_c : float or Fraction
        Degrees Celsius, not below absolute zero.
    unit : {"fahrenheit", "celsius"}
    decimals : int, optional
        Digits after the point.

    Raises
    ------
    OutOfRangeError
        If the temperature is not finite or is below absolute zero, or ``unit`` is none of those.
    """
    if not math.isfinite(temperature_c) or temperature_c < _ABSOLUTE_ZERO_C:
        raise OutOfRangeError(
            f"temperature is {temperature_c}; only a finite value from {_ABSOLUTE_ZERO_C} °C up "
            "can be written"
        )
    celsius = Fraction(temperature_c)
    if unit == "celsius":
        return f"{_rounded(celsius, decimals)} C"
    if unit == "fahrenheit":
        return f"{_rounded(celsius * 9 / 5 + 32, decimals)} F"
    raise OutOfRangeError(f'unit is "{unit}"; use fahrenheit or celsius')


def _rounded(value: Fraction, decimals: int) -> str:
    """Round exactly, a half away from zero, and keep the idle zeros: they say how fine it is."""
    scale = 10**decimals
    whole, rest = divmod(nearest(abs(value) * scale), scale)
    sign = "-" if value < 0 and (whole or rest) else ""
    return f"{sign}{whole:,}" + (f".{rest:0{decimals}d}" if decimals else "")


def _written_unit(units: Mapping[str, tuple[str, Fraction]], unit: str) -> tuple[str, Fraction]:
    """Return the symbol of a unit and its size in SI units."""
    if unit not in units:
        raise OutOfRangeError(f'unit is "{unit}"; use {", ".join(units)}')
    return units[unit]


def _positive(written: str, name: str) -> str:
    """Refuse a value that rounding has made zero: it could not be read back."""
    if not any(digit in written for digit in "123456789"):
        raise OutOfRangeError(f"{name} is written {written}; give it more decimals")
    return written
