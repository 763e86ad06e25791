"""A track as a report knows it: its name, its lap and, where the book tells enough, its oval."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from racecalc import pace, track
from racecalc.digest.rows import rows_of
from racecalc.errors import OutOfRangeError
from racecalc.notation import read_distance
from racecalc.units import FURLONG_M

__all__ = ["Course", "course_of", "courses_of"]

_METRIC_PIECE_M = 200.0
# A chute is named by a distance in print.
_SAME_START_M = 0.5


@dataclass(frozen=True)
class Course:
    """A track; ``lap_m`` is the length of a lap.

    ``oval`` is missing where the book does not tell where the turns are; ``spacing_m`` is the
    distance from pole to pole: where the book says nothing, a furlong, or 200 m on a metric lap.
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

    @property
    def piece_m(self) -> float:
        """The piece in which works are told here: a furlong, or 200 m."""
        return _METRIC_PIECE_M if self.metric else FURLONG_M

    def pole_at(self, to_finish_m: float) -> track.Pole | None:
        """Return the pole at a place, the finish among them; none where no pole stands."""
        try:
            return track.pole_at(to_finish_m, self.lap_m, self.spacing_m)
        except OutOfRangeError:
            return None

    def colour_at(self, to_finish_m: float) -> str | None:
        """Return the colour of the pole at a place; none without a pole, or one in metres."""
        pole = self.pole_at(to_finish_m)
        return pole.colour if pole else None

    def part_at(self, to_finish_m: float, start_in: track.Chute | None = None) -> str | None:
        """Return the part at a place, one of `track.PARTS`; none where the turns are not known."""
        if self.oval is None:
            return None
        return str(track.positions(self.oval, to_finish_m, start_in=start_in)["part"].iloc[0])

    def usual_lead(self, part: str | None) -> str | None:
        """Return the lead that horses usually take on a part: the inside one on a turn."""
        if self.oval is None or part is None:
            return None
        inside = self.oval.hand
        outside = {"left": "right", "right": "left"}[inside]
        return inside if part.endswith("turn") else outside

    def chute_at(self, to_finish_m: float) -> track.Chute | None:
        """Return the chute that starts at a distance from the finish, if there is one."""
        starts = self.oval.chutes_m if self.oval else ()
        if self.oval is None or not any(abs(m - to_finish_m) < _SAME_START_M for m in starts):
            return None
        return track.chute(self.oval, to_finish_m)


def course_of(row: Mapping[Any, Any]) -> Course:
    """Return the course that a row of the table of tracks describes."""
    return Course(
        id=row["track"],
        name=row["name"],
        surface=row["surface"],
        lap_m=float(row["lap_m"]),
        spacing_m=float(row["pole_spacing_m"])
        if row["pole_spacing_m"] > 0
        else pace.spacing_of(float(row["lap_m"])),
        oval=_oval(row),
    )


def courses_of(tracks: pd.DataFrame) -> dict[str, Course]:
    """Return the courses of a book by track id."""
    return {row["track"]: course_of(row) for row in rows_of(tracks)}


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
