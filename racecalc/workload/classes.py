"""Classes of speed: the edges in print, and ground added up between them."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.workload.ledger import FAST_SPEED_M_S
from racecalc.workload.spans import between_days

__all__ = ["CANTER_FROM_M_S", "PUBLISHED_EDGES", "by_class", "speed_edges"]

# Between a jog, of 8 to 12 mph, and a canter. A choice.
CANTER_FROM_M_S = 5.5

PUBLISHED_EDGES: dict[str, tuple[float, ...]] = {
    # Canter up to 14 m/s, gallop above.
    "verheyen_2006": (14.0,),
    # "15 s/furlong" and "13 s/furlong", where a furlong is 200 m; the printed m/s are cut short.
    "crawford_2021": (200 / 15, 200 / 13),
    # The band of fast work that was tested against injury in two-year-olds.
    "hitchens_2023": (15.5, 16.7),
}
"""Speeds that part one class from the next in print, in metres per second, by source key."""


def speed_edges(
    own_m_s: Sequence[float] = (), fast_speed_m_s: float = FAST_SPEED_M_S
) -> tuple[float, ...]:
    """Return the edges that a report uses: the barn's own, or the published ones.

    Where a canter begins and the fast speed of the barn are always among them, so that no class is
    both fast and slower. The published ones are those above it of the band that a study of fast
    work used.

    Parameters
    ----------
    own_m_s : sequence of float
        The edges that the barn has set, in metres per second; none where it has not.
    fast_speed_m_s : float
        Ground at this speed or above is fast.

    Raises
    ------
    OutOfRangeError
        If the fast speed or an edge is not above that of a jog.

    References
    ----------
    verheyen_2006 (the fast speed); hitchens_2023 (the band).

    Examples
    --------
    >>> speed_edges()
    (5.5, 14.0, 15.5, 16.7)
    """
    above = (edge for edge in PUBLISHED_EDGES["hitchens_2023"] if edge > fast_speed_m_s)
    edges = sorted({fast_speed_m_s, *(own_m_s or above)})
    if not edges[0] > 0:
        raise OutOfRangeError(f"edges {edges} m/s: give speeds above zero")
    return (CANTER_FROM_M_S, *edges) if edges[0] > CANTER_FROM_M_S else tuple(edges)


def by_class(
    ground: pd.DataFrame,
    edges_m_s: Sequence[float],
    first_day: date,
    last_day: date,
    fast_speed_m_s: float = FAST_SPEED_M_S,
) -> tuple[npt.NDArray[np.float64], float]:
    """Return the metres in each class of speed, and those whose speed is not known.

    A piece at an edge counts above it. Swimming is left out. A race without a time counts in the
    class that the fast speed begins, as `ledger` takes it for fast.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`.
    edges_m_s : sequence of float
        The rising edges between classes, in metres per second.
    first_day, last_day : date
        First and last day.
    fast_speed_m_s : float
        Ground at this speed or above is fast.

    Returns
    -------
    tuple of ndarray, shape (edges + 1,), and float
        Metres in the classes, the slowest first; and metres without a speed.

    Raises
    ------
    OutOfRangeError
        If the edges do not rise from above zero.
    """
    edges = np.asarray(edges_m_s, dtype=np.float64)
    _check(edges_m_s)
    inside = between_days(ground, first_day, last_day)
    covered = (inside["activity"].to_numpy() != "swim") & inside["distance_m"].notna().to_numpy()
    speed = inside["speed_m_s"].to_numpy(dtype=np.float64)[covered]
    metres = inside["distance_m"].to_numpy(dtype=np.float64)[covered]
    raced = np.isnan(speed) & (inside["speed_class"].to_numpy()[covered] == "fast")
    known = ~np.isnan(speed) | raced
    numbers = np.searchsorted(edges, np.where(raced, fast_speed_m_s, speed), side="right")
    sums = np.zeros(edges.size + 1)
    np.add.at(sums, numbers[known], metres[known])
    return sums, float(metres[~known].sum())


def _check(edges_m_s: Sequence[float]) -> None:
    rising = all(low < high for low, high in pairwise(edges_m_s))
    if not edges_m_s or not rising or not edges_m_s[0] > 0:
        raise OutOfRangeError(f"edges {list(edges_m_s)} m/s: give speeds that rise from above zero")
