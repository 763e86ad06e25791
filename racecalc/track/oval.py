"""The oval and its sizes, as seen along the line on which the lap is measured."""

import math
from dataclasses import dataclass
from typing import Any

from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole
from racecalc.units import FOOT_M, magnitude

__all__ = [
    "EXACT_M",
    "RAIL_OFFSET_M",
    "Chute",
    "Oval",
    "chute",
    "finish_to_turn_of",
    "lap_at_m",
    "oval",
]

# How far out from the inside rail a lap is measured (wac_260_20_013, subsection 3).
RAIL_OFFSET_M = 3 * FOOT_M

# Poles are set by surveyors; written distances are exact. A micrometre only absorbs float noise.
EXACT_M = 1e-6


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
    width_m : float or None
        From the inside rail to the outer one, in metres; None where it is not known.
    chutes_m : tuple of float
        What is left to the finish at the start of each chute, in metres; see `chute`.

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
    width_m: float | None = None
    chutes_m: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        _positive(self.lap_m, "lap")
        _positive(self.straight_m, "straight")
        _check_turns(self)
        _check_finish(self)
        if self.hand not in ("left", "right"):
            raise OutOfRangeError(f"hand of a track: {self.hand!r} found; write left or right")
        if self.width_m is not None:
            _check_width(self)
        for start_m in self.chutes_m:
            chute(self, start_m)

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


def oval(
    lap: Any,
    straight: Any,
    finish_to_turn: Any = None,
    rail_offset: Any = RAIL_OFFSET_M,
    hand: str = "left",
    width: Any = None,
    chutes: tuple[Any, ...] = (),
) -> Oval:
    """Return the oval of these sizes.

    Parameters
    ----------
    lap, straight, finish_to_turn, rail_offset, width : float or pint quantity
        As `Oval` describes them; a plain number is in metres. A missing (None or nan)
        ``finish_to_turn`` or ``width`` is unknown.
    hand : str
        ``left`` or ``right``.
    chutes : tuple of float or pint quantity
        What is left to the finish at the start of each chute.

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
    return Oval(
        lap_m=magnitude(lap, "metre", "lap"),
        straight_m=magnitude(straight, "metre", "straight"),
        finish_to_turn_m=_known(finish_to_turn, "finish to turn"),
        rail_offset_m=magnitude(rail_offset, "metre", "rail offset"),
        hand=hand,
        width_m=_known(width, "width"),
        chutes_m=tuple(magnitude(start, "metre", "start of a chute") for start in chutes),
    )


def _known(value: Any, name: str) -> float | None:
    return None if value is None or value != value else magnitude(value, "metre", name)


@dataclass(frozen=True)
class Chute:
    """A straight prolonged backwards, so that a race of one distance starts clear of the turn.

    ``start_m`` and ``joins_m`` are what is left to the finish at its start and where it meets the
    oval, at the beginning of ``part``.
    """

    start_m: float
    joins_m: float
    part: str

    @property
    def length_m(self) -> float:
        """From the start to where it joins the oval, in metres."""
        return self.start_m - self.joins_m


def chute(track: Oval, start: Any) -> Chute:
    """Return the chute in which a race of this distance starts.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    start : float or pint quantity
        What is left to the finish at the start of the chute; a plain number is in metres.

    Raises
    ------
    OutOfRangeError
        If the place lies on a straight, where no chute is needed, or it is not known where the
        turns begin.

    Notes
    -----
    A start that falls into a turn is moved back along the straight which that turn leads into. The
    chute is as long as the piece of the turn that it takes the place of.

    Examples
    --------
    >>> mile = oval(1609.344, 402.336, 86.868)
    >>> chute(mile, 6.5 * 201.168).part
    'backstretch'
    """
    start_m = magnitude(start, "metre", "start of a chute")
    to_turn_m = finish_to_turn_of(track)
    # What is left to the finish at the exits of the two turns, on the lap of the start.
    for exit_m, part in (
        (track.straight_m - to_turn_m, "home straight"),
        (track.lap_m - to_turn_m - track.turn_m, "backstretch"),
    ):
        past_exit_m = (start_m - exit_m) % track.lap_m
        if start_m > 0 and EXACT_M < past_exit_m < track.turn_m + EXACT_M:
            return Chute(start_m, start_m - past_exit_m, part)
    raise OutOfRangeError(
        f"chute at {write_pole(max(start_m, 0.0))}: that place is on a straight, where no chute is "
        "needed; give a start that falls into a turn"
    )


def finish_to_turn_of(track: Oval) -> float:
    """Return how far the first turn is from the finish, in metres.

    Raises
    ------
    OutOfRangeError
        If it is not known.
    """
    if track.finish_to_turn_m is None:
        raise OutOfRangeError(
            "where the turns of this track begin is not known; fill finish_to_turn in tracks, the "
            "distance from the finish on to the first turn"
        )
    return track.finish_to_turn_m


def lap_at_m(track: Oval, out_m: float) -> float:
    """Return the length of a lap run ``out_m`` metres outside the measuring line.

    A path that keeps its distance from the line is longer by 2 pi times that distance, whatever the
    radius. Negative ``out_m`` is inside the line, as far in as the rail.

    Raises
    ------
    OutOfRangeError
        If the path would lie inside the rail.
    """
    if not out_m >= -track.rail_offset_m - EXACT_M:
        raise OutOfRangeError(
            f"path {out_m:g} m outside the measuring line: the rail is {track.rail_offset_m:g} m "
            "inside it; give a path outside the rail"
        )
    return track.lap_m + 2 * math.pi * out_m


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


def _check_width(track: Oval) -> None:
    width = track.width_m
    if width is None or not (math.isfinite(width) and width > track.rail_offset_m):
        raise OutOfRangeError(
            f"width of a track: {width} m found; give more than the rail offset of "
            f"{track.rail_offset_m:g} m"
        )
