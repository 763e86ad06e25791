"""Load over days: rolling and weighted averages, and the ratio of a week to a month.

Every function takes loads with the days on axis 0, oldest first, in any unit; a day at rest is
zero. Other axes, such as horses, are kept.
"""

from datetime import date

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError

__all__ = [
    "ACUTE_DAYS",
    "CHRONIC_DAYS",
    "coupled_from_uncoupled",
    "coupled_ratio",
    "daily",
    "ewma",
    "rolling_load",
    "uncoupled_ratio",
    "weighted_ratio",
]

ACUTE_DAYS = 7
CHRONIC_DAYS = 28

FloatArray = npt.NDArray[np.float64]


def daily(
    ground: pd.DataFrame, first_day: date, last_day: date
) -> tuple[pd.DatetimeIndex, pd.Index, FloatArray]:
    """Add up the metres of each day and horse.

    Parameters
    ----------
    ground : DataFrame
        Rows of a `racecalc.workload.ledger`, those that count; a missing distance counts as none,
        and a row without a horse is nobody's.
    first_day, last_day : date
        First and last day; rows outside are passed over.

    Returns
    -------
    tuple of DatetimeIndex, Index and ndarray, shape (days, horses)
        The days, the horses in the order of the alphabet, and the metres.

    Raises
    ------
    OutOfRangeError
        If the last day lies before the first.
    """
    if last_day < first_day:
        raise OutOfRangeError(f"{last_day} lies before {first_day}; give the first day first")
    days = pd.date_range(first_day, last_day)
    numbers = ((ground["date"] - days[0]) // pd.Timedelta(days=1)).to_numpy(dtype=np.int64)
    codes, horses = pd.factorize(ground["horse"], sort=True)
    metres = ground["distance_m"].fillna(0.0).to_numpy(dtype=np.float64)
    inside = (numbers >= 0) & (numbers < len(days)) & (codes >= 0)
    places = numbers[inside] * len(horses) + codes[inside]
    sums = np.bincount(places, metres[inside], minlength=len(days) * len(horses))
    return days, horses, sums.astype(np.float64).reshape(len(days), len(horses))


def rolling_load(loads: npt.ArrayLike, days: int) -> FloatArray:
    """Return the mean load a day over the last ``days`` days; nan where the record is shorter.

    Raises
    ------
    OutOfRangeError
        If the loads are not numbers of zero or more, or there is not at least one day.

    References
    ----------
    williams_2017.

    Examples
    --------
    >>> rolling_load([10.0, 20.0, 60.0], 2).tolist()
    [nan, 15.0, 40.0]
    """
    values = _checked(loads)
    _check_days(days)
    means = np.full(values.shape, np.nan)
    if len(values) >= days:
        windows = np.lib.stride_tricks.sliding_window_view(values, days, axis=0)
        means[days - 1 :] = windows.mean(axis=-1)
    return means


def ewma(loads: npt.ArrayLike, days: int) -> FloatArray:
    """Return the exponentially weighted mean load, which begins with the load of the first day.

    Raises
    ------
    OutOfRangeError
        As `rolling_load`.

    Notes
    -----
    ``E_t = a L_t + (1 - a) E_{t-1}`` with ``a = 2 / (days + 1)`` and ``E_1 = L_1``: in pandas
    ``ewm(span=days, adjust=False)``. With ``adjust=True`` the start weighs less and the printed
    ratios do not come out.

    References
    ----------
    williams_2017.

    Examples
    --------
    >>> ewma([40.0, 0.0, 0.0], 7).tolist()
    [40.0, 30.0, 22.5]
    """
    values = _checked(loads)
    _check_days(days)
    weight = 2.0 / (days + 1)
    smoothed = values.copy()
    for day in range(1, len(values)):
        smoothed[day] = smoothed[day - 1] + weight * (values[day] - smoothed[day - 1])
    return smoothed


def coupled_ratio(
    loads: npt.ArrayLike, acute: int = ACUTE_DAYS, chronic: int = CHRONIC_DAYS
) -> FloatArray:
    """Return the mean of a week over that of the four weeks that hold it; nan over nothing.

    Raises
    ------
    OutOfRangeError
        As `rolling_load`.

    Notes
    -----
    The week is part of both, so that the ratio can never pass 4 and the two are correlated at about
    0.5 even where loads are random (lolli_2019).

    References
    ----------
    williams_2017; lolli_2019.
    """
    return _over(rolling_load(loads, acute), rolling_load(loads, chronic))


def uncoupled_ratio(
    loads: npt.ArrayLike, acute: int = ACUTE_DAYS, chronic: int = CHRONIC_DAYS
) -> FloatArray:
    """Return the mean of a week over that of the three weeks before it; nan over nothing.

    Raises
    ------
    OutOfRangeError
        As `rolling_load`; also if the month is no longer than the week.

    References
    ----------
    lolli_2019.
    """
    if chronic <= acute:
        raise OutOfRangeError(f"{acute} days against {chronic}: the second span must be longer")
    week = rolling_load(loads, acute)
    before = np.full(week.shape, np.nan)
    before[acute:] = rolling_load(loads, chronic - acute)[:-acute] if len(week) > acute else np.nan
    return _over(week, before)


def weighted_ratio(
    loads: npt.ArrayLike, acute: int = ACUTE_DAYS, chronic: int = CHRONIC_DAYS
) -> FloatArray:
    """Return the ratio of the exponentially weighted means, from the first day on.

    Raises
    ------
    OutOfRangeError
        As `rolling_load`.

    References
    ----------
    williams_2017.
    """
    return _over(ewma(loads, acute), ewma(loads, chronic))


def coupled_from_uncoupled(
    ratio: npt.ArrayLike, acute: int = ACUTE_DAYS, chronic: int = CHRONIC_DAYS
) -> FloatArray:
    """Return the coupled ratio that goes with an uncoupled one.

    Examples
    --------
    >>> coupled_from_uncoupled([0.5, 1.0, 2.0]).round(4).tolist()
    [0.5714, 1.0, 1.6]
    """
    values, weeks = np.asarray(ratio, dtype=np.float64), chronic / acute
    return np.asarray(weeks * values / (values + weeks - 1))


def _over(week: FloatArray, month: FloatArray) -> FloatArray:
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(month > 0, week / month, np.nan)


def _checked(loads: npt.ArrayLike) -> FloatArray:
    values = np.array(loads, dtype=np.float64)
    if values.ndim == 0 or not (np.isfinite(values) & (values >= 0)).all():
        raise OutOfRangeError("loads must be numbers of zero or more, a row for each day")
    return values


def _check_days(days: int) -> None:
    if days < 1:
        raise OutOfRangeError(f"{days} days: give a count of at least one")
