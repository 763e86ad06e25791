"""What the frames of a film allow: the error of each number, and which may be printed at all.

A foot landed somewhere between the frame that shows it in the air and the one that shows it down.
So each event is known to half a frame step either way, evenly, and the time between two events to
one step, with a standard deviation of a step over root six. Over several strides such errors even
out, as a stride is no whole number of frames. What does not even out is the way in which a person
tells "down" from "up": between two landings it cancels, between a landing and a lift it stays, and
half a frame step, evenly, is kept for it (our choice; marks on hooves differed from a force plate
by -11 to +10 ms in the mean, starke_2015). All errors here are those of 95 %.
"""

import numpy as np

from racecalc.errors import OutOfRangeError

__all__ = [
    "LIMITS",
    "PRECISION_SOURCES",
    "landing_error_s",
    "printable",
    "stance_error_s",
    "stride_time_error_s",
]

PRECISION_SOURCES = ("starke_2015", "drevemo_1980")

_DEVIATIONS = 1.96

LIMITS = {"stride": 0.02, "lag": 0.04, "duty": 0.03, "support": 0.02, "force": 0.10}
"""The largest error with which a number is printed (our choice).

All but the last are shares of a stride. For the time of a stride it is what strides of one horse
differ by themselves (drevemo_1980: 2 %). For ``force`` it is a share of the force, and smaller than
the error of the model.
"""


def landing_error_s(step_s: float, count: float = 1) -> float:
    """Return the error of the mean time between two landings, over so many strides, in seconds.

    Raises
    ------
    OutOfRangeError
        If the step or the count is not above zero.

    Examples
    --------
    >>> round(landing_error_s(1 / 60), 4)
    0.0133
    """
    _check(step_s, count)
    return float(_DEVIATIONS * step_s / np.sqrt(6 * count))


def stance_error_s(step_s: float, count: float = 1) -> float:
    """Return the error of the mean time between a landing and a lift, in seconds.

    However many strides there are, what half a frame step does to the mean stays.

    Raises
    ------
    OutOfRangeError
        If the step or the count is not above zero.

    Examples
    --------
    >>> round(stance_error_s(1 / 240), 4), round(stance_error_s(1 / 240, 100), 4)
    (0.0041, 0.0024)
    """
    _check(step_s, count)
    return float(_DEVIATIONS * step_s * np.sqrt(1 / 12 + 1 / (6 * count)))


def stride_time_error_s(step_s: float, feet: int, strides: int) -> float:
    """Return the error of the mean time of a stride, from first landing to last, in seconds.

    ``strides`` is the sum over the feet. Only the two ends of each foot's row of landings count, so
    that it falls with the number of strides itself. Two feet that land together, as in a trot, are
    rounded to the same frames: four feet are taken to tell no more than two do.

    Raises
    ------
    OutOfRangeError
        If the step or a count is not above zero.

    Examples
    --------
    >>> round(stride_time_error_s(1 / 30, feet=4, strides=40), 4)
    0.0019
    """
    _check(step_s, min(feet, strides))
    return float(_DEVIATIONS * step_s * np.sqrt(feet * min(feet, 2) / 6) / strides)


def printable(kind: str, error: float) -> bool:
    """Return whether a number with that error may be printed; ``kind`` is a key of `LIMITS`."""
    return error <= LIMITS[kind]


def _check(step_s: float, count: float) -> None:
    if not (step_s > 0 and count > 0):
        raise OutOfRangeError("a frame step and a count of strides must be above zero")
