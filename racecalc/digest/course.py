"""A track as a report knows it: its name, its lap and, where the book tells enough, its oval."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from racecalc import track
from racecalc.errors import OutOfRangeError
from racecalc.notation import read_distance
from racecalc.units import FURLONG_M

__all__ = ["Course", "course_of", "courses_of"]


@dataclass(frozen=True)
class Course:
    """A track; ``lap_m`` is the length of a lap.

    ``oval`` is missing where the book does not tell where the turns are; ``spacing_m`` is the
    distance from pole to pole, a furlong where the book says nothing.
    """

    id: str
    name: str
    surface: str
    lap_m: float
    spacing_m: float
    oval: track.Oval | None

    @property
    def metric(self) -> bool:
        """Whether its poles stand in metres."""
        return self.spacing_m % 100 == 0


def course_of(row: Mapping[Any, Any]) -> Course:
    """Return the course that a row of the table of tracks describes."""
    return Course(
        id=row["track"],
        name=row["name"],
        surface=row["surface"],
        lap_m=float(row["lap_m"]),
        spacing_m=float(row["pole_spacing_m"]) if row["pole_spacing_m"] > 0 else FURLONG_M,
        oval=_oval(row),
    )


def courses_of(tracks: pd.DataFrame) -> dict[str, Course]:
    """Return the courses of a book by track id."""
    return {row["track"]: course_of(row) for row in tracks.to_dict("records")}


def _oval(row: Mapping[Any, Any]) -> track.Oval | None:
    sizes = {name: row[f"{name}_m"] for name in ("lap", "straight", "finish_to_turn", "width")}
    if pd.isna(sizes["straight"]) or pd.isna(sizes["finish_to_turn"]):
        return None
    offset = row["rail_offset_m"]
    sizes["rail_offset"] = track.RAIL_OFFSET_M if pd.isna(offset) else offset
    try:
        plain = track.oval(**sizes, hand=row["hand"] or "left")
    except OutOfRangeError:  # a width, say, that the check of the book passes but no oval has
        return None
    starts = [float(read_distance(text)) for text in (row["chutes"] or "").split("; ") if text]
    chutes = tuple(start_m for start_m in starts if _is_chute(plain, start_m))
    return track.oval(**sizes, hand=plain.hand, chutes=chutes)


def _is_chute(oval: track.Oval, start_m: float) -> bool:
    """Tell whether a chute can start there; the check of the book has warned of those that not."""
    try:
        track.chute(oval, start_m)
    except OutOfRangeError:
        return False
    return True
