"""How far a young horse has grown, and how tall it may become.

The curve of weight is one equation for horses of all breeds; Thoroughbreds depart from it in known
months (`DEPARTURES`). For height a few published shares of mature height by age are joined by
straight lines; where sources differ, both are kept, and a prediction is an interval.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = [
    "DEPARTURES",
    "Departure",
    "Prediction",
    "average_daily_gain",
    "leave_one_out",
    "mature_height_fraction",
    "mature_weight_fraction",
    "months_between",
    "predicted_mature_height",
]

FloatArray = npt.NDArray[np.float64]

_DAYS_IN_MONTH = 30.4375

# Weight at birth as a share of mature weight, and the rate per month at which the rest is made up.
# MEMORY: no stored page prints them. The curve is held to what was read: brown_douglas_growth
# (birth, 6 months), pagan_2015 (24 months) and nrc_growth_check (what 885 Thoroughbreds weighed
# beside it).
_AT_BIRTH = 0.097
_RATE_PER_MONTH = 0.0772
# A gain per month is told per day by the month that the printed gains go with.
_DAYS_IN_MONTH_OF_GAIN = 30.4

# Months of age; the least and the greatest published share of mature height.
#   3: extension_height; nothing else was read, so that 0.02 either way are our own choice.
#   6, 12: extension_height; higher, extension_cannon; of Thoroughbreds, brown_douglas_growth has
#   0.83 and 0.92, which lie between.
#   18: both; lower, green_heights with 148 cm of the 156 cm at 36 months, which are themselves
#       short of the mature height by what the least course has left at 36.
#   24: extension_height, and lower, for Thoroughbreds, pagan_2015.
#   36 and 60: when the last of the growth is over at the earliest and latest: our own choice.
_LEAST_AGES = (3, 6, 12, 18, 24, 60)
_LEAST_AT_36 = 0.95 + (1.0 - 0.95) * (36 - 24) / (60 - 24)
_LEAST = (0.71, 0.82, 0.89, 148 / 156 * _LEAST_AT_36, 0.95, 1.0)
_GREATEST_AGES = (3, 6, 12, 18, 24, 36)
_GREATEST = (0.75, 0.84, 0.92, 0.95, 0.97, 1.0)

# How far the share of one horse may lie from that of all, 95 times of 100, as a part of its mature
# height: to 24 months, and from there on shrinking evenly to nothing at 60. Own choice; no figure
# was found.
_OWN_COURSE = 0.02
_NO_MORE_ALIKE = 24.0
_GROWN = 60.0

_TALLEST_M = 2.5


@dataclass(frozen=True)
class Departure:
    """How Thoroughbreds differ from the curve of weight between two ages in months.

    They weigh between ``least_kg`` and ``most_kg`` more than it says; less, where negative.
    """

    from_month: float
    to_month: float
    least_kg: float
    most_kg: float


DEPARTURES = (
    Departure(0, 0, -3, 3),
    Departure(1, 5, 0, 10),
    Departure(6, 9, -3, 3),
    Departure(10, 13, -9, 0),
    Departure(15, 16, 0, 9),
)
"""What 885 Thoroughbreds weighed beside the curve (``nrc_growth_check``); nothing is printed of the
other months."""


@dataclass(frozen=True)
class Prediction:
    """A height to come, in metres: the middle, and the ends of the interval around it."""

    low_m: float
    middle_m: float
    high_m: float


def mature_weight_fraction(age_months: npt.ArrayLike) -> FloatArray:
    """Return which share of its mature weight a horse has at an age.

    Parameters
    ----------
    age_months : array_like
        Age in months, zero or more.

    Returns
    -------
    ndarray or number
        0.097 + 0.903 (1 - exp(-0.0772 age)).

    Raises
    ------
    OutOfRangeError
        If an age is negative or no number.

    Notes
    -----
    The constants are those of the equation of the National Research Council of 2007 as it is
    remembered; no page that prints them was found. They agree with the published checks below, to
    a point at birth, at 6 and at 24 months. At 12 months Thoroughbreds have about three points
    less: see `DEPARTURES`.

    References
    ----------
    brown_douglas_growth; pagan_2015; nrc_growth_check.

    Examples
    --------
    >>> round(float(mature_weight_fraction(24)), 3)
    0.858
    """
    left = (1 - _AT_BIRTH) * np.exp(-_RATE_PER_MONTH * _ages(age_months))
    return np.subtract(1.0, left)


def average_daily_gain(mature_kg: npt.ArrayLike, age_months: npt.ArrayLike) -> FloatArray:
    """Return how many kg a day a horse gains at an age by the curve of weight.

    Parameters
    ----------
    mature_kg : array_like
        Mature weight in kg.
    age_months : array_like
        Age in months, zero or more.

    Raises
    ------
    OutOfRangeError
        If a weight is not above zero, an age is negative, or either is no number.

    Notes
    -----
    The slope of `mature_weight_fraction`, over a month of 30.4 days. Thoroughbreds on pasture gain
    faster from 12 to 14 months, where the curve slows.

    References
    ----------
    nrc_growth_check.

    Examples
    --------
    >>> round(float(average_daily_gain(500, 12)), 3)
    0.454
    """
    mature = np.asarray(mature_kg, dtype=np.float64)
    if not np.all((mature > 0) & np.isfinite(mature)):
        raise OutOfRangeError("a mature weight is not above zero: give it in kg, such as 500")
    monthly = (1 - _AT_BIRTH) * _RATE_PER_MONTH * np.exp(-_RATE_PER_MONTH * _ages(age_months))
    return np.multiply(mature, monthly / _DAYS_IN_MONTH_OF_GAIN)


def mature_height_fraction(age_months: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return between which shares of its mature height the average horse is at an age.

    Parameters
    ----------
    age_months : array_like
        Age in months, zero or more.

    Returns
    -------
    tuple of ndarray or number
        The least and the greatest share, straight lines between the published ones; NaN under 3
        months, 1.0 from 60 months.

    Raises
    ------
    OutOfRangeError
        If an age is negative or no number.

    Notes
    -----
    At 3 months only one source speaks, and 0.02 either way are our own choice; so are 36 and 60
    months for the end of growth. One horse lies further off: see `predicted_mature_height`.

    References
    ----------
    extension_height; extension_cannon; brown_douglas_growth; green_heights; pagan_2015.

    Examples
    --------
    >>> [round(float(share), 3) for share in mature_height_fraction(24)]
    [0.95, 0.97]
    """
    ages = _ages(age_months)
    low = np.interp(ages, _LEAST_AGES, _LEAST, left=np.nan)
    return low, np.interp(ages, _GREATEST_AGES, _GREATEST, left=np.nan)


def predicted_mature_height(height_m: float, age_months: float, error_m: float) -> Prediction:
    """Return how tall a young horse may become, from one height.

    Parameters
    ----------
    height_m : float
        Height at the withers in metres.
    age_months : float
        Age in months on that day.
    error_m : float
        How far the reading may lie from the true height 95 times of 100, in metres.

    Returns
    -------
    Prediction
        The ends are those of the published shares, widened by the error of the reading and by how
        horses differ; the lower end is never under the height less its error. NaN under 3 months.

    Raises
    ------
    OutOfRangeError
        If the height is not above zero and up to 2.5 m, the error negative, the age negative, or
        any of them no number.

    Notes
    -----
    How horses differ is our own choice, as no figure was found: up to 24 months a horse is taken to
    lie within 0.02 of its mature height from the average course 95 times of 100, after that within
    evenly less, and within nothing from 60 months. What parents, feeding and illness do is not in
    it: a guide to what is likely, no promise.

    References
    ----------
    extension_height; extension_cannon; brown_douglas_growth; green_heights; pagan_2015.

    Examples
    --------
    >>> found = predicted_mature_height(1.553, 17, 0.011)
    >>> [round(end, 3) for end in (found.low_m, found.middle_m, found.high_m)]
    [1.606, 1.672, 1.74]
    """
    height = float(_heights(height_m))
    if not 0 <= error_m < np.inf:
        raise OutOfRangeError(f"error {error_m:g} m: give a number of zero or more, such as 0.011")
    least, greatest = (float(share) for share in mature_height_fraction(age_months))
    middle = height / ((least + greatest) / 2)
    spare = np.clip((_GROWN - age_months) / (_GROWN - _NO_MORE_ALIKE), 0.0, 1.0)
    half = float(np.hypot(error_m, _OWN_COURSE * spare * middle))
    low = max((height - half) / greatest, height - error_m)
    return Prediction(low, middle, (height + half) / least)


def leave_one_out(ages_months: Sequence[float], heights_m: Sequence[float]) -> FloatArray:
    """Return by how much each height of one horse misses what its others foretell, in metres.

    Parameters
    ----------
    ages_months, heights_m : sequence of float
        Age in months and height in metres of each reading, in any order.

    Returns
    -------
    ndarray
        Measured less foretold, one for each reading: the median of the mature heights that the
        others foretell by the middle of the published shares, brought back to the age of the one
        left out. NaN for a reading under 3 months.

    Raises
    ------
    OutOfRangeError
        If there are fewer than three readings from 3 months on, not as many ages as heights, or an
        age or height is impossible.

    References
    ----------
    extension_height; extension_cannon; brown_douglas_growth; green_heights; pagan_2015.

    Examples
    --------
    >>> leave_one_out([12, 18, 24], [1.45, 1.52, 1.55]).round(3).tolist()
    [-0.017, 0.018, -0.001]
    """
    ages, heights = _ages(ages_months), _heights(heights_m)
    if ages.ndim != 1 or ages.shape != heights.shape:
        raise OutOfRangeError(
            f"{ages.size} ages and {heights.size} heights: give one age for each height"
        )
    share = np.mean(mature_height_fraction(ages), axis=0)
    usable = np.isfinite(share)
    if usable.sum() < 3:
        raise OutOfRangeError(
            f"{usable.sum()} heights from 3 months on: at least 3 are needed to leave one out"
        )
    mature = heights / share
    others = usable & ~np.eye(ages.size, dtype=np.bool_)
    foretold = np.array([np.median(mature[row]) for row in others])
    missed: FloatArray = heights - foretold * share
    return missed


def months_between(born: date, on: date) -> float:
    """Return an age in months of 30.4375 days.

    Raises
    ------
    OutOfRangeError
        If the day lies before the birth.

    Examples
    --------
    >>> round(months_between(date(2024, 3, 1), date(2026, 3, 1)), 2)
    23.98
    """
    days = (on - born).days
    if days < 0:
        raise OutOfRangeError(f"{on} lies before the birth on {born}: give a later day")
    return days / _DAYS_IN_MONTH


def _ages(age_months: npt.ArrayLike) -> FloatArray:
    ages = np.asarray(age_months, dtype=np.float64)
    good = (ages >= 0) & np.isfinite(ages)
    if not good.all():
        raise OutOfRangeError(
            f"age of {ages[~good].flat[0]:g} months: give the months since birth, zero or more"
        )
    return ages


def _heights(height_m: npt.ArrayLike) -> FloatArray:
    heights = np.asarray(height_m, dtype=np.float64)
    good = (heights > 0) & (heights <= _TALLEST_M)
    if not good.all():
        raise OutOfRangeError(
            f"height {heights[~good].flat[0]:g} m: write it in metres, above 0 and up to "
            f"{_TALLEST_M:g}, such as 1.62"
        )
    return heights
