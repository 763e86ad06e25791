"""The folder ``gps`` of a daybook: which file is the recorded track of which work."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pandas as pd

from racecalc.daybook.beside import files_by_key, key_of, shown
from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.read_gpx import POINT_FIELDS, read_gpx
from racecalc.daybook.table import Table, typed_series

__all__ = ["GPS", "GPS_FIELDS", "no_points", "read_gps"]

GPS = "gps"
"""The name of the folder, and of its points among the tables of a slice."""

GPS_FIELDS = {"work": "text", **POINT_FIELDS}
"""The columns of the points of a book, and their types as a schema names them."""

_PLACED_BY = {"latitude_deg": "latitude", "longitude_deg": "longitude", "bearing_deg": "bearing"}
# From midnight of the day before to that of the day after next: every zone has its day in it.
_DAY_BEFORE, _DAYS_AFTER = np.timedelta64(1, "D"), np.timedelta64(2, "D")


@dataclass
class _Folder:
    """The files of a folder while they are read."""

    works: Table
    points: list[pd.DataFrame] = field(default_factory=list)
    tracks: set[str] = field(default_factory=set)
    problems: list[Problem] = field(default_factory=list)

    def say(self, file: Path, message: str, level: str, horse: str | None = None) -> None:
        name = f"{GPS}/{shown(file)}"
        self.problems.append(Problem(name, None, None, message, level, GPS, horse))


def no_points() -> pd.DataFrame:
    """Return the points of a book that holds none: the columns of `GPS_FIELDS`."""
    return pd.DataFrame({name: typed_series([], kind) for name, kind in GPS_FIELDS.items()})


def read_gps(book: Path, works: Table, tracks: Table) -> tuple[pd.DataFrame, list[Problem]]:
    """Read the recorded tracks of a daybook's works.

    Parameters
    ----------
    book : Path
        The daybook: the folder that holds ``gps``, or the file beside it.
    works, tracks : Table
        The tables after their checks; a track that a recorded work cannot be laid on gets a
        warning.

    Returns
    -------
    tuple of (DataFrame, list of Problem)
        The columns of `GPS_FIELDS`, file by file: ``time`` in UTC, degrees of WGS 84. Files of no
        work, or of a refused one, give none.
    """
    folder = _Folder(works)
    named = files_by_key(book, GPS, ".gpx", folder.problems)
    if not named:
        return no_points(), folder.problems
    texts = works.texts("work")
    places = {key_of(work): place for place, work in enumerate(texts) if work is not None}
    for key, same in named.items():
        _take(folder, same, places.get(key))
    _check_placed(folder, tracks)
    points = pd.concat(folder.points, ignore_index=True) if folder.points else no_points()
    return points, folder.problems


def _take(folder: _Folder, files: list[Path], place: int | None) -> None:
    """Read the one file of a work that is used; say of any other why it is not."""
    works, file = folder.works, files[0]
    horse = None if place is None else works.horse(place)
    if len(files) > 1:
        names = listed(shown(other) for other in files)
        for other in files:
            message = f"names that differ only in capitals: {names}; keep one"
            folder.say(other, message, "error", horse)
    elif place is None:
        message = f"works has no {quoted(file.stem)}, so this file is not used"
        folder.say(file, f"{message}; name it after the work's id", "warning")
    elif works.refused[place]:
        message = f"row {works.row(place)} of works is refused, and its track with it"
        folder.say(file, f"{message}; mend that row", "warning", horse)
    else:
        _read(folder, file, place)


def _read(folder: _Folder, file: Path, place: int) -> None:
    """Read a work's file, and note what is wrong with it."""
    works = folder.works
    found, horse = read_gpx(file), works.horse(place)
    if found.complaint is not None:
        folder.say(file, found.complaint, "error", horse)
        return
    for warning in found.warnings:
        folder.say(file, warning, "warning", horse)
    begins, date = found.points["time"].to_numpy()[0], works.dates("date")[place]
    if not date - _DAY_BEFORE <= begins <= date + _DAYS_AFTER:
        first, on = np.datetime_as_string(np.array([begins, date], dtype="datetime64[D]"))
        message = f"begins on {first}, and the work is of {on}; check that it is this work's file"
        folder.say(file, message, "warning", horse)
    points = found.points
    points.insert(0, "work", typed_series([works.texts("work")[place]] * len(points), "text"))
    folder.points.append(points)
    folder.tracks.add(works.texts("track")[place])


def _check_placed(folder: _Folder, tracks: Table) -> None:
    """Warn of each track that a recorded work cannot be laid on."""
    for index in np.flatnonzero(~tracks.refused):
        blank = [
            heading for name, heading in _PLACED_BY.items() if np.isnan(tracks.values(name)[index])
        ]
        if blank and tracks.texts("track")[index] in folder.tracks:
            cells = " and ".join(blank) if len(blank) < 3 else ", ".join(blank)
            message = f"fill {cells}: recorded works cannot be laid on this track without"
            tracks.say(int(index), blank[0], message, "warning")
