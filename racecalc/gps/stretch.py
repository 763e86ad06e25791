"""Which stretch of a file is the work: from its start place to its end place, the quickest time."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.gps.fixes import Fixes, speed_of

__all__ = ["GALLOP_M_S", "Stretch", "backward_m", "other_work_m", "stretches"]

FloatArray = npt.NDArray[np.float64]

# Faster than that is a gallop, and no horse goes faster than the other (practice, no source).
GALLOP_M_S = 10.0
FASTEST_M_S = 25.0
# A second work goes at this part of the speed of the first, over this way (two furlongs); between
# two works a horse slows down to this part of the speed.
SECOND_SPEED = 0.9
SECOND_M = 402.336
PULLED_UP = 0.6
# A file that begins late or ends early must hold this part of the work.
PART_OF_WORK = 0.25


@dataclass(frozen=True)
class Stretch:
    """A pass over the ground of a work.

    ``first`` is the last fix before the start, -1 where the file begins after it; ``last`` is the
    first fix past the end, the number of fixes where the file ends before it. ``start_m`` is the
    place of the start as ``Fixes.gone_m`` counts.
    """

    first: int
    last: int
    start_m: float
    time_s: float
    way_m: float

    @property
    def speed_m_s(self) -> float:
        """Mean speed."""
        return self.way_m / self.time_s


def stretches(fixes: Fixes, lap_m: float, start_m: float, distance_m: float) -> list[Stretch]:
    """Return every pass from the start place to the end place, the quickest first.

    Where there is no whole pass, the parts of one are returned that the file begins or ends in.
    The last time that a horse is at the start before it comes to the end is the one that counts.
    """
    begun = _crossings(fixes, lap_m, -start_m)
    ended = _crossings(fixes, lap_m, distance_m - start_m)
    events = sorted([(i, 0, k) for i, k in begun] + [(i, 1, k) for i, k in ended])
    open_at: dict[int, int] = {}
    whole, part = [], []
    for index, is_end, lap in events:
        place = lap * lap_m - start_m
        if not is_end:
            open_at[lap] = index
        elif lap in open_at:
            whole.append(_stretch(fixes, open_at.pop(lap), index + 1, place, distance_m))
        elif place <= fixes.gone_m[0] < place + distance_m:
            part.append(_stretch(fixes, -1, index + 1, place, distance_m))
    count = len(fixes.time_s)
    for lap, index in open_at.items():
        place = lap * lap_m - start_m
        if place < fixes.gone_m[-1] < place + distance_m:
            part.append(_stretch(fixes, index, count, place, distance_m))
    if count:
        place = np.floor((fixes.gone_m[0] + start_m) / lap_m) * lap_m - start_m
        if fixes.gone_m.max() < place + distance_m and fixes.gone_m.min() >= place:
            part.append(_stretch(fixes, -1, count, place, distance_m))
    good = [s for s in whole if s.time_s > 0 and s.speed_m_s <= FASTEST_M_S]
    if not good:
        good = [
            s for s in part
            if s.time_s > 0 and GALLOP_M_S <= s.speed_m_s <= FASTEST_M_S
            and s.way_m >= PART_OF_WORK * distance_m
        ]  # fmt: skip
    return sorted(good, key=lambda s: (-s.speed_m_s, s.first))


def _crossings(fixes: Fixes, lap_m: float, place_m: float) -> list[tuple[int, int]]:
    """Return where a place is passed forwards: the fix before it, and in which lap."""
    laps = np.floor((fixes.gone_m - place_m) / lap_m)
    before = np.flatnonzero(np.diff(laps) > 0)
    return [(int(i), int(laps[i + 1])) for i in before]


def _stretch(fixes: Fixes, first: int, last: int, start_m: float, distance_m: float) -> Stretch:
    count = len(fixes.time_s)
    from_m = start_m if first >= 0 else float(fixes.gone_m[0])
    to_m = start_m + distance_m if last < count else float(fixes.gone_m[-1])
    began = _when(fixes, first, from_m) if first >= 0 else float(fixes.time_s[0])
    ended = _when(fixes, last - 1, to_m) if last < count else float(fixes.time_s[-1])
    return Stretch(first, last, start_m, ended - began, to_m - from_m)


def _when(fixes: Fixes, before: int, place_m: float) -> float:
    """Return when a place between a fix and the next was passed."""
    pair = slice(before, before + 2)
    return float(np.interp(place_m, fixes.gone_m[pair], fixes.time_s[pair]))


def backward_m(fixes: Fixes) -> float:
    """Return how far the horse galloped against the direction of running."""
    against = -speed_of(fixes)
    fast = (against >= GALLOP_M_S) & (against <= FASTEST_M_S)
    return float(-np.diff(fixes.gone_m)[fast[1:] & fast[:-1]].sum())


def other_work_m(fixes: Fixes, chosen: list[Stretch]) -> float:
    """Return how far the horse went as fast as in the work, apart from the work; 0 for nowhere.

    ``chosen`` are the passes of `stretches`, the work first. Another pass counts as soon as it
    shares no fix with the work; another stretch if the horse was pulled up in between, and went two
    furlongs of it at nine tenths of the speed of the work.
    """
    work = chosen[0]
    for other in chosen[1:]:
        apart = other.last <= work.first + 1 or other.first >= work.last - 1
        if apart and other.speed_m_s >= SECOND_SPEED * work.speed_m_s:
            return other.way_m
    speed = speed_of(fixes)
    going = speed >= PULLED_UP * work.speed_m_s
    bout = np.cumsum(np.diff(going, prepend=False))
    ours = np.unique(bout[max(work.first, 0) : work.last + 1])
    fast = (speed >= SECOND_SPEED * work.speed_m_s) & (speed <= FASTEST_M_S) & ~np.isin(bout, ours)
    way = np.diff(fixes.gone_m, prepend=fixes.gone_m[:1])
    by_bout = np.bincount(bout[fast], weights=way[fast], minlength=1)
    return float(by_bout.max()) if by_bout.max() >= SECOND_M else 0.0
