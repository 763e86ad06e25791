"""The printed form of a number: one place, one form for each kind and unit system."""

import math
from collections.abc import Callable
from fractions import Fraction

from racecalc import units
from racecalc.daybook import Barn
from racecalc.digest import Number
from racecalc.notation import (
    typeset,
    write_clock,
    write_distance,
    write_height,
    write_mass,
)

__all__ = ["figure_and_unit", "written"]

_MINUS = "\N{MINUS SIGN}"
# What an exact fifth may be off as a float.
_FLOAT_NOISE = 1e-6
_TWO_FIGURES_S = 10 - _FLOAT_NOISE
_ALMOST_NONE = 5


def written(number: Number, barn: Barn) -> str:
    """Return a number as a report prints it, in the barn's units and clock.

    Parameters
    ----------
    number : Number
        The number; its ``kind`` decides the form.
    barn : Barn
        Gives ``units`` ("imperial" or "metric") and ``clock`` ("fifths" or "hundredths").
    """
    return " ".join(part for part in figure_and_unit(number, barn) if part)


def figure_and_unit(number: Number, barn: Barn) -> tuple[str, str]:
    """Return the printed figure and its unit apart; the unit is empty where the figure holds it."""
    return _FORMS[number.kind](number.value, barn)


Form = Callable[[float, Barn], tuple[str, str]]


def _count(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.0f}", ""


def _strides(value: float, barn: Barn) -> tuple[str, str]:
    """Write a count that is known roughly: to two figures."""
    step = 10 ** max(0, len(f"{value:.0f}") - 2)
    return f"{round(value / step) * step:,}", ""


def _ratio(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(value, 2).removeprefix("+"), ""


def _distance(value: float, barn: Barn) -> tuple[str, str]:
    return typeset(write_distance(value)), ""


def _ground(value: float, barn: Barn) -> tuple[str, str]:
    if not value:
        return "none", ""
    if barn.units == "metric":
        return (f"{value / 1000:.1f}", "km") if value >= 50 else (f"{value:.0f}", "m")
    miles = float(units.miles(value))
    return (f"{miles:.1f}", "mi") if miles >= 0.05 else (f"{miles * 1760:.0f}", "yd")


def _day_ground(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value / 1000:.1f}", "km"
    return f"{float(units.furlongs(value)):.1f}".removesuffix(".0"), "f"


def _fast_ground(value: float, barn: Barn) -> tuple[str, str]:
    return _day_ground(value, barn) if value else ("none", "")


def _split(value: float, barn: Barn) -> tuple[str, str]:
    return typeset(write_clock(value, barn.clock)), ""


def _clock(value: float, barn: Barn) -> tuple[str, str]:
    """Write a time as the watch shows it: under a minute with the colon that the trade writes."""
    text = typeset(write_clock(value, barn.clock))
    return text if ":" in text else f":{text}", ""


def _seconds(value: float, barn: Barn) -> tuple[str, str]:
    fifths = round(value * 5)
    if barn.clock != "fifths" or abs(fifths - value * 5) > 1e-5:
        return f"{value:.2f}", "s"
    # A margin is no clock: four fifths stand alone, and a minute is sixty seconds.
    whole, part = divmod(fifths, 5)
    return typeset(_mixed(whole, Fraction(part, 5))), "s"


def _pace(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.2f}", "s"


def _speed(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{float(units.kilometres_per_hour(value)):.1f}", "km/h"
    return f"{float(units.miles_per_hour(value)):.1f}", "mph"


def _threshold(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{200 / value:.1f}", "s per 200 m"
    return f"{float(units.seconds_per_furlong(value)):.1f}", "s a furlong"


def _edge(value: float, barn: Barn) -> tuple[str, str]:
    """Write the edge of a class so that a watch cannot show a time on both sides of it."""
    pace = 200 / value if barn.units == "metric" else float(units.seconds_per_furlong(value))
    return f"{pace:.2f}", "s"


def _height(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value * 100:.1f}", "cm"
    return typeset(write_height(value)), "hands"


def _height_change(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return _signed(value * 100, 1), "cm"
    quarters = round(float(units.inches(value)) * 4)
    sign = _MINUS if quarters < 0 else "+" if quarters else ""
    whole, part = divmod(abs(quarters), 4)
    return sign + typeset(_mixed(whole, Fraction(part, 4))), "in"


def _height_noise(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value * 100:.1f}", "cm"
    return f"{float(units.inches(value)):.1f}", "in"


def _mixed(whole: int, part: Fraction) -> str:
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def _weight(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return write_mass(value, "kilograms").removesuffix(" kg"), "kg"
    return write_mass(value, "pounds").removesuffix(" lb"), "lb"


def _weight_change(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return _signed(value, 0), "kg"
    return _signed(float(units.pounds(value)), 0), "lb"


def _weight_noise(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value:.0f}", "kg"
    return f"{float(units.pounds(value)):.0f}", "lb"


def _condition(value: float, barn: Barn) -> tuple[str, str]:
    whole, part = divmod(round(value * 2), 2)
    return typeset(_mixed(whole, Fraction(part, 2))), ""


def _condition_change(value: float, barn: Barn) -> tuple[str, str]:
    text, _ = _condition(abs(value), barn)
    sign = "" if text == "0" else _MINUS if value < 0 else "+"
    return sign + text, "point" if text in ("½", "1") else "points"


def _taped(value: float, barn: Barn) -> tuple[str, str]:
    """Write a measure by tape: to the eighth of an inch, as a tape is read."""
    if barn.units == "metric":
        return f"{value * 100:.1f}", "cm"
    whole, part = divmod(round(float(units.inches(value)) * 8), 8)
    return typeset(_mixed(whole, Fraction(part, 8))), "in"


def _taped_change(value: float, barn: Barn) -> tuple[str, str]:
    figure, unit = _taped(abs(value), barn)
    if not value or figure in ("0", "0.0"):
        return figure, unit
    return (_MINUS if value < 0 else "+") + figure, unit


def _temperature(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value:.1f}", "°C"
    return f"{float(units.fahrenheit(value)):.1f}", "°F"


def _air(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return _signed(value, 0).removeprefix("+"), "°C"
    return _signed(float(units.fahrenheit(value)), 0).removeprefix("+"), "°F"


def _chance(value: float, barn: Barn) -> tuple[str, str]:
    """Write a chance to the nearest twentieth: no model of a track is better than that."""
    if 0 < value < _ALMOST_NONE:
        return f"under {_ALMOST_NONE}", "%"
    if 100 - _ALMOST_NONE < value < 100:
        return f"over {100 - _ALMOST_NONE}", "%"
    return f"{5 * math.floor(value / 5 + 0.5)}", "%"


def _wait(value: float, barn: Barn) -> tuple[str, str]:
    """Write days of waiting to the half day: what they rest on is known no better."""
    whole, half = divmod(math.floor(value * 2 + 0.5), 2)
    return typeset(_mixed(whole, Fraction(half, 2))), ""


def _pulse(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.0f}", "a minute"


def _beats_change(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(value, 0), "a minute"


def _lactate(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.1f}", "mmol/l"


def _pace_change(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(_of_the_barn(value, barn), 1), "s"


def _pace_error(value: float, barn: Barn) -> tuple[str, str]:
    return f"{_of_the_barn(value, barn):.1f}", "s"


def _of_the_barn(seconds_per_furlong: float, barn: Barn) -> float:
    """Return a difference of paces as this barn reads it: a furlong, or 200 m."""
    return seconds_per_furlong * (200 / units.FURLONG_M if barn.units == "metric" else 1)


def _section_ground(value: float, barn: Barn) -> tuple[str, str]:
    """Write ground between poles as the trade writes a distance, odd metres as they are."""
    return _distance(round(value, 3), barn)


def _months(value: float, barn: Barn) -> tuple[str, str]:
    """Write an age in months that are complete."""
    return f"{math.floor(value)}", "months"


def _percent(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.0f}", "%"


def _energy(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.1f}", "Mcal"


def _moisture(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.0f}", "%"


def _depth(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value * 100:.1f}", "cm"
    quarters = round(float(units.inches(value)) * 4)
    whole, part = divmod(quarters, 4)
    return typeset(_mixed(whole, Fraction(part, 4))), "in"


def _rain(value: float, barn: Barn) -> tuple[str, str]:
    if not value:
        return "none", ""
    if barn.units == "metric":
        text, unit = f"{value:.0f}" if value >= 1 else f"{value:.1f}", "mm"
    else:
        text, unit = f"{value / 25.4:.2f}", "in"
    return (text, unit) if float(text) else ("trace", "")


def _signed(value: float, decimals: int) -> str:
    text = f"{abs(value):,.{decimals}f}"
    if not float(text.replace(",", "")):
        return text
    return (_MINUS if value < 0 else "+") + text


def _watch(value: float, barn: Barn) -> tuple[str, str]:
    """Write what a watch should show: by fifths rounded down, as a watch is read."""
    if barn.clock == "fifths":
        value = math.floor(value * 5 + _FLOAT_NOISE) / 5
    text, unit = _clock(value, barn)
    # Under ten seconds the zero keeps the column straight: :06.
    return (f":0{text[1:]}" if value < _TWO_FIGURES_S else text), unit


def _watch_late(value: float, barn: Barn) -> tuple[str, str]:
    """Write the last time that a watch may show: by fifths rounded up."""
    if barn.clock == "fifths":
        value = math.ceil(value * 5 - _FLOAT_NOISE) / 5
    return _watch(value, barn)


def _expected(value: float, barn: Barn) -> tuple[str, str]:
    """Write a time that nobody read from a watch: to the fifth or the tenth of a second."""
    if barn.clock == "fifths":
        return _clock(round(value * 5) / 5, barn)
    return _tenths_clock(value, barn)


def _interpolated(value: float, barn: Barn) -> tuple[str, str]:
    return f"≈ {value:.1f}", ""


def _small_time(value: float, barn: Barn) -> tuple[str, str]:
    return f"{_MINUS if value < 0 else ''}{abs(value):.2f}", "s"


def _pace_difference(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(value, 1), "s"


def _pace_range(value: float, barn: Barn) -> tuple[str, str]:
    return f"{round(value, 2):g}", "s"


def _offset(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value:.0f}", "m"
    return f"{value / units.FOOT_M:.0f}", "ft"


def _extra(value: float, barn: Barn) -> tuple[str, str]:
    sign = _MINUS if value < 0 else ""
    if barn.units == "metric":
        return f"{sign}{abs(value):.1f}", "m"
    return f"{sign}{abs(value) / units.FOOT_M:.0f}", "ft"


def _tenths_clock(value: float, barn: Barn) -> tuple[str, str]:
    text = write_clock(round(value, 1), "hundredths").removesuffix("0")
    return text if ":" in text else f":{text}", ""


def _time_difference(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(value, 1), "s"


def _tenths(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.1f}", "s"


def _scatter(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value:.1f}", "m"
    return f"{value / units.FOOT_M:.0f}", "ft"


def _signed_offset(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return _signed(value, 1), "m"
    return _signed(value / units.FOOT_M, 0), "ft"


def _footing_effect(value: float, barn: Barn) -> tuple[str, str]:
    return _signed(value, 1), "%"


def _bank(value: float, barn: Barn) -> tuple[str, str]:
    return f"{value:.0f}", "%"


def _places(places: int, unit: str, *, up: bool = False) -> Form:
    """Return a form with so many places; ``up`` rounds an error up, so that none is nothing."""

    def form(value: float, barn: Barn) -> tuple[str, str]:
        scale: int = 10**places
        shown = math.ceil(value * scale - _FLOAT_NOISE) / scale if up else value
        return f"{shown:.{places}f}", unit

    return form


def _stride_length(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return f"{value:.1f}", "m"
    return f"{value / units.FOOT_M:.1f}", "ft"


def _stride_length_error(value: float, barn: Barn) -> tuple[str, str]:
    if barn.units == "metric":
        return _places(1, "m", up=True)(value, barn)
    return _places(1, "ft", up=True)(value / units.FOOT_M, barn)


def _stance(value: float, barn: Barn) -> tuple[str, str]:
    return f"{1000 * value:.0f}", "ms"


def _stance_error(value: float, barn: Barn) -> tuple[str, str]:
    return _places(0, "ms", up=True)(1000 * value, barn)


def _frame_step(value: float, barn: Barn) -> tuple[str, str]:
    return (f"{1000 * value:.0f}" if value >= 0.002 else f"{1000 * value:.1g}"), "ms"


_FORMS: dict[str, Form] = {
    "count": _count,
    "distance": _distance,
    "ground": _ground,
    "fast_ground": _fast_ground,
    "strides": _strides,
    "ratio": _ratio,
    "day_ground": _day_ground,
    "clock": _clock,
    "split": _split,
    "seconds": _seconds,
    "pace": _pace,
    "pace_200m": _pace,
    "speed": _speed,
    "threshold": _threshold,
    "height": _height,
    "height_change": _height_change,
    "weight": _weight,
    "height_noise": _height_noise,
    "weight_change": _weight_change,
    "weight_noise": _weight_noise,
    "condition": _condition,
    "condition_change": _condition_change,
    "condition_noise": _condition,
    "girth": _taped,
    "girth_change": _taped_change,
    "girth_noise": _height_noise,
    "length": _taped,
    "length_change": _taped_change,
    "length_noise": _height_noise,
    "cannon": _taped,
    "cannon_change": _taped_change,
    "cannon_noise": _height_noise,
    "shoes": _taped,
    "temperature": _temperature,
    "air": _air,
    "chance": _chance,
    "wait": _wait,
    "pulse": _pulse,
    "beats_change": _beats_change,
    "lactate": _lactate,
    "pace_change": _pace_change,
    "pace_error": _pace_error,
    "edge": _edge,
    "section_ground": _section_ground,
    "months": _months,
    "percent": _percent,
    "energy": _energy,
    "moisture": _moisture,
    "depth": _depth,
    "rain": _rain,
    "watch": _watch,
    "watch_late": _watch_late,
    "expected": _expected,
    "interpolated": _interpolated,
    "small_time": _small_time,
    "pace_difference": _pace_difference,
    "pace_range": _pace_range,
    "offset": _offset,
    "extra": _extra,
    "bank": _bank,
    "footing_effect": _footing_effect,
    "tenths_clock": _tenths_clock,
    "time_difference": _time_difference,
    "tenths": _tenths,
    "scatter": _scatter,
    "signed_offset": _signed_offset,
    "stride_time": _places(3, "s"),
    "stride_time_error": _places(3, "s", up=True),
    "stride_time_rough": _places(2, "s"),
    "stride_time_rough_error": _places(2, "s", up=True),
    "stride_rate": _places(2, "a second"),
    "stride_rate_error": _places(2, "a second", up=True),
    "stride_rate_rough": _places(1, "a second"),
    "stride_rate_rough_error": _places(1, "a second", up=True),
    "stride_length": _stride_length,
    "stride_length_error": _stride_length_error,
    "stance": _stance,
    "stance_rough": lambda value, barn: (f"{10 * round(100 * value)}", "ms"),
    "stance_error": _stance_error,
    "frame_step": _frame_step,
    "force": _places(1, ""),
    "points": _places(0, "%", up=True),
}
