"""One written value in the other units of its kind."""

from collections.abc import Callable
from fractions import Fraction

from racecalc.errors import NotationError
from racecalc.notation.clock import Clock, read_clock, write_clock
from racecalc.notation.distance import read_distance, read_pole, write_distance, write_pole
from racecalc.notation.height import read_height, write_height
from racecalc.notation.measures import (
    read_length,
    read_mass,
    read_rain,
    read_speed,
    read_temperature,
    read_wind,
)
from racecalc.units import EXACT_KG, EXACT_M

__all__ = ["conversions"]

Conversions = dict[str, float | str]


def conversions(text: str, kind: str, clock: Clock = "fifths") -> Conversions:
    """Return one written value in every unit of its kind, by the unit's name.

    Parameters
    ----------
    text : str
        The value in the trade's notation.
    kind : str
        height, distance, clock, weight, speed, wind, length, rain, temperature or pole.
    clock : {"fifths", "hundredths"}
        How a clock's ``1:13.2`` is read.

    Returns
    -------
    dict of str to float or str
        Numbers as floats; hands, distances and clocks also as they are written.

    Raises
    ------
    NotationError
        If the text cannot be read, or the kind is unknown.

    Examples
    --------
    >>> conversions("1,126 lb", "weight")["pounds"]
    1126.0
    """
    if kind == "clock":
        return _clock(text, clock)
    if kind not in _CONVERTERS:
        kinds = ", ".join(sorted([*_CONVERTERS, "clock"]))
        raise NotationError(f'kind is "{kind}"; use one of {kinds}')
    return _CONVERTERS[kind](text)


def _height(text: str) -> Conversions:
    height = read_height(text)
    return {
        **_sizes(height, metres="metre", centimetres="centimetre", inches="inch"),
        "hands": write_height(height),
    }


def _distance(text: str) -> Conversions:
    distance = read_distance(text)
    return {
        **_sizes(distance, metres="metre", furlongs="furlong", miles="mile"),
        "text": write_distance(distance),
    }


def _pole(text: str) -> Conversions:
    left = read_pole(text)
    return {
        **_sizes(left, metres="metre", furlongs="furlong", miles="mile"),
        "text": write_pole(left),
    }


def _clock(text: str, clock: Clock) -> Conversions:
    time = read_clock(text, clock)
    return {
        "seconds": float(time),
        "fifths": write_clock(time),
        "hundredths": write_clock(time, "hundredths"),
    }


def _weight(text: str) -> Conversions:
    mass = read_mass(text)
    return {"kilograms": float(mass), "pounds": float(mass / EXACT_KG["pound"])}


def _speed(text: str) -> Conversions:
    return {**_wind(text), "seconds_per_furlong": float(EXACT_M["furlong"] / read_speed(text))}


def _wind(text: str) -> Conversions:
    speed = read_wind(text)
    return {
        "metres_per_second": float(speed),
        "miles_per_hour": float(speed * 3600 / EXACT_M["mile"]),
        "kilometres_per_hour": float(speed * Fraction(18, 5)),
    }


def _length(text: str) -> Conversions:
    return _sizes(read_length(text), metres="metre", millimetres="millimetre", inches="inch")


def _rain(text: str) -> Conversions:
    return _sizes(read_rain(text), metres="metre", millimetres="millimetre", inches="inch")


def _temperature(text: str) -> Conversions:
    temperature = read_temperature(text)
    return {"celsius": float(temperature), "fahrenheit": float(temperature * 9 / 5 + 32)}


def _sizes(length: Fraction, **units: str) -> Conversions:
    """Return a length in each unit, under the name the caller gives it."""
    return {name: float(length / EXACT_M[unit]) for name, unit in units.items()}


_CONVERTERS: dict[str, Callable[[str], Conversions]] = {
    "height": _height,
    "distance": _distance,
    "pole": _pole,
    "weight": _weight,
    "speed": _speed,
    "wind": _wind,
    "length": _length,
    "rain": _rain,
    "temperature": _temperature,
}
