"""How often each foot came down: strides estimated from distance and speed."""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.workload.classes import CANTER_FROM_M_S

__all__ = ["METRES_A_CYCLE", "STRIDE_SOURCES", "fore_force_n_per_kg", "stride_rate_hz", "strides"]

STRIDE_SOURCES = ("witte_2006", "verheyen_2006", "vergara_2022")

# Elite Thoroughbreds: a stride lasts 495 ms at 9 m/s and 419 ms at 17 m/s (witte_2006).
_SPEEDS_M_S = (9.0, 17.0)
_RATES_HZ = (1 / 0.495, 1 / 0.419)
# Winners in races went 2.34 strides a second (vergara_2022).
_RACE_RATE_HZ = 2.34

METRES_A_CYCLE = {"canter": 44000 / 7700, "gallop": 6000 / 880}
"""Metres to one loading cycle of a limb as a study of fractures counted them (verheyen_2006)."""

_GALLOP_M_S = 14.0
# Slower than this most horses jog: two feet at a time, another stride (`CANTER_FROM_M_S`).
_SLOWEST_M_S = CANTER_FROM_M_S

# The vertical force on a fore limb as morrice_west_2022 used it; gallops lie between these speeds.
_FORCE = (2.778, 2.1376, -0.0535)
_FORCE_SPEEDS_M_S = (9.0, 18.0)

FloatArray = npt.NDArray[np.float64]


def stride_rate_hz(speed_m_s: npt.ArrayLike) -> FloatArray:
    """Return the strides a second at canter and gallop; nan below a canter.

    Between the two published speeds it is a straight line, outside them it stays as it is there.

    Raises
    ------
    OutOfRangeError
        If a speed is not above zero.

    References
    ----------
    witte_2006.

    Examples
    --------
    >>> stride_rate_hz([4.0, 9.0, 17.0]).round(2).tolist()
    [nan, 2.02, 2.39]
    """
    speed = _checked(speed_m_s)
    rate = np.interp(speed, _SPEEDS_M_S, _RATES_HZ)
    return np.where(speed >= _SLOWEST_M_S, rate, np.nan)


def strides(
    distance_m: npt.ArrayLike, speed_m_s: npt.ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return how many strides a distance takes: the fewest, the likeliest and the most.

    The likeliest is by `stride_rate_hz`. The ends are those of it, of the published metres to one
    cycle, and of the stride rate of winners in races at the speeds of a gallop.

    Returns
    -------
    tuple of three ndarray
        nan where the speed is missing or below that of a canter.

    Raises
    ------
    OutOfRangeError
        If a distance is negative, or a speed is not above zero.

    References
    ----------
    witte_2006; verheyen_2006; vergara_2022.
    """
    distance, speed = np.asarray(distance_m, dtype=np.float64), _checked(speed_m_s)
    if (distance < 0).any():
        raise OutOfRangeError("distances must be zero or more, in metres")
    likeliest = distance / speed * stride_rate_hz(speed)
    gallop = speed > _GALLOP_M_S
    cycle = np.where(gallop, METRES_A_CYCLE["gallop"], METRES_A_CYCLE["canter"])
    known = np.where(np.isnan(likeliest), np.nan, distance)
    raced = np.where(gallop, known / speed * _RACE_RATE_HZ, likeliest)
    ways = np.stack([likeliest, known / cycle, raced])
    return ways.min(axis=0), likeliest, ways.max(axis=0)


def fore_force_n_per_kg(speed_m_s: npt.ArrayLike) -> FloatArray:
    """Return the vertical force on a fore limb, a kilogram of horse; nan outside 9 to 18 m/s.

    Raises
    ------
    OutOfRangeError
        If a speed is not above zero.

    References
    ----------
    morrice_west_2022.

    Examples
    --------
    >>> fore_force_n_per_kg([16.0]).round(3).tolist()
    [23.284]
    """
    speed = _checked(speed_m_s)
    constant, linear, square = _FORCE
    low, high = _FORCE_SPEEDS_M_S
    force = constant + linear * speed + square * speed**2
    return np.where((speed >= low) & (speed <= high), force, np.nan)


def _checked(speed_m_s: npt.ArrayLike) -> FloatArray:
    speed = np.asarray(speed_m_s, dtype=np.float64)
    if (speed <= 0).any():
        raise OutOfRangeError("speeds must be above zero, in m/s")
    return speed
