"""GPX as receivers write it: the points of a recorded track, whatever else stands in the file."""

import codecs
import math
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from xml.etree import ElementTree
from xml.sax.saxutils import escape

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.beside import UnfitError, bytes_of
from racecalc.daybook.problems import quoted

__all__ = ["LARGEST_FILE_MB", "MOST_POINTS", "POINT_FIELDS", "Recording", "read_gpx"]

LARGEST_FILE_MB = 50
"""Larger files are refused: an hour at ten fixes a second, with all that a receiver adds, is 15."""
MOST_POINTS = 200_000
"""Files of more points are refused: it is more than five hours at ten fixes a second."""

POINT_FIELDS = {"time": "time", "latitude_deg": "number", "longitude_deg": "number"}
"""The columns of the points of one track, and their types as a schema names them."""

FloatArray = npt.NDArray[np.float64]

_PATH = ("gpx", "trk", "trkseg", "trkpt", "time")
# A receiver that has lost its clock writes the epoch of some calendar, or a day far ahead.
_NO_TIMES, _NO_PLACES = np.zeros(0, dtype="datetime64[us]"), np.zeros(0)
_FIRST_TIME, _LAST_TIME = np.datetime64("1990-01-01"), np.datetime64("2200-01-01")


@dataclass(frozen=True)
class Recording:
    """What a file gave.

    Attributes
    ----------
    points : DataFrame
        The columns of `POINT_FIELDS`: ``time`` in UTC and rising, degrees of the datum WGS 84.
    complaint : str or None
        Why nothing of the file can be used; there are no points then.
    warnings : list of str
        What was left out.
    """

    points: pd.DataFrame
    complaint: str | None = None
    warnings: list[str] = field(default_factory=list)


def read_gpx(path: Path) -> Recording:
    """Read the points of all segments of all tracks of a file, in its order.

    Parameters
    ----------
    path : Path
        The file; it is only read.

    Returns
    -------
    Recording
        Never raises for what the file holds. A time without a zone is taken as UTC.
    """
    try:
        return _checked(_points(_tracks_alone(_text(path))))
    except UnfitError as error:
        return Recording(_frame(_NO_TIMES, _NO_PLACES, _NO_PLACES), str(error))


def _text(path: Path) -> str:
    data = bytes_of(path, LARGEST_FILE_MB, "cut it down to the work", "export it again")
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = data.decode("utf-16" if wide else "utf-8")
    except UnicodeDecodeError as error:
        raise UnfitError("is not UTF-8 text; export it again as GPX 1.1") from error
    # No GPX file declares a document type; one may name other files, or blow up to gigabytes.
    if "<!DOCTYPE" in text:
        raise UnfitError("declares a document type, as no GPX file does; export it again")
    return text


class _Tracks:
    """Takes from a file what a track is made of, and nothing else that stands there.

    So no extension, foreign name or depth of nesting reaches the library that reads the track.
    """

    def __init__(self) -> None:
        self._pieces: list[str] = []
        self._depth = self._skipped = self._points = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = tag.rpartition("}")[2]
        if self._depth == 0 and name != _PATH[0]:
            raise UnfitError(f"is no GPX file but {quoted(name)}; export it again as GPX 1.1")
        if self._skipped or _PATH[self._depth : self._depth + 1] != (name,):
            self._skipped += 1
            return
        self._depth += 1
        self._pieces.append(f"<{name}{self._position(attributes) if name == 'trkpt' else ''}>")

    def _position(self, attributes: dict[str, str]) -> str:
        self._points += 1
        if self._points > MOST_POINTS:
            raise UnfitError(f"holds more than {MOST_POINTS:,} points; cut it down to the work")
        return f' lat="{_number(attributes, "lat")}" lon="{_number(attributes, "lon")}"'

    def data(self, text: str) -> None:
        if self._depth == len(_PATH) and not self._skipped:
            self._pieces.append(escape(text.strip()))

    def end(self, tag: str) -> None:
        if self._skipped:
            self._skipped -= 1
            return
        self._depth -= 1
        self._pieces.append(f"</{_PATH[self._depth]}>")

    def close(self) -> str:
        if not self._points:
            raise UnfitError("holds no point of a track; export the track, not a route")
        return "".join(self._pieces)


def _number(attributes: dict[str, str], name: str) -> float:
    try:
        return float(attributes[name])
    except (KeyError, ValueError):
        return math.nan


def _tracks_alone(text: str) -> str:
    """Return the tracks of a file as plain GPX."""
    parser = ElementTree.XMLParser(target=_Tracks())
    try:
        parser.feed(text)
        return str(parser.close())
    except ElementTree.ParseError as error:
        raise UnfitError(f"is not XML ({error}); export it again as GPX 1.1") from error


def _points(text: str) -> pd.DataFrame:
    import gpxpy

    points = [
        point
        for track in gpxpy.parse(text, version="1.1").tracks
        for segment in track.segments
        for point in segment.points
    ]
    return _frame(
        np.array([_utc(point.time) for point in points], dtype="datetime64[us]"),
        np.array([point.latitude for point in points], dtype=np.float64),
        np.array([point.longitude for point in points], dtype=np.float64),
    )


def _utc(time: datetime | None) -> datetime | None:
    """Return a time in UTC, without a zone; None for one that no calendar has."""
    if time is None:
        return None
    try:
        return time.replace(tzinfo=None) - (time.utcoffset() or timedelta())
    except (ValueError, OverflowError):
        return None


def _frame(
    times: "npt.NDArray[np.datetime64]", latitude: FloatArray, longitude: FloatArray
) -> pd.DataFrame:
    times = np.where((times > _FIRST_TIME) & (times < _LAST_TIME), times, np.datetime64("NaT"))
    return pd.DataFrame(
        {
            "time": times.astype("datetime64[ns]"),
            "latitude_deg": latitude,
            "longitude_deg": longitude,
        }
    )


def _checked(points: pd.DataFrame) -> Recording:
    """Leave out the points that cannot be used, and say how many."""
    warnings: list[str] = []
    untimed = points["time"].isna().to_numpy()
    points = _without(untimed, points, warnings, "without a time; record with times")
    off = (points["latitude_deg"].abs() <= 90) & (points["longitude_deg"].abs() <= 180)
    points = _without(
        ~off.to_numpy(),
        points,
        warnings,
        "without a place on earth; latitude is -90 to 90, longitude -180 to 180 degrees",
    )
    times = points["time"].to_numpy().astype(np.int64)
    late = np.zeros(len(times), dtype=np.bool_)
    late[1:] = times[1:] <= np.maximum.accumulate(times)[:-1]
    points = _without(
        late, points, warnings, "no later than one before them; times must rise through the file"
    )
    if points.empty:
        raise UnfitError(f"holds no point that can be used: {'; '.join(warnings)}")
    return Recording(points, None, warnings)


def _without(
    bad: "npt.NDArray[np.bool_]", points: pd.DataFrame, warnings: list[str], what: str
) -> pd.DataFrame:
    if bad.any():
        count = int(bad.sum())
        warnings.append(f"{count:,} {'points' if count > 1 else 'point'} left out: {what}")
    return points.loc[~bad].reset_index(drop=True)
