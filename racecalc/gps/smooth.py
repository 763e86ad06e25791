"""Fixes smoothed over a window of seconds, and how noisy they are.

At each time a parabola is fitted to the fixes within a few seconds, the near ones counting most;
its height is the place and its slope the speed. The fit is linear in the fixes, so that the error
of a place follows from the weights it gave them.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["Noise", "Weights", "covariance", "half_window_s", "noise_of", "smooth", "weights"]

FloatArray = npt.NDArray[np.float64]

# Half the window at one fix each second. Shorter leaves more noise in, longer rounds off the break
# from jog to gallop; the more fixes there are, the shorter is best (measured: 4 to 5 s at 1 Hz, 3 s
# at 10 Hz).
HALF_WINDOW_S = 4.5
# Fixes so sparse that they would need more than that say nothing about a pole.
WIDEST_S = 15.0
# A parabola has three coefficients; with one fix more than that it still smooths.
FEWEST = 4
# Times that are fitted at once, so that a long file needs no more memory than a short one.
_ROWS = 4096
# Correlation times that are tried, in seconds. A longer one than the last cannot be told from a
# shift that stays the same.
_TIMES_S = np.concatenate([[0.0], np.geomspace(0.1, 30.0, 60)])
# Residuals that far apart are compared with what the noise would leave.
_LAGS_S = 4.0


@dataclass(frozen=True)
class Weights:
    """How much each fix counts at each of some times: arrays of shape (times, widest window)."""

    index: npt.NDArray[np.intp]
    place: FloatArray
    speed: FloatArray


@dataclass(frozen=True)
class Noise:
    """Standard deviation of one coordinate of a fix, and over which time it is correlated."""

    sigma_m: float
    time_s: float


def half_window_s(interval_s: float) -> float:
    """Return half the window for fixes at this interval, wide enough for a parabola."""
    return float(min(max(HALF_WINDOW_S * interval_s**0.2, 3.5 * interval_s), WIDEST_S))


def weights(times: FloatArray, at: FloatArray, half_s: float) -> Weights:
    """Return the weights of a parabola fitted around each of the times ``at``.

    Parameters
    ----------
    times : ndarray
        Times of the fixes in seconds, increasing.
    at : ndarray
        Times at which to fit.
    half_s : float
        Half the window, in seconds.

    Returns
    -------
    Weights
        Of the place and of the speed; nan in a row whose window holds too few fixes, zero for
        fixes outside the window.
    """
    first = np.searchsorted(times, at - half_s)
    last = np.searchsorted(times, at + half_s, side="right")
    steps = np.arange(max(int((last - first).max(initial=0)), 1))
    index = np.minimum(first[:, None] + steps, len(times) - 1)
    away = (times[index] - at[:, None]) / half_s
    kernel = np.where(steps < (last - first)[:, None], np.maximum(1 - away * away, 0), 0.0)
    powers = np.stack([np.ones_like(away), away, away * away], axis=1)
    basis = kernel[:, None, :] * powers
    square = (basis[:, 2:] * powers[:, 1:]).sum(axis=2)
    moments = np.concatenate([basis.sum(axis=2), square], axis=1)
    matrix = moments[:, np.add.outer(np.arange(3), np.arange(3))]
    fits = (np.count_nonzero(kernel, axis=1) >= FEWEST) & (
        np.linalg.det(matrix) > 1e-9 * moments[:, 0] ** 3
    )
    matrix[~fits] = np.eye(3)
    solved = np.linalg.inv(matrix)
    solved[~fits] = np.nan
    rows = solved[:, :2] @ basis
    return Weights(index, rows[:, 0], rows[:, 1] / half_s)


def smooth(
    times: FloatArray, values: FloatArray, at: FloatArray, half_s: float
) -> tuple[FloatArray, FloatArray]:
    """Return the smoothed places and speeds at the times ``at``, each of shape (at, series).

    Parameters
    ----------
    times, at, half_s
        As `weights` takes them.
    values : ndarray
        Places of the fixes, shape (fixes, series).
    """
    place, speed = np.full((2, len(at), values.shape[1]), np.nan)
    for start in range(0, len(at), _ROWS):
        rows = slice(start, start + _ROWS)
        given = weights(times, at[rows], half_s)
        near = values[given.index]
        place[rows] = np.einsum("ij,ijk->ik", given.place, near)
        speed[rows] = np.einsum("ij,ijk->ik", given.speed, near)
    return place, speed


def noise_of(residuals: FloatArray, interval_s: float, half_s: float) -> Noise:
    """Return the noise of fixes from what smoothing left of it.

    Parameters
    ----------
    residuals : ndarray
        Fixes less smoothed places, in metres, shape (fixes, series); nan where there is none.
    interval_s, half_s : float
        Between fixes, and half the window, in seconds.

    Notes
    -----
    The error of a receiver lasts from one fix to the next. Smoothing follows the slow part of it,
    so that the residuals look smaller, and less correlated, than the errors are. For errors that
    are correlated as exp(-t / T) both effects can be computed: the residuals are the errors
    filtered with known weights. Every T is weighed by how well it explains the correlations of the
    found residuals, up to four seconds; of all, the one is returned whose smoothed places are as
    uncertain as they are in the weighted mean. The residuals hardly tell errors that last a few
    seconds from errors that last longer: the former are overrated, those that last much longer than
    the window (T of 30 s) underrated.
    """
    good = residuals[np.isfinite(residuals).all(axis=1)]
    steps = _lags(interval_s, len(good) // 4)
    if not len(steps):
        return Noise(float("nan"), 0.0)
    found = np.array([(good[lag:] * good[: len(good) - lag]).mean() for lag in steps])
    left, through = _filtered(interval_s, half_s, steps)
    variance = found[0] / left[:, 0]
    apart = left[:, 1:] / left[:, :1] - found[1:] / max(found[0], 1e-12)
    # A correlation over n seconds is known to about one part in the root of n.
    known = good.size * min(interval_s, 1.0)
    chance = np.exp(-known / 2 * (apart**2).sum(axis=1))
    mean = (chance @ (variance * through)) / max(chance.sum(), 1e-300)
    best = int(np.argmin(np.abs(variance * through - mean)))
    return Noise(float(np.sqrt(variance[best])), float(_TIMES_S[best]))


def _lags(interval_s: float, most: int) -> npt.NDArray[np.intp]:
    """Return after how many fixes residuals are compared: none, one, and each second."""
    seconds = np.rint(np.arange(1.0, _LAGS_S + 0.5) / interval_s)
    steps = np.unique(np.concatenate([[0, 1], seconds])).astype(np.intp)
    return steps[steps <= most] if most > 0 else steps[:0]


def _filtered(
    interval_s: float, half_s: float, lags: npt.NDArray[np.intp]
) -> tuple[FloatArray, FloatArray]:
    """Return what smoothing leaves of errors of variance one, and what it lets through.

    There is a row for each correlation time: the autocovariances of the residuals at the lags; the
    variance of the smoothed place.
    """
    side = int(half_s / interval_s)
    times = np.asarray(np.arange(2 * side + 1) * interval_s, dtype=np.float64)
    taken = weights(times, times[side : side + 1], half_s).place[0]
    kept = -taken
    kept[side] += 1.0
    apart = np.arange(-2 * side, 2 * side + 1)
    lagged = np.add.outer(lags, apart) * interval_s
    residual, place = (np.correlate(given, given, mode="full") for given in (kept, taken))
    return (
        np.array([_correlation(lagged, time_s) @ residual for time_s in _TIMES_S]),
        np.array([_correlation(lagged[0], time_s) @ place for time_s in _TIMES_S]),
    )


def _correlation(apart_s: FloatArray, time_s: float) -> FloatArray:
    """Return how errors are correlated that are some seconds apart."""
    if time_s == 0.0:
        return np.asarray(apart_s == 0.0, dtype=np.float64)
    return np.asarray(np.exp(-np.abs(apart_s) / time_s))


def covariance(times: FloatArray, first: Weights, second: Weights, noise: Noise) -> FloatArray:
    """Return the covariance of smoothed places, row by row, in square metres."""
    apart = times[first.index][:, :, None] - times[second.index][:, None, :]
    related = _correlation(apart, noise.time_s)
    products = np.einsum("ij,ijk,ik->i", first.place, related, second.place)
    return np.asarray(noise.sigma_m**2 * products)
