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

# Half the window. Shorter leaves more noise in, longer rounds off the break from jog to gallop.
HALF_WINDOW_S = 4.5
# A parabola has three coefficients; with one fix more than that it still smooths.
FEWEST = 4
# Times that are fitted at once, so that a long file needs no more memory than a short one.
_ROWS = 4096
# Correlation times that are tried, in seconds. A longer one than the last cannot be told from a
# shift that stays the same.
_TIMES_S = np.concatenate([[0.0], np.geomspace(0.1, 30.0, 60)])
# Residuals that far apart are compared with what the noise would leave.
_LAGS_S = 3.0


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
    """Return half the window for fixes at this interval: never too narrow for a parabola."""
    return max(HALF_WINDOW_S, 3.5 * interval_s)


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
    The error of a receiver lasts from one fix to the next. Smoothing follows the slow part of it, so
    that the residuals look smaller, and less correlated, than the errors are. For errors that are
    correlated as exp(-t / T) both effects can be computed: the residuals are the errors filtered
    with known weights. T is the one whose residuals would be correlated as the found ones are, and
    the standard deviation is scaled up accordingly.
    """
    good = residuals[np.isfinite(residuals).all(axis=1)]
    lags = min(max(round(_LAGS_S / interval_s), 1), len(good) // 4)
    if lags < 1:
        return Noise(float("nan"), 0.0)
    found = np.array([(good[lag:] * good[: len(good) - lag]).mean() for lag in range(lags + 1)])
    left = _left(interval_s, half_s, lags)
    apart = left[:, 1:] / left[:, :1] - found[1:] / max(found[0], 1e-12)
    best = int(np.argmin((apart**2).sum(axis=1)))
    return Noise(float(np.sqrt(found[0] / left[best, 0])), float(_TIMES_S[best]))


def _left(interval_s: float, half_s: float, lags: int) -> FloatArray:
    """Return the autocovariances, up to some lags, of what smoothing leaves of errors.

    The errors have variance one; there is a row for each of the correlation times.
    """
    side = int(half_s / interval_s)
    times = np.arange(2 * side + 1) * interval_s
    kept = -weights(times, times[side : side + 1], half_s).place[0]
    kept[side] += 1.0
    products = np.correlate(kept, kept, mode="full")
    apart = np.add.outer(np.arange(lags + 1), np.arange(-2 * side, 2 * side + 1)) * interval_s
    return np.array([_correlation(apart, time_s) @ products for time_s in _TIMES_S])


def _correlation(apart_s: FloatArray, time_s: float) -> FloatArray:
    """Return how errors are correlated that are some seconds apart."""
    if time_s == 0.0:
        return np.asarray(apart_s == 0.0, dtype=np.float64)
    return np.exp(-np.abs(apart_s) / time_s)


def covariance(
    times: FloatArray, first: Weights, second: Weights, noise: Noise
) -> FloatArray:
    """Return the covariance of smoothed places, row by row, in square metres."""
    apart = times[first.index][:, :, None] - times[second.index][:, None, :]
    related = _correlation(apart, noise.time_s)
    return noise.sigma_m**2 * np.einsum("ij,ijk,ik->i", first.place, related, second.place)
