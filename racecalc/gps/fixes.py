"""The fixes of a file: put in order, laid on the track, and asked where and when they were made."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.gps.anchor import Anchor, to_track
from racecalc.track import Oval, along

__all__ = ["FEWEST", "Finding", "Fixes", "fixes_of", "speed_of"]

FloatArray = npt.NDArray[np.float64]

# Fewer fixes on the track than that are no work.
FEWEST = 10
# How far beyond the rails a fix may fall and still be one of a horse on the track, in metres; and
# how wide a track is taken to be whose width is not known.
BESIDE_M = 15.0
WIDEST_M = 40.0
# Fixes nearer to each other than that say nothing new.
NEAREST_S = 0.05
# Half the time over which the speed is taken that finds stretches, in seconds.
_SPEED_S = 2.5


@dataclass(frozen=True)
class Finding:
    """Something that a file showed: a code for programs, a finished sentence for people."""

    code: str
    sentence: str


@dataclass(frozen=True)
class Fixes:
    """Fixes that lie on the track, in order of time.

    ``time_s`` counts from the first fix of the file; ``gone_m`` is the way along the
    measuring line, growing in the direction of running from lap to lap, zero at a finish;
    ``out_m`` is the distance outside the line. ``middle`` is the middle
    time of all fixes, ``usable`` is how many fixes of the file had a time
    and a position, ``far_m`` how far off the track they lay in the middle of them.
    """

    time_s: FloatArray
    gone_m: FloatArray
    out_m: FloatArray
    interval_s: float
    middle: Any
    usable: int
    far_m: float


def fixes_of(points: pd.DataFrame, oval: Oval, anchor: Anchor) -> tuple[Fixes, list[Finding]]:
    """Return the fixes on the track, and what had to be done to get them."""
    found = []
    stamps = pd.DatetimeIndex(points["time"])
    stamps = (stamps.tz_convert(None) if stamps.tz is not None else stamps).as_unit("ns")
    x, y = to_track(oval, anchor, points["latitude"], points["longitude"])
    known = np.isfinite(x) & ~np.asarray(stamps.isna())
    if not known.all():
        found.append(_finding_unusable(len(known), int(np.sum(~known))))
    stamps, x, y = stamps[known], x[known], y[known]
    began = stamps.min() if len(stamps) else pd.NaT
    times = np.asarray((stamps - began).asi8, dtype=np.float64) / 1e9
    order = np.argsort(times, kind="stable")
    kept = order[_apart(times[order])]
    backward, dropped = int(np.sum(np.diff(times) < 0)), len(times) - len(kept)
    if backward or dropped:
        found.append(_finding_times(len(times), backward, dropped))
    left, out = along(oval, x[kept], y[kept])
    width = WIDEST_M if oval.width_m is None else oval.width_m
    on = (out >= -oval.rail_offset_m - BESIDE_M) & (out <= width - oval.rail_offset_m + BESIDE_M)
    beside = np.abs(out - width / 2) - width / 2
    time = times[kept][on]
    gone = -np.unwrap(left[on], period=oval.lap_m)
    return Fixes(
        time_s=time,
        gone_m=gone,
        out_m=out[on],
        interval_s=max(float(np.median(np.diff(time))), NEAREST_S) if len(time) > 1 else np.nan,
        middle=began + pd.Timedelta(seconds=float(np.median(times))) if len(times) else pd.NaT,
        usable=len(kept),
        far_m=float(np.median(beside)) if len(kept) else float("nan"),
    ), found


def _apart(times: FloatArray) -> npt.NDArray[np.bool_]:
    """Return which of the times to keep: the first of each twentieth of a second."""
    cell = np.floor(times / NEAREST_S + 1e-6)
    return np.concatenate([np.ones(min(len(cell), 1), dtype=bool), np.diff(cell) > 0])


def _finding_unusable(count: int, lost: int) -> Finding:
    return Finding(
        "unusable", f"{lost} of {count} fixes have no usable time or position and were left out."
    )


def _finding_times(count: int, backward: int, dropped: int) -> Finding:
    said = []
    if backward:
        said.append(f"the time goes backwards {backward} times, so the fixes were put in order")
    if dropped:
        said.append(f"{dropped} share their time with another fix and were left out")
    return Finding("times", f"Of {count} fixes, {' and '.join(said)}.")


def speed_of(fixes: Fixes) -> FloatArray:
    """Return the speed along the track at each fix, taken over five seconds; backwards below 0."""
    if len(fixes.time_s) < 2:
        return np.zeros(len(fixes.time_s))
    half = max(_SPEED_S, fixes.interval_s)
    before = np.maximum(fixes.time_s - half, fixes.time_s[0])
    after = np.minimum(fixes.time_s + half, fixes.time_s[-1])
    went = np.interp(after, fixes.time_s, fixes.gone_m) - np.interp(
        before, fixes.time_s, fixes.gone_m
    )
    return np.asarray(went / (after - before))
