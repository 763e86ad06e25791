"""Ground without a time: the usual speed of its activity stands in, and is marked."""

import numpy as np
import pandas as pd

from racecalc.workload.ledger import FAST_SPEED_M_S, class_of_speed

__all__ = ["FEWEST_TIMED", "USUAL_SPEEDS_M_S", "with_usual_speeds"]

# With fewer timed rows of its own a horse takes the usual speed of the trade. A choice.
FEWEST_TIMED = 5

# Common practice (practice_usual_paces): a walk of 4 mph; the middle of a jog of 8 to 12 mph and of
# a canter of 16 to 27 km/h; a gallop of 17 s a furlong.
USUAL_SPEEDS_M_S = {"walk": 1.79, "jog": 4.44, "canter": 5.97, "gallop": 11.83}


def with_usual_speeds(ground: pd.DataFrame, fast_speed_m_s: float = FAST_SPEED_M_S) -> pd.DataFrame:
    """Return a ledger in which ground without a time has the usual speed of its activity.

    Usual is the median speed of the horse's own timed rows of that activity, where there are at
    least `FEWEST_TIMED`, or else what is usual in the trade. A work, what is galloped out after it,
    a race, a swim and the treadmill have no usual speed and stay as they are: works differ by what
    was asked, and one that nobody timed must not count as fast.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`; what is usual is learned from all its rows.
    fast_speed_m_s : float
        The speed with which the ledger was made.

    Returns
    -------
    DataFrame
        The ledger with the column ``estimated``; where it is true, ``speed_m_s`` and
        ``speed_class`` are those of the usual speed, and ``time_s`` is the time that it takes.

    References
    ----------
    practice_usual_paces.
    """
    speed = ground["speed_m_s"].to_numpy(dtype=np.float64)
    wanted = np.isnan(speed) & ground["distance_m"].notna().to_numpy(dtype=np.bool_)
    if not wanted.any():
        return ground.assign(estimated=False)
    usual = np.where(wanted, _usual(ground), np.nan)
    estimated = ~np.isnan(usual)
    filled = np.where(estimated, usual, speed)
    time = np.where(estimated, ground["distance_m"] / filled, ground["time_s"])
    classes = class_of_speed(filled, ground["activity"], fast_speed_m_s)
    words = pd.Series(classes, index=ground.index, dtype=object)
    return ground.assign(time_s=time, speed_m_s=filled, speed_class=words, estimated=estimated)


def _usual(ground: pd.DataFrame) -> "pd.Series[float]":
    """Return the usual speed for each row; nan where there is none."""
    timed = ground[ground["speed_m_s"].notna() & ground["activity"].isin(list(USUAL_SPEEDS_M_S))]
    own = timed.groupby(["horse", "activity"])["speed_m_s"].agg(["median", "size"])
    keys = pd.MultiIndex.from_frame(ground[["horse", "activity"]])
    found = own.reindex(keys).set_axis(ground.index, axis=0)
    by_trade = ground["activity"].map(USUAL_SPEEDS_M_S)
    usual: pd.Series[float] = found["median"].where(found["size"] >= FEWEST_TIMED, by_trade)
    return usual
