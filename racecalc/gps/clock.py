"""When a horse passed its poles, by the smoothed fixes, and how sure that is."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.gps.smooth import Noise, Weights, covariance, half_window_s, noise_of, smooth, weights
from racecalc.track import Oval, bend_rad

__all__ = ["Smoothed", "after_gap", "clock_errors_s", "gap_limit_s", "passings_s", "smoothed"]

FloatArray = npt.NDArray[np.float64]

# A pole passed between two fixes farther apart than that, and than three usual intervals, has no
# time: a gallop covers a quarter of a furlong in it.
GAP_S = 3.0
GAP_INTERVALS = 3.0
# A fix that many standard deviations from its neighbours is an upset of the receiver, not noise.
UPSET = 6.0
# Half width of a 95 % interval, in standard deviations of a normal distribution.
HALF_WIDTH_95 = 1.959964
# A passing is looked for with no less speed than that, so that a standing horse has one.
_SLOWEST_M_S = 1.0


@dataclass(frozen=True)
class Smoothed:
    """Fixes with their smoothed places and speeds; columns are along the track and outside it."""

    time_s: FloatArray
    fixes_m: FloatArray
    place_m: FloatArray
    speed_m_s: FloatArray
    half_s: float
    interval_s: float
    noise: Noise


def smoothed(time_s: FloatArray, fixes_m: FloatArray, interval_s: float) -> Smoothed:
    """Smooth fixes of shape (fixes, 2); those that are upset are left out, once."""
    half = half_window_s(interval_s)
    place, speed = smooth(time_s, fixes_m, time_s, half)
    away = np.abs(fixes_m - place)
    usual = 1.4826 * np.nanmedian(away, axis=0) if np.isfinite(away).any() else np.zeros(2)
    kept = ~(away > UPSET * np.maximum(usual, 0.1)).any(axis=1)
    if not kept.all():
        time_s, fixes_m = time_s[kept], fixes_m[kept]
        place, speed = smooth(time_s, fixes_m, time_s, half)
    # Near the ends the windows are lopsided, and leave less noise in than they do elsewhere.
    inner = (time_s >= time_s[0] + half) & (time_s <= time_s[-1] - half)
    noise = noise_of((fixes_m - place)[inner], interval_s, half)
    return Smoothed(time_s, fixes_m, place, speed, half, interval_s, noise)


def gap_limit_s(interval_s: float) -> float:
    """Return how far apart fixes may be, at this usual interval, before there is a gap."""
    return max(GAP_S, GAP_INTERVALS * interval_s) + 1e-9


def after_gap(ride: Smoothed) -> npt.NDArray[np.bool_]:
    """Return which fixes come after a gap."""
    return np.diff(ride.time_s, prepend=ride.time_s[:1]) > gap_limit_s(ride.interval_s)


def passings_s(
    ride: Smoothed, places_m: FloatArray, begin: int
) -> tuple[FloatArray, npt.NDArray[np.bool_]]:
    """Return when places were first passed after a fix, and which of them lie in a gap.

    Parameters
    ----------
    ride : Smoothed
        The smoothed fixes.
    places_m : ndarray
        Places along the track.
    begin : int
        The fix before the earliest passing.

    Returns
    -------
    tuple of ndarray
        Times, nan for places that were not come to; and whether they lie in a gap.
    """
    farthest = np.fmax.accumulate(ride.place_m[begin:, 0])
    after = np.searchsorted(np.nan_to_num(farthest, nan=-np.inf), places_m) + begin
    come_to = (after > begin) & (after < len(ride.time_s))
    after = np.clip(after, 1, len(ride.time_s) - 1)
    low, high = ride.time_s[after - 1], ride.time_s[after]
    at = (low + high) / 2
    for _ in range(4):
        place, speed = smooth(ride.time_s, ride.fixes_m, at, ride.half_s)
        step = (place[:, 0] - places_m) / np.maximum(speed[:, 0], _SLOWEST_M_S)
        at = np.clip(at - np.nan_to_num(step), low, high)
    return np.where(come_to, at, np.nan), come_to & after_gap(ride)[after]


def clock_errors_s(
    ride: Smoothed, oval: Oval, passed_s: FloatArray, to_finish_m: FloatArray
) -> FloatArray:
    """Return the half width of the 95 % interval of each clock, in seconds.

    A clock is the difference of two passings. Each is as uncertain as the smoothed place divided
    by the speed there. Where the noise lasts, the errors of two places near each other are
    alike along the track as far as the horse heads the same way.

    Parameters
    ----------
    ride : Smoothed
        The smoothed fixes.
    oval : Oval
        The track.
    passed_s, to_finish_m : ndarray
        When and where the horse passed; the first is the start.
    """
    known = np.isfinite(passed_s - passed_s[0])
    errors = np.full(len(passed_s), np.nan)
    at = passed_s[known]
    if not len(at):
        return errors
    there = weights(ride.time_s, at, ride.half_s)
    start = weights(ride.time_s, np.full(len(at), passed_s[0]), ride.half_s)
    speed, start_speed = _speed(ride, there), _speed(ride, start)
    alike = np.cos(bend_rad(oval, to_finish_m[0], to_finish_m[known]))
    variance = (
        covariance(ride.time_s, there, there, ride.noise) / speed**2
        + covariance(ride.time_s, start, start, ride.noise) / start_speed**2
        - 2 * alike * covariance(ride.time_s, there, start, ride.noise) / (speed * start_speed)
    )
    errors[known] = HALF_WIDTH_95 * np.sqrt(np.maximum(variance, 0.0))
    return errors


def _speed(ride: Smoothed, given: Weights) -> FloatArray:
    speed = np.einsum("ij,ij->i", given.speed, ride.fixes_m[given.index, 0])
    return np.asarray(np.maximum(speed, _SLOWEST_M_S))
