"""Weather, forecasts and logs of one small track, as text that a test may change."""

from collections.abc import Iterable
from datetime import date, timedelta

LAST = date(2026, 10, 31)
TRACKS = (
    "track,name,surface,lap,straight,finish_to_turn,poles,latitude,longitude\n"
    "main,Main Oval,dirt,1 mi,1320 ft,285 ft,1/16 mi,38.05,-84.5\n"
    "hill,Hill Ring,synthetic,6 f,,,1/8 mi,38.05,-84.5\n"
    "gallop,Long Gallop,turf,2000 m,,,100 m,38.05,-84.5\n"
)
WEATHER = "date,track,tmin,tmax,rain,wind,rh_min,rh_max"
FORECAST = "issued,date,track,rain_chance,rain,tmin,tmax,wind,rh_min,rh_max"
LOG = "date,track,state,upkeep,rain"


def table(head: str, lines: Iterable[str]) -> str:
    return "\n".join([head, *lines]) + "\n"


def days_until(last: date, count: int) -> list[date]:
    """Return so many days, the last of them the one given."""
    return [last - timedelta(days=ago) for ago in reversed(range(count))]


def rained(day: date) -> bool:
    """Return whether it rained on a day: every fifth, and last four days before the last one."""
    return (LAST - day).days % 5 == 4


def weather(count: int = 90, last: date = LAST, track: str = "main", air: str = "") -> str:
    """Return mild weather with 15 mm on every fifth day."""
    told = air or "8 C,19 C,{rain},3 m/s,50,92"
    return table(
        WEATHER,
        (
            f"{day},{track},{told.format(rain='15 mm' if rained(day) else '0')}"
            for day in days_until(last, count)
        ),
    )


def log(count: int = 90, last: date = LAST, track: str = "main", words: str = "fast sloppy") -> str:
    """Return a log: the second word on the morning after rain, the first on others."""
    dry, wet = words.split()
    return table(
        LOG,
        (
            f"{day},{track},{wet if rained(day - timedelta(days=1)) else dry},harrowed,"
            for day in days_until(last, count)
        ),
    )


def forecast_rows(
    chances: Iterable[int | str],
    issued: date = LAST,
    first: date | None = None,
    track: str = "main",
    air: str = "6 mm,8 C,19 C,3 m/s,50,92",
) -> list[str]:
    """Return a row for each day, from the day after the issue on; blank chances leave a day out."""
    begin = first or issued + timedelta(days=1)
    return [
        f"{issued},{begin + timedelta(days=ahead)},{track},{chance},{air}"
        for ahead, chance in enumerate(chances)
        if chance != ""
    ]


def forecast(*chances: int | str, **more: object) -> str:
    return table(FORECAST, forecast_rows(chances, **more))  # type: ignore[arg-type]
