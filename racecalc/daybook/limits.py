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

__all__ = ["FASTEST_M_S", "check_ground", "check_limits", "check_speeds"]

FASTEST_M_S = 20.5
"""No mean speed over a furlong or more is higher; the fastest quarter miles are near 20.2 m/s."""

Floats = npt.NDArray[np.float64]

_SLOWEST_WORK_S_F = 20.0
_QUICKEST_4F_S_F = 10.8
_QUICKEST_8F_S_F = 11.4

# The slowest and the quickest mean speed of an activity, in m/s, and what a horse does. Far around
# what is printed: walks of 1.8 m/s, jogs of 3.6 to 5.3, canters of 4.4 to 7.5 (and up to 14 in a
# study that parts two classes only), gallops of 6.5 to 13.4, races of 16 to 18.
_PACES = {
    "walk": (0.0, 2.5, "walks"),
    "jog": (2.0, 7.0, "jogs"),
    "canter": (3.0, 15.0, "canters"),
    "gallop": (5.0, 18.0, "gallops"),
    "race": (9.0, FASTEST_M_S, "races"),
}
# These cover ground that is measured. A walk may be on a machine, a treadmill may have no counter,
# and a swim has no ground (common practice), so that a time alone says enough of them.
_GROUND = ("jog", "canter", "gallop")


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
    _Limit("tmin_c", "tmin", -45, 35, "nights of -45 to 35 °C are usual", level="warning"),
    _Limit("tmax_c", "tmax", -45, 50, "days of -45 to 50 °C are usual", level="warning"),
    _Limit("wind_m_s", "wind", 0, 90, "wind is 0 to 90 m/s"),
    _Limit("rh_min_pct", "rh_min", 0, 100, _PERCENT),
    _Limit("rh_max_pct", "rh_max", 0, 100, _PERCENT),
)
_RAIN = (
    _Limit("rain_mm", "rain", 0, 1000, "rain is 0 to 1000 mm"),
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
    "fitness": (_SPEED,),
    "footfalls": (
        _Limit("on", "on", 0, 1e7, "a film begins at 0 and ends by 10,000,000"),
        _Limit("off", "off", 0, 1e7, "a film begins at 0 and ends by 10,000,000"),
        _Limit("fps", "fps", 10, 10_000, "cameras take 10 to 10000 frames a second"),
        _SPEED,
    ),
    "surface": (
        _Limit("moisture_pct", "moisture", 0, 100, _PERCENT),
        _Limit("cushion_m", "cushion", 0, 0.5, "a cushion is 0 to 50 cm deep"),
        *_RAIN,
    ),
    "weather": (
        *_AIR,
        *_RAIN,
        _Limit("sun_mj_m2", "sun", 0, 50, "a day's sun is 0 to 50 MJ/m2"),
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
    over 4 f or more, under 11.4 s/f over 8 f or more, or slower than 20 s/f, and a piece of
    exercise at a speed that does not fit its activity.
    """
    distance, time = table.values("distance_m"), table.values("time_s")
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = np.where((distance > 0) & (time > 0), distance / time, np.nan)
        impossible = (distance / FURLONG_M + 1e-9 >= 1) & (speed > FASTEST_M_S)
    _flag_speed(table, speed, impossible, "which no horse has run")
    rest = np.where(impossible, np.nan, speed)
    if table.schema.name == "exercise":
        _check_activities(table, rest)
    else:
        _check_paces(table, rest)


def _check_activities(table: Table, speed: Floats) -> None:
    """Warn of exercise at a speed that does not fit its activity."""
    known = np.flatnonzero(~np.isnan(speed))
    activities = table.texts("activity")[known]
    for activity, (slowest, quickest, does) in _PACES.items():
        rows = known[np.asarray(activities == activity, dtype=np.bool_)]
        for wrong, how in ((speed < slowest, "slower"), (speed > quickest, "faster")):
            found = np.zeros(len(table), dtype=np.bool_)
            found[rows] = wrong[rows]
            says = f"{how} than a horse {does}"
            _flag_speed(table, speed, found, says, "activity, distance and time", "warning")


def _check_paces(table: Table, speed: Floats) -> None:
    """Warn of works that are faster or slower than works are."""
    furlongs = table.values("distance_m") / FURLONG_M
    with np.errstate(divide="ignore", invalid="ignore"):
        pace = np.where(np.isnan(speed), np.nan, table.values("time_s") / furlongs)
    quick = (furlongs + 1e-9 >= 4) & (pace < _QUICKEST_4F_S_F)
    quick |= (furlongs + 1e-9 >= 8) & (pace < _QUICKEST_8F_S_F)
    slow = pace > _SLOWEST_WORK_S_F
    _flag_speed(table, speed, quick, "faster than works are", level="warning")
    _flag_speed(table, speed, slow, "slower than works are", level="warning")


def _flag_speed(
    table: Table,
    speed: Floats,
    found: Mask,
    why: str,
    what: str = "distance and time",
    level: str = "error",
) -> None:
    def says(i: int) -> str:
        return (
            f"{table.cell(i, 'time')} for {table.cell(i, 'distance')} is "
            f"{FURLONG_M / speed[i]:.1f} s/f ({speed[i]:.1f} m/s), {why}; check {what}"
        )

    table.flag(np.asarray(found, dtype=np.bool_), "time", says, level)


def check_ground(table: Table) -> None:
    """Warn of races without a distance, and of timed jogs, canters and gallops without one.

    None of them is in the ground that a horse covered. A race without a time is nothing unusual.
    """
    blank = np.flatnonzero(np.isnan(table.values("distance_m")) & ~table.refused)
    activities = table.texts("activity")[blank]
    timed = ~np.isnan(table.values("time_s")[blank])
    race = np.zeros(len(table), dtype=np.bool_)
    race[blank] = activities == "race"
    alone = np.zeros(len(table), dtype=np.bool_)
    alone[blank] = np.isin(activities, _GROUND) & timed
    table.flag(
        race,
        "distance",
        lambda i: "a race without a distance is not in the ground covered; write it, such as 6 f",
        "warning",
    )
    table.flag(
        alone,
        "distance",
        lambda i: (
            f"a {table.text(i, 'activity').casefold()} of {table.cell(i, 'time')} without a "
            "distance is not in the ground covered; write it, such as 1 1/2 mi"
        ),
        "warning",
    )
