"""What a value can be: impossible ones are errors, unlikely ones are warnings and still used.

The limits are this project's own choice, set wide around what is published or common practice;
they catch a slipped digit or a wrong unit and are no judgement of a horse.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.daybook.table import Mask, Table
from racecalc.units import FURLONG_M

__all__ = ["FASTEST_M_S", "check_limits", "check_races", "check_speeds"]

FASTEST_M_S = 20.5
"""No mean speed over a furlong or more is higher; the fastest quarter miles are near 20.2 m/s."""

_SLOWEST_WORK_S_F = 20.0
_QUICKEST_4F_S_F = 10.8
_QUICKEST_8F_S_F = 11.4
# The slowest and the quickest of each activity, in metres per second.
_ACTIVITY_SPEEDS_M_S = {
    "walk": (0.0, 2.5),
    "jog": (1.5, 7.5),
    "canter": (3.0, 16.0),
    "gallop": (6.0, FASTEST_M_S),
    "race": (9.0, FASTEST_M_S),
}


@dataclass(frozen=True)
class _Limit:
    """A range that a field must be in; ``above`` leaves the lower end out."""

    field: str
    column: str
    low: float
    high: float
    said: str
    above: bool = False
    level: str = "error"

    def outside(self, table: Table) -> Mask:
        values = table.values(self.field)
        low = values <= self.low if self.above else values < self.low
        return np.asarray(low | (values > self.high), dtype=np.bool_)


_PERCENT = "a percentage is 0 to 100"
_AIR = (
    _Limit("tmin_c", "tmin", -60, 60, "air is between -60 and 60 °C"),
    _Limit("tmax_c", "tmax", -60, 60, "air is between -60 and 60 °C"),
    _Limit("wind_m_s", "wind", 0, 90, "wind is at most 90 m/s"),
    _Limit("rh_min_pct", "rh_min", 0, 100, _PERCENT),
    _Limit("rh_max_pct", "rh_max", 0, 100, _PERCENT),
)
_RAIN = (
    _Limit("rain_mm", "rain", 0, 1000, "rain is at most 1000 mm"),
    _Limit("rain_mm", "rain", 0, 200, "more than 200 mm is rare", level="warning"),
)
_SPEED = _Limit("speed_m_s", "speed", 0, FASTEST_M_S, "no horse exceeds 20.5 m/s", above=True)

_LIMITS: Mapping[str, tuple[_Limit, ...]] = {
    "shares": (
        _Limit("percent", "percent", 0, 100, "a share is more than 0 and at most 100", above=True),
    ),
    "tracks": (
        _Limit("lap_m", "lap", 200, 6000, "a lap is 200 m to 6000 m"),
        _Limit("straight_m", "straight", 0, 3000, "a straight is at most 3000 m", above=True),
        _Limit("width_m", "width", 2, 200, "a track is 2 m to 200 m wide"),
        _Limit(
            "rail_offset_m", "rail_offset", 0, 20, "the lap is measured within 20 m of the rail"
        ),
        _Limit("latitude_deg", "latitude", -90, 90, "latitude is -90 to 90 degrees"),
        _Limit("longitude_deg", "longitude", -180, 180, "longitude is -180 to 180 degrees"),
        _Limit("bearing_deg", "bearing", 0, 360, "a bearing is 0 to 360 degrees"),
    ),
    "exercise": (
        _Limit("distance_m", "distance", 0, 60_000, "a piece of the day is at most 60 km"),
        _Limit("time_s", "time", 0, 86_400, "a time is more than zero, at most a day", above=True),
    ),
    "works": (
        _Limit("distance_m", "distance", 0, 8000, "a work is more than zero, to 8 km", above=True),
        _Limit("distance_m", "distance", 200, 3300, "works are 1 f to 2 mi", level="warning"),
        _Limit("time_s", "time", 0, 1800, "a work takes more than zero, to 30 min", above=True),
    ),
    "splits": (
        _Limit(
            "clock_s",
            "clock",
            0,
            1800,
            "the clock counts from zero where the work began (leave that pole out) to 30 min",
            above=True,
        ),
    ),
    "fitness": (
        _SPEED,
        _Limit("heart_rate_bpm", "heart_rate", 15, 260, "a heart beats 15 to 260 times a minute"),
        _Limit("lactate_mmol_l", "lactate", 0, 60, "lactate is 0 to 60 mmol/L"),
        _Limit("lactate_mmol_l", "lactate", 0, 35, "above 35 mmol/L is rare", level="warning"),
        _Limit("minutes_after", "minutes_after", 0, 1440, "a recovery is read within a day"),
    ),
    "footfalls": (
        _Limit("on", "on", 0, 1e7, "a film begins at 0"),
        _Limit("off", "off", 0, 1e7, "a film begins at 0"),
        _Limit("fps", "fps", 10, 10_000, "cameras take 10 to 10000 frames a second"),
        _SPEED,
    ),
    "surface": (
        _Limit("moisture_pct", "moisture", 0, 100, _PERCENT),
        _Limit("cushion_m", "cushion", 0, 0.5, "a cushion is at most 50 cm deep"),
        *_RAIN,
    ),
    "weather": (
        *_AIR,
        *_RAIN,
        _Limit("sun_mj_m2", "sun", 0, 50, "a day's sun is at most 50 MJ/m2"),
    ),
    "forecast": (
        *_AIR,
        *_RAIN,
        _Limit("rain_chance_pct", "rain_chance", 0, 100, _PERCENT),
    ),
    "targets": (
        _Limit("distance_m", "distance", 0, 8000, "a race is more than zero, to 8 km", above=True),
    ),
}


def check_limits(table: Table) -> None:
    """Check every number of a table against what it can be."""
    told = np.zeros(len(table), dtype=np.bool_)
    for limit in sorted(_LIMITS.get(table.schema.name, ()), key=lambda limit: limit.level):
        outside = limit.outside(table)
        table.flag(
            outside & ~told if limit.level == "warning" else outside,
            limit.column,
            _says(table, limit),
            limit.level,
        )
        told |= outside


def _says(table: Table, limit: _Limit) -> Callable[[int], str]:
    word, act = ("impossible", "correct it") if limit.level == "error" else ("unlikely", "check it")
    return lambda i: f"{table.cell(i, limit.column)} is {word}: {limit.said}; {act}"


def check_speeds(table: Table) -> None:
    """Check the mean speed of works and exercise, from distance and time.

    Over a furlong or more, above `FASTEST_M_S` is impossible. Unlikely is a work under 10.8 s/f
    over 4 f or more, under 11.4 s/f over 8 f or more, or slower than 20 s/f, and exercise at a
    speed that is not that of its activity.
    """
    distance, time = table.values("distance_m"), table.values("time_s")
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = distance / time
        pace = time / (distance / FURLONG_M)
    known = (distance > 0) & (time > 0)
    furlongs = distance / FURLONG_M + 1e-9
    impossible = known & (furlongs >= 1) & (speed > FASTEST_M_S)

    def says(why: str) -> Callable[[int], str]:
        return lambda i: (
            f"{table.cell(i, 'time')} for {table.cell(i, 'distance')} is {pace[i]:.1f} s/f "
            f"({speed[i]:.1f} m/s), {why}; check distance and time"
        )

    table.flag(impossible, "time", says("which no horse has run"))
    if table.schema.name == "exercise":
        _check_activities(table, speed, known & ~impossible, says)
        return
    quick = (furlongs >= 4) & (pace < _QUICKEST_4F_S_F)
    quick |= (furlongs >= 8) & (pace < _QUICKEST_8F_S_F)
    table.flag(known & quick & ~impossible, "time", says("faster than works are"), "warning")
    slow = known & (pace > _SLOWEST_WORK_S_F)
    table.flag(slow, "time", says("slower than works are"), "warning")


def _check_activities(
    table: Table,
    speed: npt.NDArray[np.float64],
    known: Mask,
    says: Callable[[str], Callable[[int], str]],
) -> None:
    activity = table.texts("activity")
    for name, (slowest, quickest) in _ACTIVITY_SPEEDS_M_S.items():
        own = known & np.asarray(activity == name, dtype=np.bool_)
        table.flag(own & (speed > quickest), "time", says(f"fast for a {name}"), "warning")
        table.flag(own & (speed < slowest), "time", says(f"slow for a {name}"), "warning")


def check_races(table: Table) -> None:
    """Tell of races without a distance: they are missing in the ground covered."""
    raced = np.asarray(table.texts("activity") == "race", dtype=np.bool_)
    table.flag(
        raced & np.isnan(table.values("distance_m")),
        "distance",
        lambda i: "a race without a distance is not in the ground covered; write it, as in 6 f",
        "warning",
    )
