"""Where a place on the oval lies: position, heading, straight or turn; and back from a position.

The drawing frame has its origin in the middle of the oval, with metres along both axes. The home
straight lies below, at y = -R. On a left-handed track horses run it towards +x; a right-handed
track is the mirror image.
"""

from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.track.oval import EXACT_M, Chute, Oval, finish_to_turn_of

__all__ = ["PARTS", "along", "place", "positions"]

FloatArray = npt.NDArray[np.float64]

PARTS = ("home straight", "first turn", "backstretch", "far turn", "chute")
"""The parts of a course, in the order run from the finish; a chute only where it has one."""

_PARTS = pd.CategoricalDtype(list(PARTS))


def positions(
    track: Oval,
    to_finish_m: npt.ArrayLike,
    out_m: npt.ArrayLike = 0.0,
    *,
    start_in: Chute | None = None,
) -> pd.DataFrame:
    """Return where places on the course lie.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    to_finish_m : array_like
        What is left to the finish, in metres: any number of laps, negative past the finish.
    out_m : array_like, optional
        How far outside the measuring line, in metres; negative inside. One for all, or one each.
    start_in : Chute, optional
        Places between its start and where it joins lie in the chute, not on the turn.

    Returns
    -------
    DataFrame
        One row per place: ``x_m``, ``y_m``, ``heading_deg`` (the direction of running, counted
        counter-clockwise from +x, 0 to 360) and ``part``, one of `PARTS`. A missing place gives
        missing values.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin, or a place lies inside the rail.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> mile = oval(1609.344, 402.336, 26.0604)
    >>> positions(mile, [402.336]).round(3).values.tolist()
    [[-227.049, -125.425, 348.341, 'far turn']]
    """
    left = np.atleast_1d(np.asarray(to_finish_m, dtype=np.float64))
    out = np.broadcast_to(np.asarray(out_m, dtype=np.float64), left.shape)
    _check_out(track, out)
    x, y, heading, part = _on_oval(track, _into_lap(track, left), out)
    if start_in is not None:
        inside = (left > start_in.joins_m + EXACT_M) & (left <= start_in.start_m + EXACT_M)
        before = left - start_in.joins_m
        half, lane = track.straight_m / 2, track.turn_radius_m + out
        home = start_in.part == "home straight"
        x = np.where(inside, -half - before if home else half + before, x)
        y = np.where(inside, -lane if home else lane, y)
        heading = np.where(inside, 0.0 if home else 180.0, heading)
        part = np.where(inside, PARTS.index("chute"), part)
    if track.hand == "right":
        x, heading = -x, (180.0 - heading) % 360.0
    return pd.DataFrame(
        {
            "x_m": x,
            "y_m": y,
            "heading_deg": heading,
            "part": pd.Categorical.from_codes(
                np.where(np.isnan(left), -1, part).astype(np.int8), dtype=_PARTS
            ),
        }
    )


def place(track: Oval, to_finish_m: float) -> str:
    """Return the part of the course at one place: one of `PARTS`, see `positions`.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> place(oval(1609.344, 402.336, 86.868), 402.336)
    'far turn'
    """
    return str(positions(track, to_finish_m)["part"].iloc[0])


def along(track: Oval, x_m: npt.ArrayLike, y_m: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the place on the measuring line nearest to each position; undoes `positions`.

    Parameters
    ----------
    track : Oval
        The oval; where its turns begin must be known.
    x_m, y_m : array_like
        Positions in the drawing frame, in metres.

    Returns
    -------
    tuple of ndarray
        What is left to the finish, from 0 up to a lap, and how far outside the measuring line
        the position lies (negative inside), both in metres.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> left, out = along(oval(1609.344, 402.336, 26.0604), [0.0], [-130.0])
    >>> round(float(left[0]), 3), round(float(out[0]), 3)
    (175.108, 1.932)
    """
    run_in = track.straight_m - finish_to_turn_of(track)
    x, y = np.asarray(x_m, dtype=np.float64), np.asarray(y_m, dtype=np.float64)
    if track.hand == "right":
        x = -x
    half, radius = track.straight_m / 2, track.turn_radius_m
    beyond = np.abs(x) - half
    # On a turn the way is the angle around its centre; on a straight it is the way along x.
    angle = np.where(x > 0, np.arctan2(beyond, -y), np.arctan2(beyond, y)) * radius
    turn_begin = np.where(x > 0, track.straight_m, 2 * track.straight_m + track.turn_m)
    straight = np.where(y < 0, x + half, track.straight_m + track.turn_m + half - x)
    run = np.where(beyond > 0, turn_begin + angle, straight)
    out = np.where(beyond > 0, np.hypot(beyond, y), np.abs(y)) - radius
    return np.mod(run_in - run, track.lap_m), out


def _check_out(track: Oval, out: FloatArray) -> None:
    wrong = out < -track.rail_offset_m - EXACT_M
    if wrong.any():
        raise OutOfRangeError(
            f"place {out[wrong].flat[0]:g} m outside the measuring line: the rail is "
            f"{track.rail_offset_m:g} m inside it; give a place outside the rail"
        )


def _into_lap(track: Oval, to_finish_m: FloatArray) -> FloatArray:
    """Return the way run since the beginning of the home straight, within one lap."""
    return np.mod(track.straight_m - finish_to_turn_of(track) - to_finish_m, track.lap_m)


def _on_oval(
    track: Oval, run: FloatArray, out: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, npt.NDArray[Any]]:
    """Return x, y, heading and part of places on a left-handed oval."""
    straight, turn, radius = track.straight_m, track.turn_m, track.turn_radius_m
    half, lane = straight / 2, radius + out
    begins = np.array([0.0, straight, straight + turn, 2 * straight + turn])
    # A place at a boundary belongs to the part that begins there, and a lap ends where it began.
    run = np.where(run > track.lap_m - EXACT_M, 0.0, run)
    part = np.searchsorted(begins, run + EXACT_M, side="right") - 1
    into = run - begins[part]
    angle = np.where(part % 2 == 1, into / radius, 0.0)
    sine, cosine = np.sin(angle), np.cos(angle)
    # The second half of the lap is the first one turned by half a circle about the origin.
    sign = np.where(part < 2, 1.0, -1.0)
    x = sign * np.where(part % 2 == 1, half + lane * sine, into - half)
    y = -sign * lane * cosine
    heading = (np.degrees(angle) + np.where(part < 2, 0.0, 180.0)) % 360.0
    return x, y, heading, part
