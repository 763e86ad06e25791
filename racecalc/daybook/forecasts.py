"""The folder ``forecast`` of a daybook: saved forecasts, as rows of the forecast table."""

import math
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import pandas as pd

from racecalc.daybook.beside import files_by_key, key_of, shown
from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.raw import TextColumn
from racecalc.daybook.read_gridpoint import Gridpoint, read_gridpoint
from racecalc.daybook.table import Table, typed_series

__all__ = ["FORECASTS", "read_forecasts"]

FORECASTS = "forecast"
"""The name of the folder, and of the table that its rows are added to."""

_DEGREES_AN_HOUR = 15
# A square is 2.5 km wide, and a town's forecast may stand for a track beside it.
_FARTHEST_KM, _KM_A_DEGREE = 25, 111.2

# The heading, the column once read, and the unit that a message writes.
_WRITTEN = (
    ("rain_chance", "rain_chance_pct", "%"),
    ("rain", "rain_mm", "mm"),
    ("tmin", "tmin_c", "C"),
    ("tmax", "tmax_c", "C"),
    ("wind", "wind_m_s", "m/s"),
    ("rh_min", "rh_min_pct", "%"),
    ("rh_max", "rh_max_pct", "%"),
)


@dataclass
class _WithFiles(Table):
    """The forecast table with rows of files behind its own; ``files`` names the file of each.

    A problem of such a row names the file and the day, for the file has no rows.
    """

    files: tuple[str | None, ...] = ()

    def say(self, index: int, column: str | None, message: str, level: str = "error") -> None:
        super().say(index, column, message, level)
        file = self.files[index]
        if file is not None:
            day = np.datetime_as_string(self.dates("date")[index], unit="D")
            told = f"for {day}, {message}"
            self.problems[-1] = replace(self.problems[-1], file=file, row=None, message=told)


@dataclass
class _Folder:
    """The files of a folder while they are read."""

    forecasts: Table
    tracks: Table
    rows: list[pd.DataFrame] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def say(self, file: Path, message: str, level: str) -> None:
        self.problems.append(Problem(_name(file), None, None, message, level, FORECASTS, None))


def read_forecasts(book: Path, forecasts: Table, tracks: Table) -> tuple[Table, list[Problem]]:
    """Add the saved forecasts of a daybook's tracks to its forecast table.

    Parameters
    ----------
    book : Path
        The daybook: the folder that holds ``forecast``, or the file beside it.
    forecasts, tracks : Table
        The tables as they were read, before their checks.

    Returns
    -------
    tuple of (Table, list of Problem)
        The forecast table with a row for each day of each file, to be checked like any other; their
        row number is 0. A day counts from midnight to midnight of the hour that belongs to the
        track's longitude (UTC and a fifteenth of the degrees, rounded), within an hour or two of
        the clock on the wall. Where the table has a row of the same issue, day and track, that row
        stands and the file's does not enter.
    """
    folder = _Folder(forecasts, tracks)
    named = files_by_key(book, FORECASTS, ".json", folder.problems)
    texts = tracks.texts("track")
    places = {key_of(track): place for place, track in enumerate(texts) if track is not None}
    for key, same in named.items():
        _take(folder, same, places.get(key))
    return _joined(folder), folder.problems


def _name(file: Path) -> str:
    return f"{FORECASTS}/{shown(file)}"


def _take(folder: _Folder, files: list[Path], place: int | None) -> None:
    """Read the one file of a track that is used; say of any other why it is not."""
    tracks, file = folder.tracks, files[0]
    if len(files) > 1:
        names = listed(shown(other) for other in files)
        for other in files:
            folder.say(other, f"names that differ only in capitals: {names}; keep one", "error")
    elif place is None:
        message = f"tracks has no {quoted(file.stem)}, so this file is not used"
        folder.say(file, f"{message}; name it after the track's id", "warning")
    elif tracks.refused[place]:
        message = f"row {tracks.row(place)} of tracks is refused, and its forecast with it"
        folder.say(file, f"{message}; mend that row", "warning")
    elif not abs(tracks.values("longitude_deg")[place]) <= 180:
        message = f"the local day follows from the longitude in row {tracks.row(place)} of tracks"
        folder.say(file, f"{message}, and there is none; fill longitude", "error")
    else:
        _read(folder, file, place)


def _read(folder: _Folder, file: Path, place: int) -> None:
    """Read a track's file, and note what is wrong with it."""
    longitude = float(folder.tracks.values("longitude_deg")[place])
    found = read_gridpoint(file, round(longitude / _DEGREES_AN_HOUR))
    if found.complaint is not None:
        folder.say(file, found.complaint, "error")
        return
    for warning in found.warnings:
        folder.say(file, warning, "warning")
    _check_place(folder, file, place, found)
    track = folder.tracks.texts("track")[place]
    taken = _taken(folder.forecasts, track)
    held = np.array(
        [pair in taken for pair in zip(found.rows["issued"], found.rows["date"], strict=True)]
    )
    if held.any():
        days = listed(str(day.date()) for day in found.rows["date"][held])
        issued = found.rows["issued"].iloc[0].date()
        message = f"the table has rows of {issued} for {days}, and they stand"
        folder.say(file, f"{message}; delete them there to use the file's", "warning")
    rows = found.rows[~held]
    folder.rows.append(rows.assign(track=typed_series([track] * len(rows), "text").to_numpy()))
    folder.files += [_name(file)] * len(rows)


def _taken(forecasts: Table, track: str) -> set[tuple[pd.Timestamp, pd.Timestamp]]:
    """Return issue and day of the rows that the table has for a track."""
    frame = forecasts.frame
    own = np.array([text is not None and key_of(text) == key_of(track) for text in frame["track"]])
    rows = frame[own.astype(np.bool_)]
    return set(zip(rows["issued"], rows["date"], strict=True))


def _check_place(folder: _Folder, file: Path, place: int, found: Gridpoint) -> None:
    """Warn of a forecast that is for somewhere else."""
    latitude, longitude = (
        float(folder.tracks.values(name)[place]) for name in ("latitude_deg", "longitude_deg")
    )
    if found.place is None or math.isnan(latitude):
        return
    north = found.place[0] - latitude
    east = (found.place[1] - longitude + 180) % 360 - 180
    away = _KM_A_DEGREE * math.hypot(north, east * math.cos(math.radians(latitude)))
    if away > _FARTHEST_KM:
        message = f"is for a place {away:,.0f} km from the track; check the numbers in its address"
        folder.say(file, message, "warning")


def _joined(folder: _Folder) -> Table:
    """Return the table with the rows of the files behind its own."""
    table = folder.forecasts
    if not folder.files:
        return table
    rows = pd.concat(folder.rows, ignore_index=True).assign(row=0)
    count = len(table)
    return _WithFiles(
        table.schema,
        table.file,
        pd.concat([table.frame, rows[table.frame.columns]], ignore_index=True),
        np.append(table.refused, np.zeros(len(rows), dtype=np.bool_)),
        table.problems,
        {name: _behind(table.cells.get(name), texts, count) for name, texts in _texts(rows)},
        files=(None,) * count + tuple(folder.files),
    )


def _texts(rows: pd.DataFrame) -> list[tuple[str, list[str | None]]]:
    """Return what a message writes for the cells of rows that came from files."""
    written: list[tuple[str, list[str | None]]] = [("track", rows["track"].tolist())]
    for name in ("issued", "date"):
        written.append((name, rows[name].dt.strftime("%Y-%m-%d").tolist()))
    for name, column, unit in _WRITTEN:
        numbers = rows[column].tolist()
        written.append((name, [None if math.isnan(n) else f"{n:.6g} {unit}" for n in numbers]))
    return written


def _behind(cells: TextColumn | None, texts: list[str | None], count: int) -> TextColumn:
    """Put the texts of further rows behind the cells of a column."""
    first = TextColumn(np.zeros(count, dtype=np.int32), [None]) if cells is None else cells
    codes = len(first.texts) + np.arange(len(texts), dtype=np.int32)
    return TextColumn(np.append(first.codes, codes).astype(np.int32), [*first.texts, *texts])
