"""Blood lactate on speed: between two steps, by an exponential line, and on a parabola in print."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.fitness.reading import Reading, Straight, inverse, straight

__all__ = [
    "LactateCurve",
    "lactate_curve",
    "speed_at_lactate",
    "speed_between_steps",
    "speed_on_parabola",
]

# V4 is defined on at least four steps (lindner_2010); with fewer there is no interval.
_FEWEST = 4

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class LactateCurve:
    """Steps of speed and lactate, the slowest first, and the line of log lactate on speed."""

    speed_m_s: FloatArray
    lactate_mmol_l: FloatArray
    line: Straight | None

    def at(self, speed_m_s: npt.ArrayLike) -> FloatArray:
        """Return the lactate on the exponential line; nan where there is none."""
        speed = np.asarray(speed_m_s, dtype=np.float64)
        return np.full(speed.shape, np.nan) if self.line is None else np.exp(self.line.at(speed))


def lactate_curve(speed_m_s: npt.ArrayLike, lactate_mmol_l: npt.ArrayLike) -> LactateCurve:
    """Return the steps in order, with the exponential line through them.

    Raises
    ------
    OutOfRangeError
        If a speed or a lactate is not above zero.

    References
    ----------
    lindner_2010 (lactate is plotted exponentially on speed); davie_evans_2000 (such a curve).
    """
    speed, lactate = (np.asarray(one, dtype=np.float64) for one in (speed_m_s, lactate_mmol_l))
    known = ~np.isnan(speed) & ~np.isnan(lactate)
    speed, lactate = speed[known], lactate[known]
    if (speed <= 0).any() or (lactate <= 0).any():
        raise OutOfRangeError("give speeds in m/s and lactates in mmol/l above zero")
    order = np.lexsort((lactate, speed))
    speed, lactate = speed[order], lactate[order]
    return LactateCurve(speed, lactate, straight(speed, np.log(lactate)))


def speed_between_steps(curve: LactateCurve, lactate_mmol_l: float = 4.0) -> Reading:
    """Return the speed at a lactate between the two steps that hold it, by default V4.

    Lactate is taken to rise exponentially between them. Nothing is read outside the steps, nor
    where the lactate is passed more than once.

    References
    ----------
    davie_evans_2000.

    Examples
    --------
    >>> steps = lactate_curve([11.0, 13.0], [3.0170, 5.8373])
    >>> round(speed_between_steps(steps).speed_m_s, 2)
    11.85
    """
    over = curve.lactate_mmol_l >= lactate_mmol_l
    if curve.speed_m_s.size < 2:
        return Reading(None, why="few", way="between")
    if over.all() or not over.any():
        return Reading(None, why="outside", way="between")
    turns = np.flatnonzero(over[1:] != over[:-1])
    if turns.size > 1:
        return Reading(None, why="several", way="between")
    first = int(turns[0])
    if over[first]:
        return Reading(None, why="level", way="between")
    (v1, v2), (l1, l2) = curve.speed_m_s[first : first + 2], curve.lactate_mmol_l[first : first + 2]
    share = (math.log(lactate_mmol_l) - math.log(l1)) / (math.log(l2) - math.log(l1))
    return Reading(float(v1 + share * (v2 - v1)), way="between")


def speed_at_lactate(curve: LactateCurve, lactate_mmol_l: float = 4.0) -> Reading:
    """Return the speed at a lactate as a page prints it, by default V4.

    That is where the exponential line reaches it, with its interval, from four steps on of which
    some lie below and some above. Where the speed between the two nearest steps lies outside that
    interval, the steps do not follow an exponential line; then, and with fewer steps, that speed
    stands without an interval. Nothing is read outside the steps.

    References
    ----------
    lindner_2010; davie_evans_2000.
    """
    between = speed_between_steps(curve, lactate_mmol_l)
    line = curve.line
    if between.why in ("few", "outside", "level") or line is None:
        return between
    if line.slope <= 0:
        return Reading(None, why="level")
    if curve.speed_m_s.size < _FEWEST:
        return between
    speed, low, high = inverse(line, math.log(lactate_mmol_l))
    if low is None or high is None:
        return between
    if between.speed_m_s is not None and not low <= between.speed_m_s <= high:
        return between
    return Reading(speed, low, high)


def speed_on_parabola(
    coefficients: tuple[float, float, float],
    lactate_mmol_l: float,
    range_m_s: tuple[float, float],
) -> Reading:
    """Return the speed at a lactate on a published parabola, on its rising side only.

    Parameters
    ----------
    coefficients : tuple of float
        Of the square of the speed, of the speed, and the constant.
    lactate_mmol_l : float
        The lactate.
    range_m_s : tuple of float
        The speeds of the data. A speed below them is marked ``outside``; past the vertex the curve
        falls and means nothing.

    Raises
    ------
    OutOfRangeError
        If the parabola does not turn down.

    References
    ----------
    davie_evans_2000.
    """
    square, linear, constant = coefficients
    if not square < 0:
        raise OutOfRangeError(f"parabola with {square:g} v²: give one that turns down")
    under = linear**2 - 4 * square * (constant - lactate_mmol_l)
    if under < 0:
        return Reading(None, why="outside")
    speed = (-linear + math.sqrt(under)) / (2 * square)
    low, high = range_m_s
    if speed > high:
        return Reading(None, why="outside")
    return Reading(speed, outside=speed < low)
