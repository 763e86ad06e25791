"""A horse that is ridden around an oval, and what a receiver on it would write down."""

from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd
from geographiclib.geodesic import Geodesic

from racecalc.gps import Anchor
from racecalc.track import Oval, oval, positions

FOOT_M, FURLONG_M = 0.3048, 201.168
DAY = date(2026, 10, 6)
ANCHOR = Anchor(39.5, -86.0, 68.0)


def mile(hand: str = "left", width: float | None = 80 * FOOT_M) -> Oval:
    return oval(5280 * FOOT_M, 1320 * FOOT_M, 285 * FOOT_M, hand=hand, width=width)


@dataclass(frozen=True)
class Ride:
    """Where the horse truly was: what it had left to the finish at each hundredth of a second."""

    time_s: np.ndarray
    to_finish_m: np.ndarray

    def passing_s(self, to_finish_m: float) -> float:
        """When it was last there; rides in these tests go forward from their start place on."""
        return float(np.interp(-to_finish_m, -self.to_finish_m, self.time_s))


def ride(
    start_m: float,
    distance_m: float,
    furlong_s: float = 12.0,
    jog_s: float = 60.0,
    after_s: float = 60.0,
    canter_m_s: float = 8.0,
    wave: float = 0.04,
) -> Ride:
    """Return a jog, a work with a wave in its pace, a gallop-out and a jog.

    The horse breaks off over six seconds around the start place.
    """
    step = 0.01
    pace = FURLONG_M / furlong_s
    work_s = distance_m / pace
    time = np.arange(-jog_s, work_s + after_s, step)
    ramp = np.clip((time + 3) / 6, 0, 1)
    fast = pace * (1 + wave * np.sin(2 * np.pi * time / 40))
    speed = canter_m_s + (fast - canter_m_s) * (1 - np.cos(np.pi * ramp)) / 2
    speed = np.where(time < -20, 4.0 + (canter_m_s - 4.0) * np.clip((time + 24) / 4, 0, 1), speed)
    after = np.clip(time - work_s, 0, None)
    speed = np.where(after > 0, 5.0 + (speed - 5.0) * np.exp(-after / 25), speed)
    gone = np.cumsum(speed) * step
    gone -= np.interp(0.0, time, gone)
    return Ride(time + jog_s, start_m - gone)


def joined(*rides: Ride) -> Ride:
    """Return rides one after the other, each moved to begin where the one before ended."""
    time, left = [rides[0].time_s], [rides[0].to_finish_m]
    for later in rides[1:]:
        time.append(later.time_s + time[-1][-1] + 0.01)
        left.append(later.to_finish_m)
    return Ride(np.concatenate(time), np.concatenate(left))


@dataclass(frozen=True)
class Receiver:
    """A receiver: its rate, its noise on each axis, and how far that lasts."""

    interval_s: float = 1.0
    sigma_m: float = 1.5
    lasting_s: float = 0.0
    phase_s: float = 0.37
    drop_s: tuple[tuple[float, float], ...] = field(default=())

    def errors(self, count: int, chance: np.random.Generator) -> np.ndarray:
        white = chance.normal(0.0, self.sigma_m, (count, 2))
        if not self.lasting_s:
            return white
        keep = np.exp(-self.interval_s / self.lasting_s)
        made = white.copy()
        for row in range(1, count):
            made[row] = keep * made[row - 1] + np.sqrt(1 - keep**2) * white[row]
        return made


def file_of(
    track: Oval,
    anchor: Anchor,
    truth: Ride,
    receiver: Receiver = Receiver(),
    seed: int = 0,
    out_m=0.0,
    start: str = "2026-10-06T11:30:00",
) -> pd.DataFrame:
    """Return the fixes of a ride; ``out_m`` is a number, or a function of what is left."""
    times = np.arange(truth.time_s[0] + receiver.phase_s, truth.time_s[-1], receiver.interval_s)
    left = np.interp(times, truth.time_s, truth.to_finish_m)
    out = out_m(left) if callable(out_m) else out_m
    east, north = on_the_ground(track, anchor, left, out)
    noise = receiver.errors(len(times), np.random.default_rng(seed))
    latitude, longitude = degrees(anchor, east + noise[:, 0], north + noise[:, 1])
    kept = np.ones(len(times), dtype=bool)
    for first, last in receiver.drop_s:
        kept &= (times < first) | (times > last)
    stamps = pd.Timestamp(start) + pd.to_timedelta(np.round(times * 1e3), unit="ms")
    points = pd.DataFrame({"time": stamps, "latitude": latitude, "longitude": longitude})
    points["time"] = points["time"].astype("datetime64[ns]")
    return points[kept].reset_index(drop=True)


def on_the_ground(track: Oval, anchor: Anchor, left: np.ndarray, out) -> tuple:
    """Return metres east and north of the anchor: drawn, moved to the anchor, turned."""
    drawn = positions(track, left, out)
    offset = 0.0 if track.width_m is None else track.width_m / 2 - track.rail_offset_m
    finish = positions(track, 0.0, offset)
    plane = (drawn["x_m"] - finish["x_m"][0]) + 1j * (drawn["y_m"] - finish["y_m"][0])
    heading = 90.0 - anchor.bearing_deg  # counter-clockwise from east
    turn = np.radians(heading - finish["heading_deg"][0])
    moved = plane.to_numpy() * np.exp(1j * turn)
    return moved.real, moved.imag


def degrees(anchor: Anchor, east: np.ndarray, north: np.ndarray) -> tuple:
    """Return latitude and longitude, by a geodesic library of its own."""
    found = [
        Geodesic.WGS84.Direct(
            anchor.latitude_deg, anchor.longitude_deg,
            float(np.degrees(np.arctan2(x, y))), float(np.hypot(x, y)),
        )
        for x, y in zip(east, north, strict=True)
    ]  # fmt: skip
    return np.array([f["lat2"] for f in found]), np.array([f["lon2"] for f in found])
