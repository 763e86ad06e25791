"""A work, or many, cut at the poles that were clocked."""

import math
from dataclasses import dataclass
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
    return cuts[cuts["time_s"].notna().to_numpy()].reset_index(drop=True)


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
    known = [np.nan if one is None else float(one) for one in (distance_m, from_pole_m, time_s)]
    ran = _ran(np.array(["work"], dtype=object), *np.array(known)[:, np.newaxis])
    marks = _marks(ran, np.zeros(places.size, dtype=np.intp), places, clocks)
    columns = _between_marks(marks, ran, one_s)
    del columns["work"]
    return pd.DataFrame(columns)


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
    if not works["work"].is_unique:
        doubled = works["work"][works["work"].duplicated()].iloc[0]
        raise OutOfRangeError(f"work {doubled!r} stands twice; give every work its own id")
    distance, time, place, clock = (
        table[name].to_numpy(dtype=np.float64)
        for table, name in (
            (works, "distance_m"), (works, "time_s"),
            (splits, "to_finish_m"), (splits, "clock_s"),
        )
    )  # fmt: skip
    unknown = np.full(len(works), np.nan)
    pole = works["from_pole_m"].to_numpy(dtype=np.float64) if "from_pole_m" in works else unknown
    ran = _ran(works["work"].to_numpy(), distance, pole, time)
    owner = pd.Index(works["work"]).get_indexer(pd.Index(splits["work"]))
    return pd.DataFrame(_between_marks(_marks(ran, owner, place, clock), ran, one_s))


@dataclass(frozen=True, eq=False)
class _Ran:
    """Where each work began and ended, as distances left to the finish, and its time."""

    ids: npt.NDArray[Any]
    start_m: FloatArray
    end_m: FloatArray
    time_s: FloatArray


@dataclass(frozen=True, eq=False)
class _Marks:
    """Clocked places in the order run: the number of the work, the place, and its clock."""

    number: npt.NDArray[np.intp]
    place_m: FloatArray
    clock_s: FloatArray
    is_start: npt.NDArray[np.bool_]


def _ran(
    ids: npt.NDArray[Any], distance_m: FloatArray, pole_m: FloatArray, time_s: FloatArray
) -> _Ran:
    distance = positive(distance_m, "distance of a work", "m")
    if np.isnan(distance).any():
        nameless = ids[np.isnan(distance)][0]
        raise OutOfRangeError(
            f"work {nameless}: its distance is missing; give its length in metres"
        )
    # A pole nearer to the finish than the work is long was passed once more on the way round.
    start = np.where(pole_m >= distance, pole_m, distance)
    return _Ran(ids, start, start - distance, time_s)


def _marks(ran: _Ran, owner: npt.NDArray[np.intp], place: FloatArray, clock: FloatArray) -> _Marks:
    """Return every clocked place: the starts, the splits, and the ends that no split clocks."""
    kept = (owner >= 0) & ~np.isnan(clock) & ~np.isnan(place)
    owner, place, clock = owner[kept], place[kept], clock[kept]
    # A clock of zero at the start says nothing that the start does not say itself.
    told = ~((np.abs(place - ran.start_m[owner]) <= SAME_PLACE_M) & (clock == 0))
    owner, place, clock = owner[told], place[told], clock[told]
    end = ran.end_m[owner]
    place = np.where(np.abs(place - end) <= SAME_PLACE_M, end, place)
    works = np.arange(len(ran.ids))
    open_end = np.setdiff1d(works, owner[place == end])
    number = np.concatenate([works, owner, open_end])
    places = np.concatenate([ran.start_m, place, ran.end_m[open_end]])
    clocks = np.concatenate([np.zeros(len(works)), clock, ran.time_s[open_end]])
    is_start = np.arange(len(number)) < len(works)
    order = np.lexsort((-places, ~is_start, number))
    return _Marks(number[order], places[order], clocks[order], is_start[order])


def _check_marks(marks: _Marks, ids: npt.NDArray[Any], start: FloatArray) -> None:
    follows = ~marks.is_start
    number, place, clock = marks.number, marks.place_m, marks.clock_s
    # Every work opens with the clock of its start, so that filling down stays inside the work.
    last_known = np.maximum.accumulate(np.where(np.isnan(clock), 0, np.arange(clock.size)))
    clock_before = np.concatenate([[np.nan], clock[last_known][:-1]])
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


def _between_marks(marks: _Marks, ran: _Ran, one_s: float) -> dict[str, npt.NDArray[Any]]:
    """Return the columns of `cut`."""
    _check_marks(marks, ran.ids, ran.start_m)
    follows = np.flatnonzero(~marks.is_start)
    number, place, clock = marks.number[follows], marks.place_m, marks.clock_s
    pieces = measured(place[follows - 1], place[follows], clock[follows - 1], clock[follows], one_s)
    whole = np.abs(pieces["distance_m"] - FURLONG_M) <= SAME_PLACE_M
    past = place[follows] < ran.end_m[number]
    return {"work": ran.ids[number], **pieces, "whole_furlong": whole, "gallop_out": past}


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
