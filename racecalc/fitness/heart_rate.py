"""Heart rate on speed: a line below the plateau, and the speeds read from it."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import stats

from racecalc.errors import OutOfRangeError
from racecalc.fitness.reading import Reading, Straight, inverse, straight

__all__ = ["HeartLine", "heart_line", "speed_at_heart_rate", "speed_at_peak"]

# Three points make a line that can be wrong. A choice.
_FEWEST = 3
# A line is not trusted further than this beyond its steps. A choice.
_BEYOND_M_S = 1.0
# A horse whose heart levels off so near above a rate does not reach it on the line. A choice.
_BELOW_PLATEAU_BPM = 5.0
_PLATEAU_CONFIDENCE = 0.95
# A rate is read in whole beats: the deviation of what that rounds off.
_ROUNDING_BPM = 1 / math.sqrt(12)

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class HeartLine:
    """The line of heart rate on speed.

    ``slowest_m_s`` and ``fastest_m_s`` bound the steps on the line; ``plateau_bpm`` is the heart
    rate at which it levelled off and ``level_m_s`` the slowest step there, None where it did not;
    ``peak_bpm`` is the highest that was seen.
    """

    line: Straight
    slowest_m_s: float
    fastest_m_s: float
    plateau_bpm: float | None
    level_m_s: float | None
    peak_bpm: float


def heart_line(speed_m_s: npt.ArrayLike, heart_rate_bpm: npt.ArrayLike) -> HeartLine | None:
    """Return the line through the steps below the plateau; None for fewer than three steps.

    Parameters
    ----------
    speed_m_s, heart_rate_bpm : array_like, shape (steps,)
        In any order; a step without heart rate is left out.

    Returns
    -------
    HeartLine or None

    Raises
    ------
    OutOfRangeError
        If a speed or a heart rate is not above zero.

    Notes
    -----
    The plateau is looked for with two pieces: a line through the slower steps, at least three, and
    a level one through the rest, below that line. It is taken for real where it fits better than
    one line by an F test at 5 % (with five steps and a heart rate good to 2 beats it is wrongly
    found in fewer than 5 % of 2,000 simulated tests; the simulation stands in `tests/fitness`).

    References
    ----------
    vermeulen_evans_2006; gallop_heart_rate_2019.
    """
    speed, rate = _points(speed_m_s, heart_rate_bpm)
    if speed.size < _FEWEST or np.unique(speed).size < _FEWEST:
        return None
    below = _below_plateau(speed, rate)
    line = straight(speed[:below], rate[:below])
    if line is None:
        return None
    ends = (float(speed[0]), float(speed[below - 1]))
    if below == speed.size:
        return HeartLine(line, *ends, None, None, float(rate.max()))
    level = (float(rate[below:].mean()), float(speed[below]))
    return HeartLine(line, *ends, *level, float(rate.max()))


def speed_at_heart_rate(found: HeartLine | None, heart_rate_bpm: float = 200.0) -> Reading:
    """Return the speed at a heart rate, by default V200.

    It is refused where the line does not rise, where the speed lies more than 1 m/s outside the
    steps, and where the heart levels off less than 5 beats above the rate asked for.

    Parameters
    ----------
    found : HeartLine or None
        As `heart_line` returns it.
    heart_rate_bpm : float
        The heart rate, in beats a minute.

    References
    ----------
    lindner_2010 (heart rate on speed is a straight line).

    Examples
    --------
    >>> reading = speed_at_heart_rate(heart_line([6.0, 9.0, 13.0], [150.0, 170.0, 197.0]))
    >>> round(reading.speed_m_s, 2), reading.outside
    (13.45, True)
    """
    if found is None:
        return Reading(None, why="few")
    if found.plateau_bpm is not None and found.plateau_bpm < heart_rate_bpm + _BELOW_PLATEAU_BPM:
        return Reading(None, why="plateau")
    return _read(found, heart_rate_bpm)


def speed_at_peak(found: HeartLine | None, peak_bpm: float | None = None) -> Reading:
    """Return the speed at which the line reaches the horse's highest heart rate.

    That rate is the plateau, where the test reached one, or must be given.

    References
    ----------
    vermeulen_evans_2006.
    """
    if found is None:
        return Reading(None, why="few")
    peak = found.plateau_bpm if peak_bpm is None else peak_bpm
    return Reading(None, why="outside") if peak is None else _read(found, peak)


def _read(found: HeartLine, heart_rate_bpm: float) -> Reading:
    if found.line.slope <= 0:
        return Reading(None, why="level")
    speed, low, high = inverse(found.line, heart_rate_bpm, _ROUNDING_BPM)
    # Where the heart levels off, the line is known to end before that step.
    fastest = found.fastest_m_s if found.level_m_s is None else found.level_m_s
    if not found.slowest_m_s - _BEYOND_M_S <= speed <= fastest + _BEYOND_M_S:
        return Reading(None, why="outside")
    return Reading(speed, low, high, outside=not found.slowest_m_s <= speed <= fastest)


def _below_plateau(speed: FloatArray, rate: FloatArray) -> int:
    """Return how many of the slower steps lie on the line."""
    count = speed.size
    whole = _left(speed, rate, count)
    best, least = count, math.inf
    for below in range(_FEWEST, count):
        line = straight(speed[:below], rate[:below])
        level = rate[below:].mean()
        # A level piece that lies above the line, or that one step reaches by chance, is none.
        if line is None or line.slope <= 0 or (line.at(speed[below:]) <= level).any():
            continue
        left = _left(speed, rate, below)
        if left < least:
            best, least = below, left
    freedom = count - 3
    if best == count or freedom < 1:
        return count
    gain = (whole - least) / max(least / freedom, 1e-12)
    return best if gain > stats.f.ppf(_PLATEAU_CONFIDENCE, 1, freedom) else count


def _left(speed: FloatArray, rate: FloatArray, below: int) -> float:
    """Return the sum of squares that a line through some steps and a level one leave."""
    line = straight(speed[:below], rate[:below])
    if line is None:
        return math.inf
    on_line = ((rate[:below] - line.at(speed[:below])) ** 2).sum()
    flat = rate[below:]
    return float(on_line + (((flat - flat.mean()) ** 2).sum() if flat.size else 0.0))


def _points(
    speed_m_s: npt.ArrayLike, heart_rate_bpm: npt.ArrayLike
) -> tuple[FloatArray, FloatArray]:
    speed, rate = (np.asarray(one, dtype=np.float64) for one in (speed_m_s, heart_rate_bpm))
    known = ~np.isnan(speed) & ~np.isnan(rate)
    speed, rate = speed[known], rate[known]
    if (speed <= 0).any() or (rate <= 0).any():
        raise OutOfRangeError("give speeds in m/s and heart rates in beats a minute above zero")
    order = np.lexsort((rate, speed))
    return speed[order], rate[order]
