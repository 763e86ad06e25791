"""Blood lactate on speed: between two steps, by an exponential line, and on a parabola in print."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.fitness.reading import Reading, Straight, inverse, straight, student

__all__ = [
    "LactateCurve",
    "lactate_curve",
    "speed_at_lactate",
    "speed_on_curve",
    "speed_on_parabola",
]

# V4 is defined on at least four steps (lindner_2010); with fewer there is no interval.
_FEWEST = 4
# A lactate is read to a tenth: of one near 4 mmol/l, the deviation of what that rounds off.
_ROUNDING = 0.1 / 4 / math.sqrt(12)

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


def speed_at_lactate(curve: LactateCurve, lactate_mmol_l: float = 4.0) -> Reading:
    """Return the speed at a lactate, by default V4, between the two steps that hold it.

    Lactate is taken to rise exponentially between them. Nothing is read outside the steps, nor
    where the lactate is passed more than once. From four steps on there is an interval: what the
    scatter about the exponential line through all steps makes of the two readings, with Student's
    t; one that leaves the steps is not given.

    Parameters
    ----------
    curve : LactateCurve
        As `lactate_curve` returns it.
    lactate_mmol_l : float
        The lactate.

    Notes
    -----
    The speed on the line itself (`speed_on_curve`) is as precise where lactate is exponential, but
    0.2 m/s too low where it rests before it rises, as in many horses (`tests/fitness`).

    References
    ----------
    davie_evans_2000; lindner_2010 (four steps, lactate exponential on speed).

    Examples
    --------
    >>> steps = lactate_curve([11.0, 13.0], [3.0170, 5.8373])
    >>> round(speed_at_lactate(steps).speed_m_s, 2)
    11.85
    """
    over = curve.lactate_mmol_l >= lactate_mmol_l
    if np.unique(curve.speed_m_s).size < 2:
        return Reading(None, why="few")
    if over.all() or not over.any():
        return Reading(None, why="outside")
    turns = np.flatnonzero(over[1:] != over[:-1])
    if turns.size > 1:
        return Reading(None, why="several")
    first = int(turns[0])
    if over[first]:
        return Reading(None, why="level")
    speeds = curve.speed_m_s[first : first + 2]
    logs = np.log(curve.lactate_mmol_l[first : first + 2])
    share = float((math.log(lactate_mmol_l) - logs[0]) / (logs[1] - logs[0]))
    speed = float(speeds[0] + share * (speeds[1] - speeds[0]))
    half = _half_width(curve, share, float((logs[1] - logs[0]) / (speeds[1] - speeds[0])))
    low, high = speed - half, speed + half
    if not curve.speed_m_s[0] <= low <= high <= curve.speed_m_s[-1]:
        return Reading(speed)
    return Reading(speed, low, high)


def _half_width(curve: LactateCurve, share: float, slope: float) -> float:
    """Return half the interval of a speed between two readings; infinite where it is not known."""
    line = curve.line
    if line is None or line.count < _FEWEST or not slope > 0:
        return math.inf
    scatter = max(line.residual, _ROUNDING)
    return student(line.count - 2) * scatter * math.hypot(1 - share, share) / slope


def speed_on_curve(curve: LactateCurve, lactate_mmol_l: float = 4.0) -> Reading:
    """Return the speed at which the exponential line through all steps reaches a lactate.

    Nothing is read outside the steps; the interval is that of the line.

    References
    ----------
    lindner_2010; davie_evans_2000.
    """
    line = curve.line
    if line is None or curve.speed_m_s.size < _FEWEST:
        return Reading(None, why="few")
    if line.slope <= 0:
        return Reading(None, why="level")
    speed, low, high = inverse(line, math.log(lactate_mmol_l), _ROUNDING)
    if not curve.speed_m_s[0] <= speed <= curve.speed_m_s[-1]:
        return Reading(None, why="outside")
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
