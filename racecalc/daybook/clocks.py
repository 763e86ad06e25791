"""Works and their splits: where they begin and end, and clocks that fit together."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from racecalc.daybook.limits import FASTEST_M_S
from racecalc.daybook.table import Mask, Table
from racecalc.notation import write_clock, write_distance, write_pole
from racecalc.units import FURLONG_M

__all__ = ["check_splits", "check_starts", "link_horses"]

_SAME_PLACE_M = 0.01
# Two hand clocks under fifths may differ by one fifth; more than a second is a slipped digit.
_SAME_CLOCK_S = 0.2 + 1e-6
_WRONG_CLOCK_S = 1.0 + 1e-6

Floats = npt.NDArray[np.float64]


def check_starts(works: Table, tracks: Table) -> None:
    """Refuse works that begin or end behind the finish.

    Works run to the finish or to a pole before it; whole laps may lie between.
    """
    pole, distance = works.values("from_pole_m"), works.values("distance_m")
    behind = pole < 0
    works.flag(
        behind,
        "from_pole",
        lambda i: (
            f"{works.cell(i, 'from_pole')} is behind the finish, where no work breaks off; write "
            "what is left to the finish, such as 7/8"
        ),
    )
    ends = distance - starts(works, tracks)
    works.flag(
        (ends > _SAME_PLACE_M) & ~behind,
        "from_pole",
        lambda i: (
            f"a work of {works.cell(i, 'distance')} from the pole {works.cell(i, 'from_pole')} "
            f"ends {write_distance(float(ends[i]))} behind the finish; correct one of them, and "
            "put ground past the finish into splits"
        ),
    )
    short = (ends < -_SAME_PLACE_M) & ~behind
    works.flag(
        short,
        "from_pole",
        lambda i: (
            f"a work of {works.cell(i, 'distance')} from the pole {works.cell(i, 'from_pole')} "
            f"ends {write_distance(float(-ends[i]))} before the finish; check both"
        ),
        "warning",
    )


def starts(works: Table, tracks: Table) -> Floats:
    """Return what is left to the finish where each work begins, whole laps included, in metres."""
    lap_of = dict(zip(tracks.texts("track"), tracks.values("lap_m"), strict=True))
    lap = np.array([lap_of.get(track, np.nan) for track in works.texts("track")], dtype=np.float64)
    pole, distance = works.values("from_pole_m"), works.values("distance_m")
    laps = np.round((distance - pole) / lap)
    whole = (laps >= 1) & (np.abs(distance - pole - laps * lap) <= _SAME_PLACE_M)
    return np.where(np.isnan(pole) | whole, distance, pole)


def link_horses(splits: Table, works: Table) -> None:
    """Tell the splits whose they are, by way of their work."""
    horse_of = dict(zip(works.texts("work"), works.texts("horse"), strict=True))
    horses = [horse_of.get(work) for work in splits.texts("work")]
    splits.horses = np.array(horses, dtype=object)
    index_of = {int(row): index for index, row in enumerate(splits.frame["row"])}
    splits.problems = [
        problem
        if problem.row not in index_of
        else replace(problem, horse=splits.horse(index_of[problem.row]))
        for problem in splits.problems
    ]


def check_splits(splits: Table, works: Table, tracks: Table) -> None:
    """Refuse the splits of a work whose clocks do not fit together, and say which.

    A split before the work began is refused alone. Where clocks run backwards, stand still or make
    a furlong that no horse has run, all splits of the work are refused, for it is not known which
    is wrong; where they contradict the time of the work, the work is refused as well.
    """
    run = _Run(splits, works, tracks)
    early = run.pole > run.start + _SAME_PLACE_M
    run.flag(early, "pole", lambda i: f"{splits.cell(i, 'pole')} is before the work began")
    began = (np.abs(run.pole - run.start) <= _SAME_PLACE_M) & (run.clock > 0)
    run.flag(began, "pole", lambda i: "the work began here, at zero; leave this row out")
    run.sort()
    _check_sequence(run)
    _check_time(run)


class _Run:
    """The splits that can be followed: position in the table, work, place and clock, in order."""

    def __init__(self, splits: Table, works: Table, tracks: Table) -> None:
        self.splits, self.works = splits, works
        ids = works.texts("work")
        place = {ids[i]: int(i) for i in np.flatnonzero(~works.refused)}
        self.work = np.array([place.get(w, -1) for w in splits.texts("work")], dtype=np.int64)
        start = starts(works, tracks) if len(works) else np.array([np.nan])
        time = works.values("time_s") if len(works) else np.array([np.nan])
        distance = works.values("distance_m") if len(works) else np.array([np.nan])
        known = self.work >= 0
        self.pole, self.clock = splits.values("to_finish_m"), splits.values("clock_s")
        self.start = np.where(known, start[self.work], np.nan)
        self.end = self.start - np.where(known, distance[self.work], np.nan)
        self.time = np.where(known, time[self.work], np.nan)
        self.order = np.zeros(0, dtype=np.int64)

    def flag(self, mask: Mask, column: str, message: Callable[[int], str]) -> None:
        self.splits.flag(mask, column, lambda i: f"{message(i)}; correct the pole or the work")

    def sort(self) -> None:
        """Put the good splits in the order in which they were run."""
        good = np.flatnonzero((self.work >= 0) & ~self.splits.refused)
        self.order = good[np.lexsort((-self.pole[good], self.work[good]))]

    def drop(self, bad: npt.NDArray[np.int64], with_work: bool = False) -> None:
        """Refuse all splits of the works that these splits are of."""
        self.splits.refused |= np.isin(self.work, self.work[bad])
        if with_work:
            self.works.refused[np.unique(self.work[bad])] = True


def _check_sequence(run: _Run) -> None:
    """Compare each split with the one before it, and the first with the start."""
    order = run.order
    if not len(order):
        return
    first = np.r_[True, run.work[order][1:] != run.work[order][:-1]]
    clock_before = np.where(first, 0.0, np.r_[0.0, run.clock[order][:-1]])
    place_before = np.where(first, run.start[order], np.r_[0.0, run.pole[order][:-1]])
    taken, covered = run.clock[order] - clock_before, place_before - run.pole[order]
    bad: list[int] = []
    for k in np.flatnonzero(taken <= 0):
        before = f"{write_clock(float(clock_before[k]), 'hundredths')}"
        run.splits.say(
            int(order[k]),
            "clock",
            f"{run.splits.cell(int(order[k]), 'clock')} is not after {before} at the pole before "
            f"({write_pole(float(place_before[k]))}): the clock runs on from the start of the "
            "work; correct one of them (no split of this work is used)",
        )
        bad.append(int(order[k]))
    fast = (taken > 0) & (covered >= FURLONG_M - 1) & (covered > FASTEST_M_S * taken)
    for k in np.flatnonzero(fast):
        run.splits.say(
            int(order[k]),
            "clock",
            f"{run.splits.cell(int(order[k]), 'clock')} makes {write_distance(float(covered[k]))} "
            f"in {taken[k]:.2f} s, which no horse has run; correct the clock or the pole "
            "(no split of this work is used)",
        )
        bad.append(int(order[k]))
    run.drop(np.array(bad, dtype=np.int64))


def _check_time(run: _Run) -> None:
    """Compare the splits with the time of the whole work."""
    order = run.order[~run.splits.refused[run.order]]
    beyond = run.end[order] - run.pole[order]
    gap = run.clock[order] - run.time[order]
    at_end = np.abs(beyond) <= _SAME_PLACE_M
    slip = at_end & (np.abs(gap) > _SAME_CLOCK_S)
    wrong = slip & (np.abs(gap) > _WRONG_CLOCK_S)
    wrong |= ~at_end & (((beyond < 0) & (gap >= 0)) | ((beyond > 0) & (gap <= 0)))
    for k in np.flatnonzero(slip | wrong):
        index = int(order[k])
        where = "at the end" if at_end[k] else "before the end" if beyond[k] < 0 else "past the end"
        work = int(run.work[index])
        run.splits.say(
            index,
            "clock",
            f"{run.splits.cell(index, 'clock')} {where} of the work does not fit its time "
            f"({run.works.cell(work, 'time')}, row {run.works.row(work)} of works); correct one "
            f"of them{' (the work is not used)' if wrong[k] else ''}",
            "error" if wrong[k] else "warning",
        )
    run.drop(order[wrong], with_work=True)
