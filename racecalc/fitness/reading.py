"""A speed read from the line through the steps of a test: with its interval, or why not."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
from scipy import stats

__all__ = ["Reading", "Straight", "Why", "inverse", "straight", "student"]

FloatArray = npt.NDArray[np.float64]

Why = Literal["few", "level", "outside", "plateau", "several"]
"""Why a speed cannot be read: too few steps; no rise with speed; it lies too far outside the steps;
the heart had levelled off before; it is crossed more than once."""

_CONFIDENCE = 0.975


@dataclass(frozen=True)
class Reading:
    """A speed, in metres per second, and the interval that holds it 95 times of 100.

    ``speed_m_s`` is None where it cannot be read, and ``why`` tells the reason. ``low_m_s`` and
    ``high_m_s`` are None where the interval is not known. ``outside`` tells that the speed lies
    beyond the steps.
    """

    speed_m_s: float | None
    low_m_s: float | None = None
    high_m_s: float | None = None
    why: Why | None = None
    outside: bool = False


@dataclass(frozen=True)
class Straight:
    """A line by least squares, and what its interval needs."""

    slope: float
    middle_x: float
    middle_y: float
    spread_x: float
    residual: float
    count: int

    @property
    def intercept(self) -> float:
        """The line at zero."""
        return self.middle_y - self.slope * self.middle_x

    def at(self, x: npt.ArrayLike) -> FloatArray:
        """Return the line at some places."""
        return np.asarray(self.middle_y + self.slope * (np.asarray(x) - self.middle_x))


def student(freedom: int) -> float:
    """Return how many standard errors hold 95 of 100 with so many degrees of freedom."""
    return float(stats.t.ppf(_CONFIDENCE, freedom))


def straight(x: npt.ArrayLike, y: npt.ArrayLike) -> Straight | None:
    """Return the line of least squares; None for fewer than two places."""
    places, values = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    if np.unique(places).size < 2:
        return None
    spread = float(((places - places.mean()) ** 2).sum())
    slope = float(((places - places.mean()) * (values - values.mean())).sum() / spread)
    line = Straight(slope, float(places.mean()), float(values.mean()), spread, 0.0, places.size)
    left = float(((values - line.at(places)) ** 2).sum())
    freedom = places.size - 2
    residual = math.sqrt(left / freedom) if freedom else math.nan
    return Straight(slope, line.middle_x, line.middle_y, spread, residual, places.size)


def inverse(
    line: Straight, y: float, least_residual: float
) -> tuple[float, float | None, float | None]:
    """Return where a line reaches a value, and between which places 95 times of 100.

    Parameters
    ----------
    line : Straight
        A line that is not level.
    y : float
        The value.
    least_residual : float
        What the scatter about the line is never taken to be below: readings are rounded, and a few
        may lie on a line by chance.

    Returns
    -------
    tuple of float
        The place, and the ends of the interval; None where two points leave none, or where the
        slope itself may be zero.

    Notes
    -----
    The ends are the places where the confidence band of the line reaches the value (Fieller's
    interval); `tests/fitness` compares with the band of SciPy.
    """
    apart = line.middle_y - y
    place = line.middle_x - apart / line.slope
    if math.isnan(line.residual):
        return place, None, None
    error = (student(line.count - 2) * max(line.residual, least_residual)) ** 2
    square = line.slope**2 - error / line.spread_x
    if square <= 0:
        return place, None, None
    middle = -apart * line.slope / square
    inside = middle**2 - (apart**2 - error / line.count) / square
    half = math.sqrt(max(inside, 0.0))
    return place, line.middle_x + middle - half, line.middle_x + middle + half
