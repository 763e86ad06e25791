"""A work, or many, cut at the poles that were clocked."""

import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole
from racecalc.pace.speeds import FloatArray, positive
from racecalc.pace.watch import difference_error_s
from racecalc.units import FURLONG_M

__all__ = ["SAME_PLACE_M", "cut", "cut_one", "measured", "sections"]

# Poles and distances are read exactly; a centimetre separates float noise from another pole.
SAME_PLACE_M = 0.01


def sections(
    distance_m: float,
    time_s: float | None,
    to_finish_m: npt.ArrayLike,
    clock_s: npt.ArrayLike,
    *,
    from_pole_m: float | None = None,
    one_s: float = math.nan,
) -> pd.DataFrame:
    """Cut one work at its clocked poles.

    A pole without a clock makes a longer section; nothing is interpolated. The end of the work is
    clocked by ``time_s`` where no split is. Ground past the end is the gallop out.

    Parameters
    ----------
    distance_m : float
        Length of the work.
    time_s : float or None
        Time of the work; None or nan where it was not clocked.
    to_finish_m, clock_s : array_like, shape (splits,)
        What was left to the finish at each clocked pole (negative past the finish), and the running
        time there since the work began; in any order.
    from_pole_m : float, optional
        The pole at which the work began, if not the one that is its distance from the finish. A
        work of 3/8 mile from the half-mile pole ends at the eighth pole.
    one_s : float, optional
        How far one time may lie from the true one, as `clock_error_s` gives it; nan where that is
        not known, and the errors of the sections are then nan as well.

    Returns
    -------
    DataFrame
        One row per section, in the order run: ``from_m``, ``to_finish_m`` (both as distances left
        to the finish), ``distance_m``, ``clock_s`` (at its end), ``time_s``, ``error_s`` (of
        ``time_s``: both its ends are clocked by hand, and so is the start of the work),
        ``speed_m_s``, ``seconds_per_furlong``, ``seconds_per_200m``, ``pace_error_s`` (of the
        seconds per furlong), ``whole_furlong``, ``gallop_out``.

    Raises
    ------
    OutOfRangeError
        If a clock runs backwards or stands still, a pole is clocked twice, a pole lies before the
        start of the work, the length of the work is missing or not above zero, a figure is
        infinite, there are more poles than clocks or fewer, or the error is not above zero.

    Examples
    --------
    >>> sections(402.336, 24.4, [201.168], [12.4])["time_s"].round(2).tolist()
    [12.4, 12.0]
    """
    cuts = cut_one(distance_m, time_s, to_finish_m, clock_s, from_pole_m, one_s)
    return cuts[cuts["time_s"].notna()].reset_index(drop=True)


def cut_one(
    distance_m: float,
    time_s: float | None,
    to_finish_m: npt.ArrayLike,
    clock_s: npt.ArrayLike,
    from_pole_m: float | None,
    one_s: float,
) -> pd.DataFrame:
    """Cut one work as `sections`, but keep ground whose clock is missing, as `cut` does."""
    places = np.atleast_1d(np.asarray(to_finish_m, dtype=np.float64))
    clocks = np.atleast_1d(np.asarray(clock_s, dtype=np.float64))
    if places.shape != clocks.shape:
        raise OutOfRangeError(
            f"{places.size} poles and {clocks.size} clocks found; give one clock for each pole"
        )
    work = pd.DataFrame(
        {
            "work": ["work"],
            "distance_m": [float(distance_m)],
            "time_s": [np.nan if time_s is None else float(time_s)],
            "from_pole_m": [np.nan if from_pole_m is None else float(from_pole_m)],
        }
    )
    splits = pd.DataFrame({"work": "work", "to_finish_m": places, "clock_s": clocks})
    return cut(work, splits, one_s=one_s).drop(columns="work")


def cut(works: pd.DataFrame, splits: pd.DataFrame, *, one_s: float = math.nan) -> pd.DataFrame:
    """Cut many works at their clocked poles, as `sections` does one.

    Every work gives at least one row; ground whose clock is missing is a row with a missing time,
    so that the rows before the end of a work always add up to its distance.

    Parameters
    ----------
    works : DataFrame
        ``work`` (unique), ``distance_m``, ``time_s`` and, if known, ``from_pole_m``.
    splits : DataFrame
        ``work``, ``to_finish_m``, ``clock_s``; splits of other works, and without a clock, are
        passed over.
    one_s : float, optional
        As `sections`.

    Returns
    -------
    DataFrame
        The columns of `sections` and ``work``, in the order of ``works``.

    Raises
    ------
    OutOfRangeError
        As `sections`; the text names the work and the pole.
    """
    ids = works["work"].to_numpy()
    distance, start = _distance_and_start(works)
    marks = _marks(works, splits, distance, start)
    _check_marks(marks, ids, start)
    return _between_marks(marks, ids, start - distance, one_s)


def _distance_and_start(works: pd.DataFrame) -> tuple[FloatArray, FloatArray]:
    """Return the distance of each work and where it began, as distance left to the finish."""
    if not works["work"].is_unique:
        doubled = works["work"][works["work"].duplicated()].iloc[0]
        raise OutOfRangeError(f"work {doubled!r} stands twice; give every work its own id")
    distance = np.atleast_1d(positive(works["distance_m"], "distance of a work", "m"))
    if np.isnan(distance).any():
        nameless = works["work"].to_numpy()[np.isnan(distance)][0]
        raise OutOfRangeError(
            f"work {nameless}: its distance is missing; give its length in metres"
        )
    if "from_pole_m" not in works:
        return distance, distance
    pole = works["from_pole_m"].to_numpy(dtype=np.float64)
    # A pole nearer to the finish than the work is long was passed once more on the way round.
    return distance, np.where(pole >= distance, pole, distance)


def _marks(
    works: pd.DataFrame, splits: pd.DataFrame, distance: FloatArray, start: FloatArray
) -> pd.DataFrame:
    """Return every clocked place: the starts, the splits, and the ends that no split clocks."""
    number = np.arange(len(works))
    end = start - distance
    owner, place, clock = _clocked(works, splits)
    # A clock of zero at the start says nothing that the start does not say itself.
    told = ~((np.abs(place - start[owner]) <= SAME_PLACE_M) & (clock == 0))
    owner, place, clock = owner[told], place[told], clock[told]
    place = np.where(np.abs(place - end[owner]) <= SAME_PLACE_M, end[owner], place)
    open_end = np.setdiff1d(number, owner[place == end[owner]])
    times = works["time_s"].to_numpy(dtype=np.float64)
    marks = pd.DataFrame(
        {
            "number": np.concatenate([number, owner, open_end]),
            "place_m": np.concatenate([start, place, end[open_end]]),
            "clock_s": np.concatenate([np.zeros(len(works)), clock, times[open_end]]),
            "is_start": np.repeat([True, False, False], [len(number), len(owner), len(open_end)]),
        }
    )
    order = np.lexsort((-marks["place_m"], ~marks["is_start"], marks["number"]))
    return marks.iloc[order].reset_index(drop=True)


def _clocked(
    works: pd.DataFrame, splits: pd.DataFrame
) -> tuple[npt.NDArray[np.intp], FloatArray, FloatArray]:
    """Return the number of the work, the place and the clock of each split that has them all."""
    owner = pd.Index(works["work"]).get_indexer(pd.Index(splits["work"]))
    place = splits["to_finish_m"].to_numpy(dtype=np.float64)
    clock = splits["clock_s"].to_numpy(dtype=np.float64)
    kept = (owner >= 0) & ~np.isnan(clock) & ~np.isnan(place)
    return owner[kept], place[kept], clock[kept]


def _check_marks(marks: pd.DataFrame, ids: npt.NDArray[Any], start: FloatArray) -> None:
    follows = ~marks["is_start"].to_numpy()
    number, place = marks["number"].to_numpy(), marks["place_m"].to_numpy()
    clock = marks["clock_s"].to_numpy()
    # Every work opens with the clock of its start, so that filling down stays inside the work.
    clock_before = marks["clock_s"].ffill().shift().to_numpy()
    gap = np.concatenate([[np.inf], place[:-1] - place[1:]])
    early = follows & (place > start[number] - SAME_PLACE_M)
    faults = (
        (
            np.isinf(clock) | np.isinf(place),
            "is infinite, or its clock is; give metres to the finish and seconds since the start",
        ),
        (early, "lies at or before the start of the work; give the poles that the work passes"),
        (follows & (gap <= SAME_PLACE_M), "is clocked twice; keep one clock"),
        (
            follows & (clock <= clock_before),
            "has a clock that is not later than the one before it; give running times since the "
            "work began",
        ),
    )
    for at_fault, text in faults:
        if at_fault.any():
            row = int(np.flatnonzero(at_fault)[0])
            raise OutOfRangeError(f"work {ids[number[row]]}: pole {_name(place[row])} {text}")


def _between_marks(
    marks: pd.DataFrame, ids: npt.NDArray[Any], end: FloatArray, one_s: float
) -> pd.DataFrame:
    follows = np.flatnonzero(~marks["is_start"].to_numpy())
    number, place = marks["number"].to_numpy()[follows], marks["place_m"].to_numpy()
    clock = marks["clock_s"].to_numpy()
    ran = measured(place[follows - 1], place[follows], clock[follows - 1], clock[follows], one_s)
    whole = np.abs(ran["distance_m"] - FURLONG_M) <= SAME_PLACE_M
    past = place[follows] < end[number]
    return pd.DataFrame({"work": ids[number], **ran, "whole_furlong": whole, "gallop_out": past})


def measured(
    from_m: FloatArray,
    to_finish_m: FloatArray,
    began_s: FloatArray,
    clock_s: FloatArray,
    one_s: float,
) -> dict[str, FloatArray]:
    """Return what pieces of ground measure: the columns of `sections` that are numbers.

    Parameters
    ----------
    from_m, to_finish_m, began_s, clock_s : ndarray, shape (pieces,)
        Where each piece begins and ends, and the clocks there; nan where one is missing.
    one_s : float
        The error of one of these clocks, or nan.
    """
    distance, time = from_m - to_finish_m, clock_s - began_s
    error_s = math.nan if math.isnan(one_s) else difference_error_s(one_s)
    error = np.where(np.isnan(time), np.nan, error_s)
    return {
        "from_m": from_m,
        "to_finish_m": to_finish_m,
        "distance_m": distance,
        "clock_s": clock_s,
        "time_s": time,
        "error_s": error,
        "speed_m_s": distance / time,
        "seconds_per_furlong": time * FURLONG_M / distance,
        "seconds_per_200m": time * 200 / distance,
        "pace_error_s": error * FURLONG_M / distance,
    }


def _name(place_m: float) -> str:
    return write_pole(round(float(place_m), 6)) if math.isfinite(place_m) else "at infinity"
