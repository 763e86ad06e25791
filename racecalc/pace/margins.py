"""Margins: in print a length is a measure of time, so many to the second."""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.pace.speeds import FloatArray

__all__ = ["lengths"]


def lengths(time_s: npt.ArrayLike, per_second: float) -> FloatArray:
    """Return how many lengths a time is, at a scale of so many lengths to the second.

    Parameters
    ----------
    time_s : array_like
        Times behind, in seconds.
    per_second : float
        The scale: it differs by country, by surface and by footing, and has to be stated.

    Raises
    ------
    OutOfRangeError
        If the scale is not above zero, or a time is below zero.

    References
    ----------
    lengths_2018 (one time at two scales).

    Examples
    --------
    >>> float(lengths(14.25, 4))
    57.0
    """
    time = np.asarray(time_s, dtype=np.float64)
    if not per_second > 0 or (time < 0).any():
        raise OutOfRangeError(
            f"lengths at {per_second:g} to the second of {np.min(time):g} s: give a scale above "
            "zero and times of zero or more"
        )
    return np.asarray(time * per_second)
