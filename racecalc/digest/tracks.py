"""The tracks that the horse used: their footing and rain this month."""

import math
from collections import Counter
from collections.abc import Iterable
from itertools import groupby
from typing import Any

import numpy as np
import pandas as pd

from racecalc import surface
from racecalc.daybook import HorseBook
from racecalc.digest.model import Footing, Month, TrackLog
from racecalc.digest.number import Number
from racecalc.digest.rows import rows_of
from racecalc.workload import between_days

__all__ = ["home_of", "most_worked", "track_logs", "tracks_used"]

_READ = "racecalc.daybook.read"
_LOG = "racecalc.surface.log"

# Shares by volume, by mass and of an unknown method are no readings of one thing.
_MOISTURES = {"volume": "moisture_volume", "mass": "moisture_mass", "": "moisture"}


def tracks_used(exercise: pd.DataFrame, works: pd.DataFrame, month: Month) -> list[str]:
    """Return the ids of the tracks that the horse used this month, the most used first."""
    inside = [between_days(table, month.first, month.last) for table in (exercise, works)]
    named = [track for rows in inside for track in rows["track"].dropna()]
    # Sorted first, so that two tracks used equally often come in the same order every time.
    return [track for track, _ in Counter(sorted(named)).most_common()]


def home_of(works: pd.DataFrame, used: list[str], month: Month) -> str | None:
    """Return the track whose footing the month's picture shows: where the horse worked most.

    Of two alike it is the one of the newer work; without works the one most used.
    """
    worked = most_worked(between_days(works, month.first, month.last))
    return worked or next(iter(used), None)


def most_worked(works: pd.DataFrame) -> str | None:
    """Return the track of most of some works; of two alike, that of the newer work."""
    newest_first = sorted(
        zip(works["date"], works["work"], works["track"], strict=True), reverse=True
    )
    counted = Counter(track for *_, track in newest_first if pd.notna(track))
    return next((track for track, _ in counted.most_common(1)), None)


def track_logs(record: HorseBook, used: list[str], month: Month) -> tuple[TrackLog, ...]:
    """Return the month's log of every track that the horse used and the log covers."""
    about = {row["track"]: row for row in rows_of(record.tables["tracks"])}
    found = (_track_log(track, about[track], record, month) for track in used)
    return tuple(entry for entry in found if entry.footing)


def _track_log(track: str, about: dict[Any, Any], record: HorseBook, month: Month) -> TrackLog:
    log = record.tables["surface"]
    inside = surface.log(log, track, month.first, month.last)
    rows = rows_of(inside)
    fell = surface.rain_between(log, track, month.first, month.last)
    return TrackLog(
        track=track,
        name=about["name"],
        surface=about["surface"],
        lap=Number(f"track.{track}.lap", float(about["lap_m"]), "distance", _READ, 1),
        footing=tuple(
            _footing(track, state, list(run)) for state, run in groupby(rows, key=_state)
        ),
        states=_counted(track, "state", inside["state"]),
        upkeep=_counted(track, "upkeep", inside["upkeep"]),
        no_work=_no_work(track, inside["state"], record.barn.no_work_states),
        rain=_number(f"rain.{track}.month", fell.rain_mm, "rain", fell.entries - fell.silent),
        notes=tuple((row["date"].date(), row["note"]) for row in rows if row["note"]),
    )


def _state(row: dict[Any, Any]) -> str | None:
    return row["state"] or None


def _counted(track: str, column: str, values: "pd.Series[Any]") -> dict[str, Number]:
    """Count the entries of each word in a column, the most frequent word first."""
    counted = Counter(value for value in values if value)
    return {
        word: Number(f"surface.{track}.{column}.{word}", count, "count", _LOG, count)
        for word, count in counted.most_common()
    }


def _no_work(track: str, states: "pd.Series[Any]", refused: tuple[str, ...]) -> Number | None:
    count = int(states.isin(list(refused)).sum())
    return Number(f"surface.{track}.no_work", count, "count", _LOG, count) if count else None


def _footing(track: str, state: str | None, rows: list[dict[Any, Any]]) -> Footing:
    first, last = rows[0]["date"].date(), rows[-1]["date"].date()
    name = f"surface.{track}.{first.isoformat()}"
    rain = _known(row["rain_mm"] for row in rows)
    return Footing(
        first=first,
        last=last,
        state=state,
        entries=Number(f"{name}.entries", len(rows), "count", _LOG, len(rows)),
        rain=_number(f"{name}.rain", float(np.sum(rain)) if rain else None, "rain", len(rain)),
        moisture=_moisture(name, rows),
        cushion=_range(f"{name}.cushion", _known(row["cushion_m"] for row in rows), "depth"),
    )


def _moisture(name: str, rows: list[dict[Any, Any]]) -> dict[str, tuple[Number, Number]]:
    """Return the range of the readings of each method that occurs."""
    read: dict[str, list[float]] = {method: [] for method in _MOISTURES}
    for row in rows:
        method = "" if pd.isna(row["moisture_method"]) else row["moisture_method"]
        read.setdefault(method, []).append(row["moisture_pct"])
    found = {
        method: _range(f"{name}.{word}", _known(read[method]), "moisture")
        for method, word in _MOISTURES.items()
    }
    return {method: low_high for method, low_high in found.items() if low_high}


def _known(values: Iterable[float]) -> list[float]:
    return [value for value in values if not math.isnan(value)]


def _range(name: str, known: list[float], kind: str) -> tuple[Number, Number] | None:
    if not known:
        return None
    return (
        Number(f"{name}.low", float(min(known)), kind, _READ, len(known)),
        Number(f"{name}.high", float(max(known)), kind, _READ, len(known)),
    )


def _number(name: str, value: float | None, kind: str, n: int) -> Number | None:
    return None if value is None else Number(name, value, kind, "racecalc.surface.rain_between", n)
