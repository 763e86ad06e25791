"""What every digest takes from the slice as it is: the horse, the barn's limits, the watch."""

from collections.abc import Sequence
from datetime import date

import pandas as pd

from racecalc import body, pace
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.model import Horse
from racecalc.digest.number import Number
from racecalc.errors import OutOfRangeError

__all__ = [
    "bad_footing_days",
    "clock_error_of",
    "clock_sources_of",
    "days_after_race",
    "horse_of",
    "last_day",
    "limit",
    "one_clock_s",
    "shoes_of",
]

_READ = "racecalc.daybook.read"
# A choice, and an input: what waiting is worth is for the trainer to say.
_BAD_FOOTING_DAYS = 4.0
# Common practice, no source.
_DAYS_AFTER_RACE = 10
# Years of which a month may be told, too.
_FIRST_YEAR, _LAST_YEAR = 1700, 2200


def horse_of(record: HorseBook) -> Horse:
    """Return whom a slice is about."""
    row = record.tables["horses"].iloc[0]
    year = row["foaled"].year if pd.notna(row["foaled"]) else row["foaled_year"]
    return Horse(
        id=row["horse"],
        name=row["name"],
        sex=row["sex"],
        colour=row["colour"],
        foaled_year=None if pd.isna(year) else int(year),
        arrived=_day(row["arrived"]),
        left=_day(row["left"]),
    )


def _day(moment: pd.Timestamp) -> date | None:
    return None if pd.isna(moment) else moment.date()


def last_day(record: HorseBook, until: str, tables: Sequence[str]) -> date:
    """Return the last day that a report tells of: the one asked for, or the newest in some tables.

    Raises
    ------
    OutOfRangeError
        If the text is no day, or one of years that no book tells of.
    """
    if until:
        try:
            day = date.fromisoformat(until)
        except ValueError:
            raise OutOfRangeError(f"“{until}” is no day; write it as 2026-10-31") from None
        if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
            raise OutOfRangeError(
                f"“{until}”: write a day of the years {_FIRST_YEAR} to {_LAST_YEAR}, as 2026-10-31"
            )
        return day
    newest = pd.concat([record.tables[table]["date"] for table in tables]).max()
    return date(1900, 1, 1) if pd.isna(newest) else newest.date()


def limit(name: str, value: float, kind: str) -> Number:
    """Return a limit that the barn has set, or its default."""
    return Number(name, value, kind, _READ, 1, caveat="a setting of the barn, or its default")


def bad_footing_days(barn: Barn) -> float:
    """Return how many days of waiting a work on bad footing costs: as the barn has set it, or 4."""
    return _BAD_FOOTING_DAYS if barn.bad_footing_days is None else barn.bad_footing_days


def days_after_race(barn: Barn) -> int:
    """Return the fewest days from a race to the next work: as the barn has set it, or 10."""
    return _DAYS_AFTER_RACE if barn.days_after_race is None else barn.days_after_race


def one_clock_s(barn: Barn) -> float:
    """Return how far one hand-taken time of this barn may lie from the true one, in seconds."""
    return pace.clock_error_s(barn.clock, barn.clock_error_s)


def clock_sources_of(barn: Barn) -> tuple[str, ...]:
    """Return where that is from; nowhere where the barn has set it."""
    return pace.clock_sources(barn.clock, barn.clock_error_s)


def clock_error_of(barn: Barn) -> Number:
    """Return how far two times of this barn must lie apart to be called different."""
    return Number(
        "clock.difference",
        pace.difference_error_s(one_clock_s(barn)),
        "seconds",
        "racecalc.pace.difference_error_s",
        0,
        sources=clock_sources_of(barn),
        caveat=None if barn.clock_error_s is None else "as the barn set it",
    )


def shoes_of(barn: Barn) -> Number:
    """Return what shoes are taken to add to a height: as the barn has set it, or as published."""
    own = barn.shoe_allowance_m
    return Number(
        "height.shoes",
        body.SHOE_ALLOWANCE_M if own is None else own,
        "height_noise",
        "racecalc.body.barefoot",
        0,
        sources=("fei_pony_height",) if own is None else (),
        caveat=None if own is None else "as the barn set it",
    )
