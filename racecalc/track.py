"""The oval: its geometry, and the poles that stand along it."""

import math
from dataclasses import dataclass
from typing import Any

from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole
from racecalc.units import FOOT_M, MILE_M, magnitude

__all__ = ["RAIL_OFFSET_M", "Oval", "Pole", "lap_at_m", "oval", "pole_colour", "poles"]

# How far out from the inside rail a lap is measured (wac_260_20_013, subsection 3).
RAIL_OFFSET_M = 3 * FOOT_M

_SIXTEENTH_M = MILE_M / 16
# Poles are set by surveyors; written distances are exact. A micrometre only absorbs float noise.
_EXACT_M = 1e-6


@dataclass(frozen=True)
class Oval:
    """Two straights joined by two half circles, seen along the line on which the lap is measured.

    Parameters
    ----------
    lap_m : float
        Length of a lap on the measuring line, in metres.
    straight_m : float
        Length of each straight, in metres.
    finish_to_turn_m : float or None
        From the finish on to the first turn, in metres; None where it is not known.
    rail_offset_m : float
        How far out from the inside rail the measuring line runs, in metres.
    hand : str
        ``left`` (counter-clockwise) or ``right``.

    Raises
    ------
    OutOfRangeError
        If no oval can have these sizes.
    """

    lap_m: float
    straight_m: float
    finish_to_turn_m: float | None = None
    rail_offset_m: float = RAIL_OFFSET_M
    hand: str = "left"

    def __post_init__(self) -> None:
        _positive(self.lap_m, "lap")
        _positive(self.straight_m, "straight")
        _check_turns(self)
        _check_finish(self)
        if self.hand not in ("left", "right"):
            raise OutOfRangeError(f"hand of a track: {self.hand!r} found; write left or right")

    @property
    def turn_radius_m(self) -> float:
        """Radius of the turns on the measuring line, in metres."""
        return (self.lap_m - 2 * self.straight_m) / (2 * math.pi)

    @property
    def rail_radius_m(self) -> float:
        """Radius of the turns at the inside rail, in metres."""
        return self.turn_radius_m - self.rail_offset_m

    @property
    def turn_m(self) -> float:
        """Length of one turn on the measuring line, in metres."""
        return self.lap_m / 2 - self.straight_m

    @property
    def run_in_m(self) -> float | None:
        """From the exit of the last turn to the finish, in metres; None where it is not known."""
        return None if self.finish_to_turn_m is None else self.straight_m - self.finish_to_turn_m


@dataclass(frozen=True)
class Pole:
    """A pole, named by the distance that is left to the finish."""

    to_finish_m: float
    name: str
    colour: str | None


def oval(
    lap: Any,
    straight: Any,
    finish_to_turn: Any = None,
    rail_offset: Any = RAIL_OFFSET_M,
    hand: str = "left",
) -> Oval:
    """Return the oval of these sizes.

    Parameters
    ----------
    lap, straight, finish_to_turn, rail_offset : float or pint quantity
        As `Oval` describes them; a plain number is in metres. A missing (None or nan)
        ``finish_to_turn`` is unknown.
    hand : str
        ``left`` or ``right``.

    Raises
    ------
    OutOfRangeError
        If a size is not a length, or no oval can have these sizes.

    Notes
    -----
    With lap C and straight S on the measuring line, the radius of the turns is
    R = (C - 2 S) / (2 pi); the rail's is R less the offset. The mile of the recipe has straights of
    440 yards and a fence radius of 417 feet 2 inches.

    References
    ----------
    mile_track_1922; breeding_trotter_1906 (radius on the measuring line);
    wac_260_20_013 (the offset of 3 feet).

    Examples
    --------
    >>> mile = oval(1609.344, 402.336)
    >>> round(mile.rail_radius_m / 0.3048, 2)
    417.17
    """
    unknown = finish_to_turn is None or finish_to_turn != finish_to_turn
    return Oval(
        lap_m=magnitude(lap, "metre", "lap"),
        straight_m=magnitude(straight, "metre", "straight"),
        finish_to_turn_m=None if unknown else magnitude(finish_to_turn, "metre", "finish to turn"),
        rail_offset_m=magnitude(rail_offset, "metre", "rail offset"),
        hand=hand,
    )


def lap_at_m(track: Oval, out_m: float) -> float:
    """Return the length of a lap run ``out_m`` metres outside the measuring line.

    A path that keeps its distance from the line is longer by 2 pi times that distance, whatever the
    radius. Negative ``out_m`` is inside the line, as far in as the rail.

    Raises
    ------
    OutOfRangeError
        If the path would lie inside the rail.
    """
    if not out_m >= -track.rail_offset_m - _EXACT_M:
        raise OutOfRangeError(
            f"path {out_m:g} m outside the measuring line: the rail is {track.rail_offset_m:g} m "
            "inside it; give a path outside the rail"
        )
    return track.lap_m + 2 * math.pi * out_m


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
    _positive(lap_m, "lap")
    if not 0 < spacing_m <= lap_m:
        raise OutOfRangeError(
            f"poles every {spacing_m:g} m on a lap of {lap_m:g} m: give a spacing above zero and "
            "up to the lap"
        )
    count = math.floor(lap_m / spacing_m + _EXACT_M)
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
    if lap_m is not None and not 0 <= place <= lap_m + _EXACT_M:
        place %= lap_m
    sixteenths = round(place / _SIXTEENTH_M)
    if sixteenths <= 0 or abs(place - sixteenths * _SIXTEENTH_M) > _EXACT_M:
        return None
    if sixteenths % 4 == 0:
        return "red"
    return "green" if sixteenths % 2 == 0 else "black"


def _positive(value_m: float, name: str) -> None:
    if not (math.isfinite(value_m) and value_m > 0):
        raise OutOfRangeError(f"{name} of a track: {value_m:g} m found; give a length above zero")


def _check_turns(track: Oval) -> None:
    if 2 * track.straight_m >= track.lap_m:
        raise OutOfRangeError(
            f"straight of {track.straight_m:g} m on a lap of {track.lap_m:g} m: two straights "
            "leave no room for the turns; give the length of one straight"
        )
    if not 0 <= track.rail_offset_m < track.turn_radius_m:
        raise OutOfRangeError(
            f"rail offset of {track.rail_offset_m:g} m on turns of radius "
            f"{track.turn_radius_m:g} m: give a length from zero up to the radius"
        )


def _check_finish(track: Oval) -> None:
    to_turn = track.finish_to_turn_m
    if to_turn is not None and not 0 <= to_turn <= track.straight_m:
        raise OutOfRangeError(
            f"finish to turn of {to_turn:g} m on a straight of {track.straight_m:g} m: the finish "
            "stands on the straight; give a length from zero up to the straight"
        )
