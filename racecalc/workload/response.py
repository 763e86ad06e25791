"""Load smoothed as an impulse response: two sums that forget, one slowly and one quickly.

In people such sums were fitted to tests of performance. No fitted values for horses were found: for
a horse they are smoothed loads and foretell nothing.
"""

import math

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = ["best_day", "break_even_day", "decaying_sum", "impulse_response"]

FloatArray = npt.NDArray[np.float64]


def decaying_sum(loads: npt.ArrayLike, days: float, *, lag: int = 0) -> FloatArray:
    """Return the sum of all loads to each day, each fallen by a factor e in so many days.

    Parameters
    ----------
    loads : array_like, shape (days, ...)
        A load for each day, oldest first.
    days : float
        How many days it takes to fall by a factor e.
    lag : int
        0: the load of a day counts on that day, as the published example needs; 1: on the next.

    Raises
    ------
    OutOfRangeError
        If the days are not above zero, the lag is not 0 or 1, or a load is not finite.

    References
    ----------
    clarke_skiba_2013.

    Examples
    --------
    >>> decaying_sum([100.0] + [0.0] * 42, 42)[-1].round(3)
    np.float64(36.788)
    """
    values = np.asarray(loads, dtype=np.float64)
    if not days > 0 or lag not in (0, 1) or values.ndim == 0 or not np.isfinite(values).all():
        raise OutOfRangeError("give finite loads, days above zero, and a lag of 0 or 1")
    kept = math.exp(-1.0 / days)
    sums = np.zeros(values.shape)
    total = np.zeros(values.shape[1:])
    for day, load in enumerate(values):
        sums[day] = kept * total + (load if lag == 0 else 0.0)
        total = kept * total + load
    return sums


def impulse_response(
    loads: npt.ArrayLike,
    start: float,
    gain: tuple[float, float],
    days: tuple[float, float],
    *,
    lag: int = 0,
) -> FloatArray:
    """Return the start plus a slow sum less a quick one, each with its gain.

    Raises
    ------
    OutOfRangeError
        As `decaying_sum`.

    References
    ----------
    clarke_skiba_2013.
    """
    slow, quick = (decaying_sum(loads, one, lag=lag) for one in days)
    return np.asarray(start + gain[0] * slow - gain[1] * quick)


def break_even_day(gain: tuple[float, float], days: tuple[float, float]) -> float:
    """Return after how many days one load no longer lowers the response.

    Raises
    ------
    OutOfRangeError
        If the first sum does not last longer, or the second gain is not the larger.
    """
    return _days_to(gain[1] / gain[0], days)


def best_day(gain: tuple[float, float], days: tuple[float, float]) -> float:
    """Return after how many days one load raises the response most.

    Raises
    ------
    OutOfRangeError
        As `break_even_day`.
    """
    return _days_to(gain[1] * days[0] / (gain[0] * days[1]), days)


def _days_to(share: float, days: tuple[float, float]) -> float:
    slow, quick = days
    if not slow > quick > 0 or not share > 1:
        raise OutOfRangeError(
            f"sums over {slow:g} and {quick:g} days: the first must last longer, and the second "
            "gain must be the larger"
        )
    return slow * quick / (slow - quick) * math.log(share)
