"""The water in the top of a track up to a day, and what it has meant there."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import pandas as pd

from racecalc import surface, weather
from racecalc.daybook import HorseBook

__all__ = ["TrackWater", "check_of", "layer_of", "refused_words", "water_of"]

# The water in a track is followed, and its words are learned, over so many days. A choice.
_LEARNED_DAYS = 730


@dataclass(frozen=True)
class TrackWater:
    """The water in the top of a track up to a day, and what it has meant there."""

    about: Mapping[Any, Any]
    layer: weather.Layer
    water: pd.DataFrame
    index: "pd.Series[float]"
    wet: "pd.Series[float]"
    curves: surface.WordCurves


def layer_of(about: Mapping[Any, Any]) -> weather.Layer:
    """Return the top of the track that a row of the table of tracks describes."""
    return weather.layer_of(
        about["surface"], about["soil"], about["holds_mm"], about["gives_mm"], about["drains_mm"]
    )


def water_of(record: HorseBook, track: str, last: date) -> TrackWater:
    """Follow the water in a track up to a day, and learn its words.

    Parameters
    ----------
    record : HorseBook
        A slice of the daybook.
    track : str
        Id of a track of the book.
    last : date
        The last day.
    """
    tables = record.tables
    tracks = tables["tracks"]
    about = tracks[tracks["track"] == track].iloc[0].to_dict()
    layer = layer_of(about)
    known = tables["weather"].loc[tables["weather"]["track"] == track, "date"]
    first = last - timedelta(days=_LEARNED_DAYS - 1)
    if len(known):
        first = min(max(first, known.min().date()), last)
    water = surface.daily_water(
        tables["weather"],
        tables["surface"],
        track,
        layer,
        float(about["latitude_deg"]),
        first,
        last,
    )
    index = surface.morning_index(water, layer)
    wet = surface.after_rain(water, layer)
    curves = surface.learn(tables["surface"], track, about["surface"], index, last, wet)
    return TrackWater(about, layer, water, index, wet, curves)


def check_of(record: HorseBook, found: TrackWater) -> surface.Reliability | None:
    """Check a track's words on days that were not learned from.

    Returns
    -------
    Reliability or None
        None of too few entries, or where the barn works on every footing of that surface.
    """
    refused = refused_words(record, found)
    log = record.tables["surface"]
    until = log[log["date"] <= found.water["date"].iloc[-1]]
    if not any(refused):
        return None
    track, kind = found.about["track"], found.about["surface"]
    return surface.checked(until, track, kind, found.index, refused, wet=found.wet)


def refused_words(record: HorseBook, found: TrackWater) -> tuple[bool, ...]:
    """Return of each word of a track, from dry to wet, whether the barn does not work on it."""
    works_on = surface.workable(found.about["surface"], record.barn.no_work_states)
    return tuple(not works for works in works_on)
