"""The ledger: one row for each piece of ground that a horse covered, with its speed."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import pace
from racecalc.errors import OutOfRangeError

__all__ = ["FAST_SPEED_M_S", "LEDGER_COLUMNS", "NO_GROUND", "class_of_speed", "ledger"]

# The speed that parts gallop from canter in a study of distance and fracture (verheyen_2006).
FAST_SPEED_M_S = 14.0

LEDGER_COLUMNS = (
    "date",
    "horse",
    "activity",
    "distance_m",
    "time_s",
    "speed_m_s",
    "speed_class",
    "work",
)

# Nothing is covered at rest, and nobody measures what a horse walks in its paddock.
NO_GROUND = ("rest", "turnout")


def ledger(
    exercise: pd.DataFrame,
    works: pd.DataFrame,
    splits: pd.DataFrame,
    fast_speed_m_s: float = FAST_SPEED_M_S,
) -> pd.DataFrame:
    """Return one row for each piece of ground, of one horse or of many.

    A work is cut at its clocked poles and each section has its own speed; what it ran past its end
    is ``gallop_out``. Without any clock it is one row.

    Parameters
    ----------
    exercise : DataFrame
        ``date``, ``horse``, ``activity``, ``distance_m``, ``time_s``; nan where unknown.
    works, splits : DataFrame
        As `racecalc.pace.cut` needs them; works with ``date`` and ``horse``.
    fast_speed_m_s : float
        Ground at this mean speed or above is fast.

    Returns
    -------
    DataFrame
        `LEDGER_COLUMNS`, in the order of days and independent of the order of the rows given.
        ``activity`` is one of those of the exercise table (rest and turnout left out), ``work`` or
        ``gallop_out``. ``speed_class`` is ``fast``, ``slower`` or ``untimed``. ``work`` is the id
        of the work, or None.

    Raises
    ------
    OutOfRangeError
        If the clocks of a work run backwards, or the speed is not above zero.

    Notes
    -----
    A race without a time counts as fast, by the convention that studies of exposure follow: they
    add up races and official works without asking for the speed. The study behind
    `FAST_SPEED_M_S` calls ground gallop above it; here ground exactly at it is fast too.

    References
    ----------
    verheyen_2006 (the speed); estberg_1996 (races and works added up).
    """
    if not fast_speed_m_s > 0:
        raise OutOfRangeError(f"fast speed {fast_speed_m_s:g} m/s: give a speed above zero")
    moved = exercise[~exercise["activity"].isin(NO_GROUND)]
    cuts = pace.cut(works, splits)
    owner = pd.Index(works["work"]).get_indexer(pd.Index(cuts["work"]))
    day, horse = (works[name].to_numpy()[owner] for name in ("date", "horse"))
    ground = pd.DataFrame(
        {
            "date": _joined(moved["date"], day, np.dtype("datetime64[ns]")),
            "horse": _words(moved["horse"], horse),
            "activity": _words(
                moved["activity"], np.where(cuts["gallop_out"], "gallop_out", "work")
            ),
            "distance_m": _joined(moved["distance_m"], cuts["distance_m"]),
            "time_s": _joined(moved["time_s"], cuts["time_s"]),
            "work": _words([None] * len(moved), cuts["work"]),
            "place": _joined(np.zeros(len(moved)), -cuts["to_finish_m"]),
        }
    )
    return _in_order(_with_speed(ground, fast_speed_m_s))


def _joined(daily: Any, worked: Any, dtype: Any = None) -> npt.NDArray[Any]:
    """Put the values of the daily rows before those of the works."""
    return np.concatenate([np.asarray(daily, dtype=dtype), np.asarray(worked, dtype=dtype)])


def _words(daily: Any, worked: Any) -> "pd.Series[Any]":
    return pd.Series(_joined(daily, worked, object), dtype=object)


def _with_speed(ground: pd.DataFrame, fast_speed_m_s: float) -> pd.DataFrame:
    distance = ground["distance_m"].to_numpy(dtype=np.float64)
    time = ground["time_s"].to_numpy(dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        speed = np.where(time > 0, distance / time, np.nan)
    classes = class_of_speed(speed, ground["activity"], fast_speed_m_s)
    return ground.assign(speed_m_s=speed, speed_class=pd.Series(classes, dtype=object))


def class_of_speed(
    speed_m_s: npt.NDArray[np.float64], activity: "pd.Series[Any]", fast_speed_m_s: float
) -> npt.NDArray[np.str_]:
    """Return ``fast``, ``slower`` or ``untimed`` for each row; a race without a time is fast."""
    unknown = np.isnan(speed_m_s)
    is_fast = (speed_m_s >= fast_speed_m_s) | (unknown & (activity.to_numpy() == "race"))
    return np.select([is_fast, unknown], ["fast", "untimed"], "slower")


def _in_order(ground: pd.DataFrame) -> pd.DataFrame:
    """Sort by day, and within it by all that tells rows apart, so that sums do not depend on it."""
    key = np.zeros(len(ground), dtype=np.int64)
    for name in ("date", "horse", "activity", "work"):
        codes, known = pd.factorize(ground[name], sort=True)
        key = key * (len(known) + 1) + codes + 1
    # A book is nearly in order, which a stable sort uses; only rows alike so far need the rest.
    order = np.argsort(key, kind="stable")
    alike = np.diff(key[order]) == 0
    tied = np.zeros(len(order), dtype=np.bool_)
    tied[1:] |= alike
    tied[:-1] |= alike
    rest = order[tied]
    numbers = [ground[name].to_numpy()[rest] for name in ("time_s", "distance_m", "place")]
    order[tied] = rest[np.lexsort([*numbers, key[rest]])]
    return ground.iloc[order].reset_index(drop=True)[list(LEDGER_COLUMNS)]
