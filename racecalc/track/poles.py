"""The poles along an oval: named and coloured by what is left to the finish."""

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole
from racecalc.track.oval import EXACT_M
from racecalc.units import MILE_M, magnitude

__all__ = ["Pole", "pole_at", "pole_colour", "poles"]

_SIXTEENTH_M = MILE_M / 16


@dataclass(frozen=True)
class Pole:
    """A pole, named by the distance that is left to the finish."""

    to_finish_m: float
    name: str
    colour: str | None


def poles(lap: Any, spacing: Any) -> tuple[Pole, ...]:
    """Return the poles of a track, the one nearest before the finish first.

    Parameters
    ----------
    lap, spacing : float or pint quantity
        Length of a lap and distance from pole to pole; a plain number is in metres. The finish
        itself is not a pole, except as the end of a whole lap.

    Raises
    ------
    OutOfRangeError
        If the spacing is not a length between zero and the lap.

    References
    ----------
    practice_poles (poles are named by what is left to the finish, and counted back from it).

    Examples
    --------
    >>> [(pole.name, pole.colour) for pole in poles(1609.344, 201.168)][:2]
    [('1/8', 'green'), ('1/4', 'red')]
    """
    lap_m, spacing_m = magnitude(lap, "metre", "lap"), magnitude(spacing, "metre", "spacing")
    if not 0 < spacing_m <= lap_m:
        raise OutOfRangeError(
            f"poles every {spacing_m:g} m on a lap of {lap_m:g} m: give a spacing above zero and "
            "up to the lap"
        )
    return _standing(lap_m, spacing_m)


@cache
def _standing(lap_m: float, spacing_m: float) -> tuple[Pole, ...]:
    """Return the poles of a track; a report asks for them again and again."""
    count = math.floor(lap_m / spacing_m + EXACT_M)
    places = (round(number * spacing_m, 6) for number in range(1, count + 1))
    return tuple(Pole(place, write_pole(place), pole_colour(place)) for place in places)


def pole_colour(to_finish_m: float, lap_m: float | None = None) -> str | None:
    """Return the colour of the pole that stands ``to_finish_m`` metres before the finish.

    Quarter-mile poles are red, the other eighths green, the other sixteenths black.

    Parameters
    ----------
    to_finish_m : float
        What is left to the finish. Past the finish it is negative.
    lap_m : float, optional
        The lap: with it, a place past the finish, or more than a lap before it, has the colour of
        the pole that stands there.

    Returns
    -------
    str or None
        ``red``, ``green`` or ``black``; None at the finish, at metric poles, and for a place past
        the finish of a track whose lap is not given.

    References
    ----------
    oklahoma_325_10_1_28 (stripes of the 1/16, 1/8 and 1/4 mile poles, and of four poles given in
    yards); practice_poles (the same for every sixteenth of a lap).

    Examples
    --------
    >>> pole_colour(1005.84), pole_colour(400.0), pole_colour(-201.168, 1609.344)
    ('green', None, 'green')
    """
    place = to_finish_m
    if lap_m is not None and not 0 <= place <= lap_m + EXACT_M:
        place %= lap_m
    sixteenths = round(place / _SIXTEENTH_M)
    if sixteenths <= 0 or abs(place - sixteenths * _SIXTEENTH_M) > EXACT_M:
        return None
    if sixteenths % 4 == 0:
        return "red"
    return "green" if sixteenths % 2 == 0 else "black"


def pole_at(to_finish: Any, lap: Any, spacing: Any) -> Pole:
    """Return the pole that stands at a place.

    Parameters
    ----------
    to_finish : float or pint quantity
        What is left to the finish; the finish itself, places past it and more than a lap before
        it are found as well. A plain number is in metres.
    lap, spacing : float or pint quantity
        As `poles` takes them.

    Returns
    -------
    Pole
        The pole, with ``to_finish_m`` as it was asked for.

    Raises
    ------
    OutOfRangeError
        If the track has no pole there; the text names the nearest ones.

    Examples
    --------
    >>> pole_at(1207.008, 1609.344, 100.584).colour
    'red'
    """
    place_m = magnitude(to_finish, "metre", "place of a pole")
    standing = poles(lap, spacing)
    lap_m, spacing_m = magnitude(lap, "metre", "lap"), magnitude(spacing, "metre", "spacing")
    left_m = place_m % lap_m
    if min(left_m, lap_m - left_m) <= EXACT_M:
        return Pole(place_m, write_pole(place_m), None)
    for pole in standing:
        if abs(pole.to_finish_m - left_m) <= EXACT_M:
            return Pole(place_m, write_pole(place_m), pole.colour)
    below_m = math.floor(left_m / spacing_m) * spacing_m
    beside = [write_pole(m) for m in (below_m + spacing_m, below_m) if m <= lap_m]
    raise OutOfRangeError(
        f"this track has no pole at {write_pole(place_m)}; its nearest are {' and '.join(beside)}"
    )
