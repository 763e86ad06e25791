"""A work as a GPS receiver saw it: pole times, speed, path, and what is to be known of the file."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import gps
from racecalc.digest.number import Number
from racecalc.digest.work_model import Work
from racecalc.notation import write_pole

__all__ = ["Trace", "TracePole", "trace_of"]

_FOLLOW = "racecalc.gps.follow"
_SAME_PLACE_M = 0.5
_CLOSE_M = 150.0
# Silence of the receiver for longer than this, and than three intervals, is a gap; places are
# smoothed over some seconds, so that speeds beside one are not to be trusted.
_GAP_S = 3.0
_NEAR_GAP_S = 5.0


@dataclass(frozen=True)
class TracePole:
    """A pole, the clock there by the receiver, its error, and the clock less the watch.

    ``differs`` tells whether receiver and watch lie further apart than both their errors.
    """

    pole: str
    colour: str | None
    to_finish_m: float
    clock: Number
    error: Number
    against_watch: Number | None
    differs: bool


@dataclass(frozen=True)
class Trace:
    """What the file of a receiver says about a work.

    ``places`` are what is left to the finish, ``speeds_m_s`` and ``outs_m`` the speed and the
    distance outside the measuring line there, ``pieces`` numbers the stretches between gaps;
    ``ticks`` are the poles of the work with what is left there. All are empty, as ``poles``,
    where the file is not of the
    work. ``findings`` are finished sentences.
    """

    poles: tuple[TracePole, ...]
    ticks: tuple[tuple[str, float], ...]
    places_m: tuple[float, ...]
    pieces: tuple[int, ...]
    speeds_m_s: tuple[float, ...]
    outs_m: tuple[float, ...]
    top_speed: Number | None
    out: Number | None
    extra: Number | None
    interval: Number | None
    noise: Number | None
    findings: tuple[str, ...]


def trace_of(
    points: pd.DataFrame, row: Mapping[Any, Any], work: Work, watch_error_s: float
) -> Trace | None:
    """Return what a receiver's file says about a work; none where there is no file.

    Parameters
    ----------
    points : DataFrame
        ``work``, ``time``, ``latitude_deg``, ``longitude_deg`` of the horse's files.
    row : mapping
        The row of the work's track in the table of tracks.
    work : Work
        The work.
    watch_error_s : float
        How far a running time by the watch may lie from the true one, in seconds.
    """
    own = points[points["work"] == work.id]
    oval = work.course.oval
    place = [row["latitude_deg"], row["longitude_deg"], row["bearing_deg"]]
    if own.empty:
        return None
    if oval is None or any(pd.isna(place)) or work.start_in is not None:
        return _unlaid(work)
    found = gps.follow(
        own.rename(columns={"latitude_deg": "latitude", "longitude_deg": "longitude"}),
        oval,
        gps.Anchor(*(float(value) for value in place)),
        work.distance.value,
        work.start_m,
        work.day,
        _spacing(work),
    )
    curve = found.curve.dropna()
    number = _numbers_of(work.id, len(own))
    pieces, sure = _apart(curve["time_s"].to_numpy(), found.interval_s)
    inside = curve[sure & (curve["to_finish_m"] >= work.end_m - _SAME_PLACE_M).to_numpy()]
    return Trace(
        poles=_poles(found.poles, work, watch_error_s, len(own)),
        ticks=tuple(
            (write_pole(round(place_m, 6)), place_m)
            for place_m in found.poles["to_finish_m"].tolist()
            if work.end_m - _SAME_PLACE_M <= place_m < work.start_m - _SAME_PLACE_M
        ),
        places_m=tuple(curve["to_finish_m"].tolist()),
        pieces=tuple(pieces.tolist()),
        speeds_m_s=tuple(curve["speed_m_s"].tolist()),
        outs_m=tuple(curve["out_m"].tolist()),
        top_speed=number("top_speed", inside["speed_m_s"].max(), "speed"),
        out=number("out", found.out_m, "signed_offset"),
        extra=number("extra", found.extra_m, "signed_offset"),
        interval=number("interval", found.interval_s, "tenths"),
        noise=number("noise", found.noise_m, "scatter"),
        findings=tuple(finding.sentence for finding in found.findings),
    )


def _apart(
    time_s: "npt.NDArray[np.float64]", interval_s: float
) -> "tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]":
    """Tell the stretches between gaps apart by number, and which fixes lie clear of any gap."""
    gaps = np.diff(time_s, prepend=time_s[:1]) > max(_GAP_S, 3 * interval_s)
    edges = np.concatenate([time_s[gaps], time_s[np.flatnonzero(gaps) - 1]])
    near = np.abs(time_s[:, None] - edges[None, :]) < _NEAR_GAP_S
    return np.cumsum(gaps), ~near.any(axis=1)


def _unlaid(work: Work) -> Trace:
    """Return a trace that says why a file is not laid on the track."""
    where = f"The GPS file of this work is not laid on {work.track}: "
    why = (
        "it began in a chute, which only pictures know yet."
        if work.start_in
        else "fill straight, finish_to_turn, latitude, longitude and bearing in tracks."
    )
    return Trace((), (), (), (), (), (), None, None, None, None, None, (where + why,))


def _spacing(work: Work) -> float:
    """Return how far apart the poles are that are told of: every sixteenth would be too many."""
    spacing = work.course.spacing_m
    return 2 * spacing if spacing < _CLOSE_M else spacing


def _numbers_of(work: str, fixes: int) -> Any:
    def number(key: str, value: float, kind: str) -> Number | None:
        if not np.isfinite(value):
            return None
        return Number(f"works.{work}.gps.{key}", float(value), kind, _FOLLOW, fixes)

    return number


def _poles(
    poles: pd.DataFrame, work: Work, watch_error_s: float, fixes: int
) -> tuple[TracePole, ...]:
    known = poles[poles["clock_s"].notna() & (poles["to_finish_m"] < work.start_m - _SAME_PLACE_M)]
    return tuple(_pole(row, work, watch_error_s, fixes) for row in known.to_dict("records"))


def _pole(row: Mapping[Any, Any], work: Work, watch_error_s: float, fixes: int) -> TracePole:
    to_finish_m = round(float(row["to_finish_m"]), 6)
    pole = write_pole(to_finish_m)
    name = f"works.{work.id}.gps.{pole}"
    clock_s, error_s = float(row["clock_s"]), float(row["error_s"])
    watch = _watch(work, to_finish_m)
    apart = None if watch is None else clock_s - watch
    return TracePole(
        pole=pole,
        colour=work.course.colour_at(to_finish_m),
        to_finish_m=to_finish_m,
        clock=Number(name, clock_s, "tenths_clock", _FOLLOW, fixes),
        error=Number(f"{name}.error", error_s, "small_time", _FOLLOW, fixes),
        against_watch=None
        if apart is None
        else Number(f"{name}.against_watch", apart, "time_difference", _FOLLOW, fixes),
        differs=apart is not None and abs(apart) > math.hypot(error_s, watch_error_s),
    )


def _watch(work: Work, to_finish_m: float) -> float | None:
    """Return the running time of the watch at a place, where it was clocked."""
    for section in work.sections:
        if abs(section.to_finish_m - to_finish_m) < _SAME_PLACE_M:
            return section.clock.value
    if work.time and abs(work.end_m - to_finish_m) < _SAME_PLACE_M:
        return work.time.value
    return None
