"""Where a speed lies to a threshold: below, above, or too near to tell."""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.fitness.change import REPEATS_WITHIN
from racecalc.fitness.reading import Reading

__all__ = ["PLACES", "bounds", "place"]

PLACES = ("below", "at", "above")
"""Where a speed lies; ``at`` where it cannot be told apart from the threshold."""

_DEVIATIONS = 1.96


def bounds(threshold: Reading) -> tuple[float, float] | None:
    """Return between which speeds a threshold lies; None where it was not read.

    Where its interval is not known, what repeated tests of an unchanged horse differ by stands in,
    and it is never taken for narrower than that.

    References
    ----------
    vermeulen_evans_2006.
    """
    speed = threshold.speed_m_s
    if speed is None:
        return None
    half = _DEVIATIONS * REPEATS_WITHIN * speed
    low = speed - half if threshold.low_m_s is None else min(threshold.low_m_s, speed - half)
    high = speed + half if threshold.high_m_s is None else max(threshold.high_m_s, speed + half)
    return low, high


def place(
    speed_m_s: npt.ArrayLike, error_m_s: npt.ArrayLike, threshold: Reading
) -> npt.NDArray[np.str_]:
    """Return where speeds lie to a threshold, each one of `PLACES`, or blank for a missing speed.

    Parameters
    ----------
    speed_m_s, error_m_s : array_like, shape (pieces,)
        The speeds, and how far each may be out.
    threshold : Reading
        A threshold that was read.

    Raises
    ------
    OutOfRangeError
        If the threshold was not read, or an error is negative.
    """
    ends = bounds(threshold)
    speed, error = (np.asarray(one, dtype=np.float64) for one in (speed_m_s, error_m_s))
    if ends is None or (error < 0).any():
        raise OutOfRangeError("give a threshold that was read, and errors of zero or more")
    below, above = speed + error < ends[0], speed - error > ends[1]
    return np.select([np.isnan(speed), below, above], ["", "below", "above"], "at")
