"""Classes of speed: the edges in print, and ground added up between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.workload.ledger import FAST_SPEED_M_S
from racecalc.workload.spans import inside

__all__ = ["CANTER_FROM_M_S", "PUBLISHED_EDGES", "Classed", "by_class", "classed", "speed_edges"]

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


@dataclass(frozen=True, eq=False)
class Classed:
    """Pieces of ground with the class of speed of each, to be added up over several spans.

    ``classes`` counts them, the slowest is 0. Of a piece without a speed ``number`` is -1, and of
    one that is not counted ``metres`` is nan.
    """

    days: npt.NDArray[np.datetime64]
    metres: npt.NDArray[np.float64]
    number: npt.NDArray[np.intp]
    classes: int

    def between(
        self, first_day: date, last_day: date
    ) -> tuple[npt.NDArray[np.float64], float, int]:
        """Return what `by_class` does, and the number of all pieces in the span."""
        rows = inside(self.days, first_day, last_day)
        metres, number = self.metres[rows], self.number[rows]
        counted = ~np.isnan(metres)
        known = counted & (number >= 0)
        sums = np.zeros(self.classes)
        np.add.at(sums, number[known], metres[known])
        return sums, float(metres[counted & ~known].sum()), len(metres)


def classed(
    ground: pd.DataFrame, edges_m_s: Sequence[float], fast_speed_m_s: float = FAST_SPEED_M_S
) -> Classed:
    """Return the class of speed of each piece of ground, as `by_class` counts them.

    Parameters
    ----------
    ground, edges_m_s, fast_speed_m_s
        As for `by_class`.

    Raises
    ------
    OutOfRangeError
        If the edges do not rise from above zero.
    """
    _check(edges_m_s)
    swum = ground["activity"].to_numpy() == "swim"
    speed = ground["speed_m_s"].to_numpy(dtype=np.float64)
    unknown = np.isnan(speed)
    raced = unknown & (ground["speed_class"].to_numpy() == "fast")
    number = np.searchsorted(edges_m_s, np.where(raced, fast_speed_m_s, speed), side="right")
    metres = ground["distance_m"].to_numpy(dtype=np.float64)
    return Classed(
        ground["date"].to_numpy(dtype="datetime64[ns]"),
        np.where(swum, np.nan, metres),
        np.where(unknown & ~raced, -1, number),
        len(edges_m_s) + 1,
    )


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
    sums, unknown, _ = classed(ground, edges_m_s, fast_speed_m_s).between(first_day, last_day)
    return sums, unknown


def _check(edges_m_s: Sequence[float]) -> None:
    rising = all(low < high for low, high in pairwise(edges_m_s))
    if not edges_m_s or not rising or not edges_m_s[0] > 0:
        raise OutOfRangeError(f"edges {list(edges_m_s)} m/s: give speeds that rise from above zero")
