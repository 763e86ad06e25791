"""The peak of the vertical force on a foot, estimated from how long it is down: a model."""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = ["FORCE_ERROR", "FORCE_SOURCES", "FORE_SHARE", "peak_force"]

FORCE_SOURCES = ("alexander_1979", "witte_2004", "parsons_2008")

FORE_SHARE = 0.57
"""The share of its weight that a horse carries on the fore feet, on the level (parsons_2008)."""

FORCE_ERROR = {"walk": 0.13, "trot": 0.03, "canter": 0.19}
"""How far the model was from a force plate (witte_2004), as shares; none was found for a gallop.

At a canter the leading foot was 19 % above, the other 16 % below. At a gallop of 11.4 m/s fore and
hind feet pressed more alike than the model has them (self_davies_2019).
"""


def peak_force(duty: npt.ArrayLike, pair_share: float) -> npt.NDArray[np.float64]:
    """Return the peak vertical force on one foot, in times the horse's weight.

    The force is taken to rise and fall as half a sine while the foot is down, and the two feet of a
    pair to carry alike.

    Parameters
    ----------
    duty : array_like
        The share of a stride for which the foot is down, above zero and up to one.
    pair_share : float
        The share of the weight that the pair of feet carries, between zero and one.

    Raises
    ------
    OutOfRangeError
        If a share is out of its range.

    References
    ----------
    alexander_1979.

    Examples
    --------
    >>> peak_force([0.65, 0.20], 0.57).round(3).tolist()
    [0.689, 2.238]
    """
    share = np.asarray(duty, dtype=np.float64)
    if not ((share > 0) & (share <= 1) | np.isnan(share)).all():
        raise OutOfRangeError("a duty factor lies above 0 and up to 1")
    if not 0 < pair_share < 1:
        raise OutOfRangeError("the share that a pair of feet carries lies between 0 and 1")
    return np.pi * pair_share / (4 * share)
