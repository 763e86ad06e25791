"""The works, races and remarks of a month."""

import math
from dataclasses import replace
from datetime import date
from typing import Any

import pandas as pd

from racecalc.digest.model import Month, Race, WorkTotals
from racecalc.digest.number import Number
from racecalc.digest.rows import in_order, rows_of
from racecalc.digest.work import Records, work_of
from racecalc.digest.work_model import Stand, Work
from racecalc.workload import between_days

__all__ = ["races_between", "remarks_between", "totals", "works_between"]

_READ = "racecalc.daybook.read"


def works_between(records: Records, month: Month) -> tuple[Work, ...]:
    """Return the works of a month, oldest first."""
    inside = rows_of(between_days(records.works, month.first, month.last))
    ordered = sorted(inside, key=lambda row: (row["date"], row["work"]))
    found = (work_of(row, records) for row in ordered)
    return tuple(replace(work, stand=_in_short(work.stand)) for work in found)


def _in_short(stand: Stand | None) -> Stand | None:
    """Leave of a stand what a month has room for."""
    return stand and replace(stand, expected=None, own=None, others=None)


def races_between(
    exercise: pd.DataFrame, track_names: dict[str, str], month: Month
) -> tuple[Race, ...]:
    """Return the races of a month, oldest first."""
    inside = between_days(exercise, month.first, month.last)
    races = inside[inside["activity"] == "race"]
    ordered = in_order(rows_of(races), "date", "distance_m", "time_s", "track")
    return tuple(_race(row, track_names) for row in ordered)


def remarks_between(
    exercise: pd.DataFrame, works: pd.DataFrame, month: Month
) -> tuple[tuple[date, str], ...]:
    """Return what was remarked on exercise and works in a month, by day."""
    inside = [between_days(table, month.first, month.last) for table in (exercise, works)]
    found = {
        (moment.date(), str(note))
        for rows in inside
        for moment, note in zip(rows["date"], rows["note"], strict=True)
        if pd.notna(note)
    }
    return tuple(sorted(found))


def totals(works: pd.DataFrame, month: Month, name: str) -> WorkTotals:
    """Count the works of a month and add up their distances."""
    inside = between_days(works, month.first, month.last)
    count = len(inside)
    made_by = "racecalc.digest.works.totals"
    return WorkTotals(
        count=Number(f"{name}.count", float(count), "count", made_by, count),
        distance=Number(
            f"{name}.distance", math.fsum(inside["distance_m"]), "day_ground", made_by, count
        ),
    )


def _race(row: dict[Any, Any], track_names: dict[str, str]) -> Race:
    day = row["date"].date()
    name = f"races.{day.isoformat()}"
    distance_m, time_s = float(row["distance_m"]), float(row["time_s"])
    return Race(
        day=day,
        distance=Number(f"{name}.distance", distance_m, "distance", _READ, 1)
        if distance_m > 0
        else None,
        time=Number(f"{name}.time", time_s, "clock", _READ, 1) if time_s > 0 else None,
        track=track_names.get(row["track"]),
    )
