"""Recorded tracks of two works, as a receiver in the saddle cloth would write them.

Each horse jogs the wrong way on the outside, turns, runs up to the pole, works along the line where
the lap is measured, gallops out and walks. Where it is when follows the clocker's own splits.
"""

import math
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from racecalc.notation import read_clock, read_pole
from racecalc.track import Oval, oval, positions
from sample_stable.barn import Track
from sample_stable.calendar import chance
from sample_stable.works import Work, split_rows
from sample_stable.writing import METRES_PER_FURLONG

__all__ = ["files"]

Floats = npt.NDArray[np.float64]

# The morning's second (in UTC; the clocks at this longitude are five hours behind in October) at
# which a work begins, and the seconds into it between which the receiver was silent.
_RECORDED = {
    "LD-261028": ((12, 20, 7.4), None),
    "CF-261022": ((12, 41, 52.7), (21.0, 29.0)),
}
_METRES_PER_FOOT = 0.3048
_RAIL_OFFSET_M = 3 * _METRES_PER_FOOT
# A watch in fifths shows the last fifth that was full.
_HALF_A_FIFTH_S = 0.1

# Seconds before the work begins, and metres before its pole: jogging the wrong way, so away from
# the finish; standing; turning; the run-up of about a furlong.
_BEFORE = (
    *((-520.0, 1315.0), (-400.0, 905.0), (-280.0, 500.0), (-160.0, 90.0), (-62.0, -222.0)),
    *((-55.0, -228.0), (-45.0, -230.0), (-35.0, -227.0), (-26.0, -205.0), (-14.0, -137.0)),
    *((-8.0, -83.0), (-4.0, -43.0), (0.0, 0.0)),
)
# Seconds and metres after the quarter pole past the finish: pulling up, and home at a walk.
_AFTER = (
    *((10.0, 105.0), (22.0, 205.0), (38.0, 300.0), (58.0, 375.0), (85.0, 440.0), (120.0, 502.0)),
    *((300.0, 810.0),),
)
# Metres outside the measuring line: before the work, and after the quarter pole past the finish.
_OUT_BEFORE = (
    *((-520.0, 17.5), (-62.0, 18.0), (-52.0, 16.5), (-40.0, 11.0), (-26.0, 4.0), (-12.0, 1.2)),
    (0.0, 1.0),
)
_OUT_AFTER = ((0.0, 1.4), (40.0, 6.0), (90.0, 11.0), (300.0, 12.0))

# Scatter of a receiver's fixes, east and north each, and how much of it the next one keeps.
_SCATTER_M, _KEPT = 1.5, 0.7

# The WGS 84 ellipsoid: half the longer axis in metres, and the flattening.
_AXIS_M, _FLATTENING = 6_378_137.0, 1 / 298.257223563


def files(works: list[Work]) -> dict[str, str]:
    """Return the recorded tracks: the name of each file, and its text."""
    return {
        f"{work.id}.gpx": _text(work, _fixes(work, *_RECORDED[work.id]))
        for work in works
        if work.id in _RECORDED
    }


def _fixes(
    work: Work, start: tuple[int, int, float], silent: tuple[float, float] | None
) -> Iterator[tuple[datetime, float, float]]:
    """Yield the time, latitude and longitude of each second that was recorded."""
    hour, minute, second = start
    whole = datetime(work.on.year, work.on.month, work.on.day, hour, minute, tzinfo=UTC)
    ground, out = _motion(work)
    first, last = _BEFORE[0][0], float(ground.x[-1])
    ticks = np.arange(math.ceil(first + second), math.floor(last + second) + 1)
    into = ticks - second
    track = _oval(work.track)
    left = work.furlongs * METRES_PER_FURLONG - ground(into)
    east, north = _on_the_map(work.track, track, left, out(into))
    rng = chance("gps", work.id)
    east, north = east + _scatter(len(ticks), rng), north + _scatter(len(ticks), rng)
    latitude, longitude = _degrees(work.track, east, north)
    for tick, since, *place in zip(ticks, into, latitude, longitude, strict=True):
        if silent is None or not silent[0] < since < silent[1]:
            yield whole + timedelta(seconds=int(tick)), *place


def _motion(work: Work) -> tuple[Any, Callable[[Floats], Floats]]:
    """Return the metres gone since the pole, and metres outside the line, by the second."""
    total = work.furlongs * METRES_PER_FURLONG
    clocked = [
        (float(read_clock(clock, "fifths")) + _HALF_A_FIFTH_S, total - float(read_pole(pole)))
        for _, pole, clock, _ in split_rows([work])
    ]
    over_s, over_m = clocked[-1]
    after = [(over_s + since, over_m + gone) for since, gone in _AFTER]
    outside = [*_OUT_BEFORE, *((over_s + since, out) for since, out in _OUT_AFTER)]
    ground, out = (np.array(knots).T for knots in ([*_BEFORE, *clocked, *after], outside))
    return PchipInterpolator(*ground), PchipInterpolator(*out)


def _oval(track: Track) -> Oval:
    feet = (track.lap_ft, track.straight_ft, track.finish_to_turn_ft)
    return oval(*(length * _METRES_PER_FOOT for length in feet), rail_offset=_RAIL_OFFSET_M)


def _on_the_map(track: Track, course: Oval, left: Floats, out: Floats) -> tuple[Floats, Floats]:
    """Return metres east and north of the middle of the finish line."""
    middle_m = track.width_ft / 2 * _METRES_PER_FOOT - _RAIL_OFFSET_M
    finish = positions(course, 0.0, middle_m).iloc[0]
    placed = positions(course, left, out)
    ahead = (placed["x_m"] - finish["x_m"]).to_numpy()
    inward = (placed["y_m"] - finish["y_m"]).to_numpy()
    bearing = math.radians(float(track.bearing))
    sine, cosine = math.sin(bearing), math.cos(bearing)
    # On a left-handed track the infield lies to the left of the home straight's heading.
    return ahead * sine - inward * cosine, ahead * cosine + inward * sine


def _scatter(count: int, rng: Random) -> Floats:
    """Return deviations of fixes in metres, each keeping some of the one before."""
    fresh = _SCATTER_M * math.sqrt(1 - _KEPT**2)
    found = [rng.gauss(0, _SCATTER_M)]
    for _ in range(count - 1):
        found.append(_KEPT * found[-1] + rng.gauss(0, fresh))
    return np.array(found)


def _degrees(track: Track, east: Floats, north: Floats) -> tuple[list[float], list[float]]:
    """Return latitudes and longitudes by the ellipsoid's two radii of curvature at the finish."""
    latitude = math.radians(float(track.latitude))
    squared = _FLATTENING * (2 - _FLATTENING)
    root = math.sqrt(1 - squared * math.sin(latitude) ** 2)
    along_meridian_m = _AXIS_M * (1 - squared) / root**3
    along_parallel_m = _AXIS_M / root * math.cos(latitude)
    return (
        (float(track.latitude) + np.degrees(north / along_meridian_m)).tolist(),
        (float(track.longitude) + np.degrees(east / along_parallel_m)).tolist(),
    )


def _text(work: Work, fixes: Iterator[tuple[datetime, float, float]]) -> str:
    points = [
        f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}"><time>{time:%Y-%m-%dT%H:%M:%SZ}</time>'
        "</trkpt>\n"
        for time, latitude, longitude in fixes
    ]
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="sample stable" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<trk><name>{work.id}</name><trkseg>\n{''.join(points)}</trkseg></trk>\n</gpx>\n"
    )
