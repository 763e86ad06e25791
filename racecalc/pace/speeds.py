"""Mean speed and pace from a distance and a time."""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.units import FURLONG_M

__all__ = ["FloatArray", "positive", "seconds_per_200m", "seconds_per_furlong", "speed_m_s"]

FloatArray = npt.NDArray[np.float64]


def speed_m_s(distance_m: npt.ArrayLike, time_s: npt.ArrayLike) -> FloatArray:
    """Return mean speeds in metres per second.

    Parameters
    ----------
    distance_m, time_s : array_like
        Distances in metres and times in seconds, of one shape or broadcast to one; nan is unknown.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero, negative or infinite.

    References
    ----------
    crawford_2021 (paces and the speeds printed for them; its furlong is 200 m);
    sleuth3_ex0920 (winning times over a mile and a quarter with speeds in miles per hour).

    Examples
    --------
    >>> float(speed_m_s(201.168, 12.0))
    16.764
    """
    distance, time = positive(distance_m, "distance", "m"), positive(time_s, "time", "s")
    return np.asarray(distance / time, dtype=np.float64)


def seconds_per_furlong(distance_m: npt.ArrayLike, time_s: npt.ArrayLike) -> FloatArray:
    """Return mean paces in seconds per furlong of 660 feet.

    Parameters
    ----------
    distance_m, time_s : array_like
        Distances in metres and times in seconds, of one shape or broadcast to one; nan is unknown.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero, negative or infinite.

    References
    ----------
    derby_quarters_2008 (five quarter-mile times, their sum and so their mean).

    Examples
    --------
    >>> round(float(seconds_per_furlong(1207.008, 73.2)), 6)
    12.2
    """
    distance, time = positive(distance_m, "distance", "m"), positive(time_s, "time", "s")
    return np.asarray(time * FURLONG_M / distance, dtype=np.float64)


def seconds_per_200m(distance_m: npt.ArrayLike, time_s: npt.ArrayLike) -> FloatArray:
    """Return mean paces in seconds per 200 metres, 1.168 m less than a furlong.

    Parameters
    ----------
    distance_m, time_s : array_like
        Distances in metres and times in seconds, of one shape or broadcast to one; nan is unknown.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero, negative or infinite.

    References
    ----------
    crawford_2021 (times over 200 m with the speeds printed for them).

    Examples
    --------
    >>> float(seconds_per_200m(1200.0, 75.0))
    12.5
    """
    distance, time = positive(distance_m, "distance", "m"), positive(time_s, "time", "s")
    return np.asarray(time * 200 / distance, dtype=np.float64)


def positive(values: npt.ArrayLike, name: str, unit: str) -> FloatArray:
    """Return values as an array; refuse any that is zero, negative or infinite.

    Raises
    ------
    OutOfRangeError
        Naming the first of these.
    """
    array = np.asarray(values, dtype=np.float64)
    wrong = (array <= 0) | np.isinf(array)
    if wrong.any():
        raise OutOfRangeError(
            f"{name}: {array[wrong].flat[0]:g} {unit} found; give a finite value above zero"
        )
    return array
