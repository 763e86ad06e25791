"""Times over ground: speed, seconds per furlong, and a work cut at the poles that were clocked."""

import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole
from racecalc.units import FURLONG_M

__all__ = [
    "CLOCK_ERROR_S",
    "CLOCK_SOURCES",
    "cut",
    "difference_error_s",
    "is_difference",
    "seconds_per_furlong",
    "sections",
    "speed_m_s",
]

FloatArray = npt.NDArray[np.float64]

# How far one hand-taken time may lie from the true one. Fifths are rounded down: 1:10.39 is printed
# 1:10 1/5, 0.19 s short (chicago_tribune_1989). Under hundredths the hand itself is what errs: the
# difference between hand and electronic time scatters with a standard deviation of 0.07 s for
# experienced timers (mann_2015; of sprinters, as nothing was found for clockers of horses), and
# 95 % of times lie within 1.96 of these.
CLOCK_ERROR_S = {"fifths": 0.19, "hundredths": 0.14}
CLOCK_SOURCES = {"fifths": "chicago_tribune_1989", "hundredths": "mann_2015"}

# Poles and distances are read exactly; a centimetre separates float noise from another pole.
_SAME_PLACE_M = 0.01


def speed_m_s(distance_m: npt.ArrayLike, time_s: npt.ArrayLike) -> FloatArray:
    """Return mean speeds in metres per second.

    Parameters
    ----------
    distance_m, time_s : array_like
        Distances in metres and times in seconds, of one shape or broadcast to one; nan is unknown.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero or negative.

    References
    ----------
    crawford_2021 (paces and the speeds printed for them; its furlong is 200 m);
    sleuth3_ex0920 (winning times over a mile and a quarter with speeds in miles per hour).

    Examples
    --------
    >>> float(speed_m_s(201.168, 12.0))
    16.764
    """
    distance, time = _positive(distance_m, "distance", "m"), _positive(time_s, "time", "s")
    return np.asarray(distance / time, dtype=np.float64)


def seconds_per_furlong(distance_m: npt.ArrayLike, time_s: npt.ArrayLike) -> FloatArray:
    """Return mean paces in seconds per furlong of 660 feet.

    Parameters
    ----------
    distance_m, time_s : array_like
        Distances in metres and times in seconds, of one shape or broadcast to one; nan is unknown.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero or negative.

    References
    ----------
    derby_quarters_2008 (five quarter-mile times, their sum and so their mean).

    Examples
    --------
    >>> round(float(seconds_per_furlong(1207.008, 73.2)), 6)
    12.2
    """
    distance, time = _positive(distance_m, "distance", "m"), _positive(time_s, "time", "s")
    return np.asarray(time * FURLONG_M / distance, dtype=np.float64)


def difference_error_s(clock: str) -> float:
    """Return how far apart two hand-taken times of one thing may lie, in seconds.

    The two errors are independent, so the difference of two times errs by the square root of two
    times the error of one. The time of a section is such a difference: of the clocks at its ends.

    Parameters
    ----------
    clock : str
        ``fifths`` or ``hundredths``, a key of `CLOCK_ERROR_S`.

    Raises
    ------
    OutOfRangeError
        If the clock is of neither kind.

    References
    ----------
    chicago_tribune_1989; mann_2015 (as `CLOCK_SOURCES` says which for which).
    """
    if clock not in CLOCK_ERROR_S:
        raise OutOfRangeError(f"clock {clock!r}: write {' or '.join(CLOCK_ERROR_S)}")
    return math.sqrt(2) * CLOCK_ERROR_S[clock]


def is_difference(a_s: float, b_s: float, clock: str) -> bool:
    """Tell whether two hand-taken times, in seconds, differ by more than `difference_error_s`.

    Under fifths one fifth is no difference, and two fifths are.

    Raises
    ------
    OutOfRangeError
        If the clock is neither ``fifths`` nor ``hundredths``.

    Examples
    --------
    >>> is_difference(73.4, 73.2, "fifths"), is_difference(73.4, 73.0, "fifths")
    (False, True)
    """
    return abs(a_s - b_s) > difference_error_s(clock)


def sections(
    distance_m: float,
    time_s: float | None,
    to_finish_m: npt.ArrayLike,
    clock_s: npt.ArrayLike,
    *,
    from_pole_m: float | None = None,
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

    Returns
    -------
    DataFrame
        One row per section, in the order run: ``from_m``, ``to_finish_m`` (both as distances left
        to the finish), ``distance_m``, ``clock_s`` (at its end), ``time_s``, ``speed_m_s``,
        ``seconds_per_furlong``, ``whole_furlong``, ``gallop_out``.

    Raises
    ------
    OutOfRangeError
        If a clock runs backwards or stands still, a pole is clocked twice, or a pole lies before
        the start of the work.

    Examples
    --------
    >>> sections(402.336, 24.4, [201.168], [12.4])["time_s"].round(2).tolist()
    [12.4, 12.0]
    """
    work = pd.DataFrame(
        {
            "work": ["work"],
            "distance_m": [float(distance_m)],
            "time_s": [np.nan if time_s is None else float(time_s)],
            "from_pole_m": [np.nan if from_pole_m is None else float(from_pole_m)],
        }
    )
    places = np.atleast_1d(np.asarray(to_finish_m, dtype=np.float64))
    clocks = np.atleast_1d(np.asarray(clock_s, dtype=np.float64))
    splits = pd.DataFrame({"work": "work", "to_finish_m": places, "clock_s": clocks})
    cuts = cut(work, splits)
    return cuts[cuts["time_s"].notna()].drop(columns="work").reset_index(drop=True)


def cut(works: pd.DataFrame, splits: pd.DataFrame) -> pd.DataFrame:
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
    return _between_marks(marks, ids, start - distance)


def _distance_and_start(works: pd.DataFrame) -> tuple[FloatArray, FloatArray]:
    """Return the distance of each work and where it began, as distance left to the finish."""
    if not works["work"].is_unique:
        doubled = works["work"][works["work"].duplicated()].iloc[0]
        raise OutOfRangeError(f"work {doubled!r} stands twice; give every work its own id")
    distance = np.atleast_1d(_positive(works["distance_m"], "distance of a work", "m"))
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
    told = ~((np.abs(place - start[owner]) <= _SAME_PLACE_M) & (clock == 0))
    owner, place, clock = owner[told], place[told], clock[told]
    place = np.where(np.abs(place - end[owner]) <= _SAME_PLACE_M, end[owner], place)
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
    early = follows & (place > start[number] - _SAME_PLACE_M)
    faults = (
        (early, "lies at or before the start of the work; give the poles that the work passes"),
        (follows & (gap <= _SAME_PLACE_M), "is clocked twice; keep one clock"),
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


def _between_marks(marks: pd.DataFrame, ids: npt.NDArray[Any], end: FloatArray) -> pd.DataFrame:
    before = marks.shift()
    follows = ~marks["is_start"].to_numpy()
    now, before = marks[follows], before[follows]
    number = now["number"].to_numpy()
    distance = (before["place_m"] - now["place_m"]).to_numpy(dtype=np.float64)
    time = (now["clock_s"] - before["clock_s"]).to_numpy(dtype=np.float64)
    place = now["place_m"].to_numpy()
    return pd.DataFrame(
        {
            "work": ids[number],
            "from_m": before["place_m"].to_numpy(dtype=np.float64),
            "to_finish_m": place,
            "distance_m": distance,
            "clock_s": now["clock_s"].to_numpy(),
            "time_s": time,
            "speed_m_s": distance / time,
            "seconds_per_furlong": time * FURLONG_M / distance,
            "whole_furlong": np.abs(distance - FURLONG_M) <= _SAME_PLACE_M,
            "gallop_out": place < end[number],
        }
    )


def _name(place_m: float) -> str:
    return write_pole(round(float(place_m), 6))


def _positive(values: npt.ArrayLike, name: str, unit: str) -> FloatArray:
    array = np.asarray(values, dtype=np.float64)
    wrong = array <= 0
    if wrong.any():
        raise OutOfRangeError(
            f"{name}: {array[wrong].flat[0]:g} {unit} found; give a value above zero"
        )
    return array
