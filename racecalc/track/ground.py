"""The ground that a work covers: where it begins and ends, the poles it passes, the bends."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.track.oval import EXACT_M, Oval, finish_to_turn_of
from racecalc.track.poles import Pole, pole_at
from racecalc.units import magnitude

__all__ = [
    "STANDARD_GRAVITY_M_S2",
    "Passing",
    "Run",
    "bend_rad",
    "between_m",
    "extra_m",
    "neutral_bank",
    "run",
    "turns",
]

FloatArray = npt.NDArray[np.float64]

# By convention, exactly; the same value as in general-purpose libraries.
STANDARD_GRAVITY_M_S2 = 9.80665


@dataclass(frozen=True)
class Passing:
    """A pole that a work passes, and how far it has gone there. The last is where it ends."""

    pole: Pole
    run_m: float


@dataclass(frozen=True)
class Run:
    """A work laid on a track.

    ``start_m`` and ``end_m`` are what is left to the finish where it begins and ends; ``end_m``
    is above zero where the work ends at a pole before the finish, and ``start_m`` above the lap
    where the finish is passed on the way.
    """

    distance_m: float
    start_m: float
    end_m: float
    lap_m: float
    passings: tuple[Passing, ...]

    @property
    def times_past_finish(self) -> int:
        """How often the finish is passed on the way, the start and the end not counted."""
        first = math.ceil(self.start_m / self.lap_m - EXACT_M) - 1
        return max(0, first - math.floor(self.end_m / self.lap_m + EXACT_M))


def run(lap: Any, spacing: Any, distance: Any, start: Any = None) -> Run:
    """Lay a work on a track.

    Parameters
    ----------
    lap, spacing : float or pint quantity
        Length of a lap, and distance from pole to pole; a plain number is in metres.
    distance : float or pint quantity
        Length of the work.
    start : float or pint quantity, optional
        What is left to the finish where the work begins; without it the work ends at the finish.
        A start nearer to the finish than the work is long is passed once more on the way round,
        as often as it takes.

    Returns
    -------
    Run
        With every pole on the way that the track has, the finish among them, and where it ends.

    Raises
    ------
    OutOfRangeError
        If the work has no length, or the track has no pole where the work should begin.

    Examples
    --------
    >>> work = run(1609.344, 201.168, 603.504, start=804.672)
    >>> [passing.pole.name for passing in work.passings]
    ['3/8', '1/4', '1/8']
    """
    lap_m, spacing_m = magnitude(lap, "metre", "lap"), magnitude(spacing, "metre", "spacing")
    distance_m = magnitude(distance, "metre", "distance of a work")
    if distance_m <= 0:
        raise OutOfRangeError(
            f"distance of a work: {distance_m:g} m found; give a length above zero"
        )
    start_m = distance_m if start is None else magnitude(start, "metre", "start of a work")
    if start is not None:
        pole_at(start_m, lap_m, spacing_m)
        laps = max(0, math.ceil((distance_m - start_m) / lap_m - EXACT_M))
        start_m += laps * lap_m
    return Run(
        distance_m=distance_m,
        start_m=start_m,
        end_m=start_m - distance_m,
        lap_m=lap_m,
        passings=tuple(_passings(lap_m, spacing_m, start_m, start_m - distance_m)),
    )


def _passings(lap_m: float, spacing_m: float, start_m: float, end_m: float) -> list[Passing]:
    """Return the poles between two places; they are counted back from the finish in each lap."""
    places = {end_m}
    for lap in range(math.floor(end_m / lap_m), math.ceil(start_m / lap_m)):
        in_lap = np.arange(0.0, lap_m - EXACT_M, spacing_m) + lap * lap_m
        places |= set(in_lap[(in_lap < start_m - EXACT_M) & (in_lap > end_m + EXACT_M)].tolist())
    found = []
    for place_m in sorted(places, reverse=True):
        place_m = round(place_m, 6)
        try:
            pole = pole_at(place_m, lap_m, spacing_m)
        except OutOfRangeError:  # only the end may lie between poles
            pole = Pole(place_m, "end", None)
        found.append(Passing(pole, start_m - place_m))
    return found


def between_m(lap: Any, start: Any, end: Any) -> float:
    """Return the ground from one place on to another, in the direction of running, in metres.

    Parameters
    ----------
    lap, start, end : float or pint quantity
        Length of a lap, and what is left to the finish at the two places; a plain number is in
        metres. From a place to itself is one lap.

    Raises
    ------
    OutOfRangeError
        If one is not a length.

    Examples
    --------
    >>> between_m(1609.344, 201.168, 804.672)
    1005.84
    """
    lap_m = magnitude(lap, "metre", "lap")
    ahead = magnitude(start, "metre", "place") - magnitude(end, "metre", "place")
    whole = ahead % lap_m
    return lap_m if min(whole, lap_m - whole) <= EXACT_M else whole


def bend_rad(track: Oval, from_m: npt.ArrayLike, to_m: npt.ArrayLike) -> FloatArray:
    """Return by how much the course turns between places, in radians: pi for each turn.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    from_m, to_m : array_like
        What is left to the finish at the begin and the end of each piece, in metres.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin, or a piece ends before it begins.
    """
    begin, end = np.asarray(from_m, dtype=np.float64), np.asarray(to_m, dtype=np.float64)
    if (begin < end).any():
        raise OutOfRangeError("a piece of ground ends farther from the finish than it begins")
    return np.asarray(_turned_rad(track, end) - _turned_rad(track, begin))


def _turned_rad(track: Oval, to_finish_m: FloatArray) -> FloatArray:
    """Return the angle turned since the beginning of a home straight, growing with every lap."""
    gone = track.straight_m - finish_to_turn_of(track) - to_finish_m
    laps, into = np.floor(gone / track.lap_m), np.mod(gone, track.lap_m)
    corners = np.cumsum([0.0, track.straight_m, track.turn_m, track.straight_m, track.turn_m])
    turned = np.interp(into, corners, [0.0, 0.0, math.pi, math.pi, 2 * math.pi])
    return np.asarray(2 * math.pi * laps + turned)


def extra_m(
    track: Oval, out_m: npt.ArrayLike, from_m: npt.ArrayLike, to_m: npt.ArrayLike
) -> FloatArray:
    """Return the ground that is run beyond the measured one on a path outside the line, in metres.

    On the bends a path ``out_m`` metres outside the measuring line is longer by that times the
    angle turned, whatever the radius; on the straights it is not. Divided by a speed it is time.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    out_m : array_like
        How far outside the measuring line, in metres; negative inside.
    from_m, to_m : array_like
        What is left to the finish at the begin and the end of each piece, in metres.

    Raises
    ------
    OutOfRangeError
        As `bend_rad`.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> mile = oval(1609.344, 402.336, 86.868)
    >>> round(float(extra_m(mile, 0.9144, 1609.344, 0) / 0.3048), 6)  # 3 ft out, a whole lap
    18.849556
    """
    return np.asarray(np.asarray(out_m, dtype=np.float64) * bend_rad(track, from_m, to_m))


def neutral_bank(speed_m_s: npt.ArrayLike, radius_m: npt.ArrayLike) -> FloatArray:
    """Return the bank at which a turn asks for no sideways grip, as rise over run.

    This is physics, not advice: tan(bank) = v^2 / (g R). Real banks are far below it at the speed
    of a work, and that is no defect of a track.

    Parameters
    ----------
    speed_m_s, radius_m : array_like
        Speeds in metres per second and radii of turns in metres.

    Raises
    ------
    OutOfRangeError
        If a radius is not above zero, or a speed is below zero.

    Examples
    --------
    >>> round(float(neutral_bank(16.764, 128.0675264)), 5)
    0.22377
    """
    speed, radius = np.asarray(speed_m_s, dtype=float), np.asarray(radius_m, dtype=float)
    if (radius <= 0).any() or (speed < 0).any():
        raise OutOfRangeError(
            "a neutral bank wants a radius above zero and a speed of zero or more; "
            f"found {np.min(radius):g} m and {np.min(speed):g} m/s"
        )
    return np.asarray(speed**2 / (STANDARD_GRAVITY_M_S2 * radius))


def turns(track: Oval, start_m: float, end_m: float) -> tuple[tuple[str, float], ...]:
    """Return the beginnings of straights and turns between two places, in the order run.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    start_m, end_m : float
        What is left to the finish at the two places, in metres.

    Returns
    -------
    tuple of (str, float)
        The name of the part that begins, and what is left to the finish there, in metres.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> [part for part, _ in turns(oval(1609.344, 402.336, 86.868), 1207.008, 0.0)]
    ['backstretch', 'far turn', 'home straight']
    """
    begin_m = track.straight_m - finish_to_turn_of(track)
    in_lap = (
        ("home straight", begin_m),
        ("first turn", begin_m - track.straight_m),
        ("backstretch", begin_m - track.straight_m - track.turn_m),
        ("far turn", begin_m - 2 * track.straight_m - track.turn_m),
    )
    found = []
    for part, place_m in in_lap:
        laps = range(
            math.floor((end_m - place_m) / track.lap_m),
            math.ceil((start_m - place_m) / track.lap_m) + 1,
        )
        places = (place_m + lap * track.lap_m for lap in laps)
        found += [(part, m) for m in places if end_m + EXACT_M < m < start_m - EXACT_M]
    return tuple(sorted(found, key=lambda begins: -begins[1]))
