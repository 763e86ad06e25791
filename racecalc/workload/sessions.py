"""The load of sessions, and how even a week was.

The weights of these scores were made on people. They are here for a notebook, with the printed
examples that they must reproduce; a report on a horse prints the evenness of its week alone.
"""

from typing import Literal

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = [
    "TRIMP_WEIGHTS",
    "monotony",
    "session_load",
    "strain",
    "training_impulse",
    "zone_score",
]

FloatArray = npt.NDArray[np.float64]

# Banister's weights of a share of the heart rate reserve, from lactate of men and of women.
TRIMP_WEIGHTS = {"men": (0.64, 1.92), "women": (0.86, 1.67)}

_MOST_EFFORT = 10.0
_ZONES = 5


def session_load(effort: npt.ArrayLike, minutes: npt.ArrayLike) -> FloatArray:
    """Return the load of a session: how hard it felt, 0 to 10, times its minutes.

    Raises
    ------
    OutOfRangeError
        If an effort lies outside 0 to 10, or minutes are negative.

    References
    ----------
    foster_2001.

    Examples
    --------
    >>> float(session_load(7, 120))
    840.0
    """
    felt, long = np.asarray(effort, dtype=np.float64), np.asarray(minutes, dtype=np.float64)
    if not ((felt >= 0) & (felt <= _MOST_EFFORT)).all() or not (long >= 0).all():
        raise OutOfRangeError("give efforts from 0 to 10 and minutes of zero or more")
    return np.asarray(felt * long)


def monotony(
    loads: npt.ArrayLike, *, spread: Literal["population", "sample"] = "population"
) -> FloatArray:
    """Return the mean of a week's daily loads over their standard deviation.

    Parameters
    ----------
    loads : array_like, shape (days, ...)
        A load for each day, zero at rest. The printed example comes out of session loads; days,
        with zeros, are what it is defined on.
    spread : {"population", "sample"}
        Whether the deviation divides by the count or by one less.

    Returns
    -------
    ndarray
        nan where all days are alike, for then there is no spread.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two days, or a load is no number of zero or more.

    References
    ----------
    foster_2001.
    """
    values = np.asarray(loads, dtype=np.float64)
    if values.ndim == 0 or len(values) < 2 or not (np.isfinite(values) & (values >= 0)).all():
        raise OutOfRangeError("give loads of zero or more for two days at least")
    mean = values.mean(axis=0)
    deviation = values.std(axis=0, ddof=int(spread == "sample"))
    # Floats of one value may spread by rounding alone.
    even = deviation <= 1e-12 * np.maximum(mean, 1.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(even, np.nan, mean / deviation)


def strain(
    loads: npt.ArrayLike, *, spread: Literal["population", "sample"] = "population"
) -> FloatArray:
    """Return the load of a week times its `monotony`.

    Raises
    ------
    OutOfRangeError
        As `monotony`.

    References
    ----------
    foster_2001.
    """
    return np.asarray(
        np.sum(np.asarray(loads, dtype=np.float64), axis=0) * monotony(loads, spread=spread)
    )


def zone_score(minutes: npt.ArrayLike) -> float:
    """Return minutes in five zones of heart rate, from 50 % of the peak up, weighted 1 to 5.

    Raises
    ------
    OutOfRangeError
        If there are not five zones, or minutes are negative.

    References
    ----------
    foster_2001 (Edwards's zones, its figure 2).

    Examples
    --------
    >>> zone_score([10, 10, 5, 3, 2])
    67.0
    """
    values = np.asarray(minutes, dtype=np.float64)
    if values.shape != (_ZONES,) or not (values >= 0).all():
        raise OutOfRangeError("give the minutes in each of five zones, zero or more")
    return float(values @ np.arange(1, _ZONES + 1))


def training_impulse(
    minutes: float,
    heart_rate_bpm: float,
    resting_bpm: float,
    peak_bpm: float,
    weights: tuple[float, float] = TRIMP_WEIGHTS["men"],
) -> float:
    """Return minutes times the share of the heart rate reserve, weighted as in people.

    Parameters
    ----------
    minutes : float
        How long.
    heart_rate_bpm, resting_bpm, peak_bpm : float
        The mean heart rate, and the horse's at rest and at its highest, in beats a minute.
    weights : tuple of float
        ``a`` and ``b`` of the weight ``a exp(b x)``. Those of `TRIMP_WEIGHTS` are of people; for a
        horse give its own, fitted to its lactate, or use `zone_score`.

    Raises
    ------
    OutOfRangeError
        If minutes are negative, or the heart rate lies outside rest and peak.

    References
    ----------
    banister_trimp.
    """
    if not minutes >= 0 or not resting_bpm <= heart_rate_bpm <= peak_bpm or peak_bpm == resting_bpm:
        raise OutOfRangeError(
            f"{minutes:g} min at {heart_rate_bpm:g} beats a minute, rest {resting_bpm:g}, peak "
            f"{peak_bpm:g}: give minutes of zero or more and a heart rate from rest to peak"
        )
    share = (heart_rate_bpm - resting_bpm) / (peak_bpm - resting_bpm)
    scale, growth = weights
    return float(minutes * share * scale * np.exp(growth * share))
