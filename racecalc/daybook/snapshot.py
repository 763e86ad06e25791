"""One horse's slice of the book: no name of another horse and nothing of an owner is in it."""

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np
import pandas as pd

from racecalc.daybook.barn import SETTINGS, Barn
from racecalc.daybook.book import Book, Groups
from racecalc.daybook.forecasts import FORECASTS
from racecalc.daybook.gps import GPS, no_points
from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.string import string_of
from racecalc.errors import UnknownHorseError

__all__ = [
    "SLICE_TABLES",
    "HorseBook",
    "data_hash",
    "slice_for",
    "slice_with_tracks",
    "track_slice",
]

_OF_HORSE = ("horses", "exercise", "works", "measurements", "fitness", "footfalls", "targets")
_SHARED = ("tracks", "surface", "weather", "forecast")
_OF_BARN = "barn"
SLICE_TABLES = tuple(name for name in SCHEMA if name in (*_OF_HORSE, "splits", *_SHARED))
"""The tables of a slice."""

_ALONE = ("no", "none", "alone", "solo", "0")
_ROW_NUMBER = re.compile(r", row \d+")
_COLUMNS = {name: {column.name for column in SCHEMA[name].columns} for name in SLICE_TABLES}


@dataclass(frozen=True)
class HorseBook:
    """What a report of one horse may know.

    Attributes
    ----------
    horse : str
        Its id.
    barn : Barn
        The settings.
    tables : dict of str to DataFrame
        Its rows, the splits of its works, and the barn's tracks, surface, weather and forecast;
        ``string``, the timed works of the others without a name; ``gps``, the recorded points of
        its works; no owners, shares or riders.
        ``company`` has become ``in_company``, and ``by`` tells one measuring person from another
        without a name.
    left_out : list of str
        The places of its refused rows and files, and tables that could not be read: ``works,
        row 14, column time``.
    withheld_notes : int
        Texts left out because they name another horse, or an owner.
    data_hash : str
        SHA-256 over all of this; the order of rows and their numbers make no difference.
    """

    horse: str
    barn: Barn
    tables: dict[str, pd.DataFrame]
    left_out: list[str]
    withheld_notes: int
    data_hash: str


def slice_for(book: Book, horse: str) -> HorseBook:
    """Cut one horse's slice out of a book.

    Parameters
    ----------
    book : Book
        The book that was read.
    horse : str
        The id of the horse.

    Raises
    ------
    UnknownHorseError
        If the book holds no horse of that id.
    """
    ids = book.tables["horses"]["horse"].tolist()
    if horse not in ids:
        there = f"there are {listed(ids)}" if ids else "there are none yet"
        raise UnknownHorseError(f"{book.path_name}: no horse has the id {quoted(horse)}; {there}")
    tables, withheld = {}, 0
    for name in SLICE_TABLES:
        tables[name], count = _censored(book, name, _rows(book, name, horse), horse)
        withheld += count
    tables["string"] = string_of(book.tables["works"], horse)
    tables[GPS] = _rows(book, GPS, horse)
    left_out = _left_out(book, horse)
    digest = data_hash(horse, book.barn, tables, left_out, withheld)
    return HorseBook(horse, book.barn, tables, left_out, withheld, digest)


def slice_with_tracks(book: Book, horse: str) -> HorseBook:
    """Cut a horse's slice as `slice_for`, for a report that rests on forecast and settings too.

    ``left_out`` also names the refused rows and files of tracks, their logs, weather and forecasts,
    and the refused settings of the barn.
    """
    own = slice_for(book, horse)
    left_out = list(dict.fromkeys([*own.left_out, *_left_out_of_all(book)]))
    digest = data_hash(horse, own.barn, own.tables, left_out, own.withheld_notes)
    return replace(own, left_out=left_out, data_hash=digest)


def track_slice(book: Book) -> HorseBook:
    """Cut a slice that is of no horse: the barn and its tracks, for what any horse may do there."""
    tables, withheld = {}, 0
    for name in SLICE_TABLES:
        rows = book.tables[name] if name in _SHARED else book.tables[name].iloc[:0]
        tables[name], count = _censored(book, name, rows, "")
        withheld += count
    tables["string"] = string_of(book.tables["works"].iloc[:0], "")
    tables[GPS] = no_points()
    left_out = _left_out_of_all(book)
    digest = data_hash("", book.barn, tables, left_out, withheld)
    return HorseBook("", book.barn, tables, left_out, withheld, digest)


def _rows(book: Book, name: str, horse: str) -> pd.DataFrame:
    if name == "splits":
        return _of_works(book, book.tables[name], book.splits_by_work, horse)
    if name == GPS:
        return _of_works(book, book.gps, book.gps_by_work, horse)
    frame = book.tables[name]
    if name in _SHARED:
        return frame
    return frame.iloc[_places(book, name, horse)].reset_index(drop=True)


def _of_works(book: Book, frame: pd.DataFrame, by_work: Groups, horse: str) -> pd.DataFrame:
    """Return the rows that belong to the works of a horse."""
    works = book.tables["works"]["work"].iloc[_places(book, "works", horse)]
    places = [by_work[work] for work in works if work in by_work]
    rows = np.sort(np.concatenate(places)) if places else np.zeros(0, dtype=np.intp)
    return frame.iloc[rows].reset_index(drop=True)


def _places(book: Book, name: str, horse: str) -> "np.ndarray[Any, np.dtype[np.intp]]":
    return book.rows_by_horse[name].get(horse, np.zeros(0, dtype=np.intp))


def _censored(book: Book, name: str, frame: pd.DataFrame, horse: str) -> tuple[pd.DataFrame, int]:
    """Leave out people, and every free text that names another horse or an owner."""
    frame = frame.drop(columns="rider", errors="ignore")
    if "by" in frame:
        frame = frame.assign(by=_persons(frame["by"]))
    if "company" in frame:
        frame = _in_company(frame, book)
    count = 0
    for column in SCHEMA[name].columns:
        if column.kind not in ("text", "label") or column.name not in frame:
            continue
        texts = frame[column.name]
        named = np.array(
            [t is not None and book.mentions.names_another(t, horse) for t in texts], dtype=bool
        )
        if named.any():
            count += int(named.sum())
            put = [
                _stand_in(t, column.kind) if hit else t for t, hit in zip(texts, named, strict=True)
            ]
            frame = frame.assign(**{column.name: pd.Series(put, dtype="object")})
    return frame, count


def _stand_in(text: str, kind: str) -> str | None:
    """Return what stands for a withheld text; a label must go on telling its rows apart."""
    if kind == "text":
        return None
    return f"withheld-{hashlib.sha256(text.encode()).hexdigest()[:8]}"


def _persons(names: "pd.Series[Any]") -> "pd.Series[Any]":
    """Give each person a number in the order of the alphabet: readings differ by who took them."""
    numbers = {name: f"person {n}" for n, name in enumerate(sorted(set(names.dropna())), start=1)}
    return names.map(numbers).astype("object").where(names.notna(), None)


def _in_company(works: pd.DataFrame, book: Book) -> pd.DataFrame:
    """Say whether a work was in company, without saying in whose; None where nothing is said."""
    ids = set(book.tables["horses"]["horse"])
    known = [
        None if text is None else text in ids or text.casefold() not in _ALONE
        for text in works["company"]
    ]
    place = int(works.columns.get_indexer(pd.Index(["company"]))[0])
    works = works.drop(columns="company")
    works.insert(place, "in_company", pd.Series(known, dtype="object"))
    return works


def _left_out(book: Book, horse: str) -> list[str]:
    """Return the places of what could not be used: never what stands there.

    Of files only a recorded track is named, and only its own horse's: its name is the work's id.
    """
    return [
        _place(problem)
        for problem in book.problems
        if problem.level == "error"
        and problem.table in (*SLICE_TABLES, GPS)
        and (problem.horse == horse or problem.table in book.unread)
    ]


def _left_out_of_all(book: Book) -> list[str]:
    """Return the places of what could not be used of that which belongs to no horse."""
    return [
        _place(problem)
        for problem in book.problems
        if problem.level == "error" and problem.table in (*_SHARED, _OF_BARN)
    ]


def _place(problem: Problem) -> str:
    if problem.table == _OF_BARN:
        # What somebody has invented in the place of a setting's name is not told.
        known = problem.column in SETTINGS
        return f"{_OF_BARN}, {problem.column}" if known else _OF_BARN
    if problem.table == GPS or problem.file.startswith(f"{FORECASTS}/"):
        return problem.file
    row = f", row {problem.row}" if problem.row else ""
    column = f", column {problem.column}" if problem.column in _COLUMNS[problem.table] else ""
    return f"{problem.table}{row}{column}"


def data_hash(
    horse: str, barn: Barn, tables: dict[str, pd.DataFrame], left_out: list[str], withheld: int
) -> str:
    """Return the SHA-256 of a slice's content in canonical form, in hexadecimal.

    The order of rows and their numbers in the file do not enter, but for entries of one track and
    day in the surface log.
    """
    digest = hashlib.sha256()
    reasons = sorted(_without_row(text) for text in left_out)
    # What the barn has not set is no content: a setting that is new changes no old book's hash.
    settings = {key: value for key, value in asdict(barn).items() if value is not None}
    for name in ("speed_classes_m_s", "rest_days"):
        if not settings[name]:
            del settings[name]
    head = {"horse": horse, "barn": settings, "left_out": reasons, "withheld": withheld}
    digest.update(json.dumps(head, sort_keys=True).encode())
    for name in sorted(set(tables) - {GPS}):
        frame = tables[name].drop(columns="row", errors="ignore")
        if name == "surface":
            # Of two entries of one day the later one counts, so that their order is content.
            frame = frame.assign(order=frame.groupby(["date", "track"]).cumcount().astype(float))
        digest.update(json.dumps([name, list(frame.columns)]).encode())
        columns = [_canonical(frame[column]) for column in frame.columns]
        for line in sorted(json.dumps(row) for row in zip(*columns, strict=True)):
            digest.update(line.encode() + b"\n")
    for work, points in tables[GPS].groupby("work"):
        digest.update(json.dumps([GPS, work, len(points)]).encode() + _point_bytes(points))
    return digest.hexdigest()


def _point_bytes(points: pd.DataFrame) -> bytes:
    """Return the points of a work as numbers in a row: thousands of them are hashed at once."""
    numbers = points[["latitude_deg", "longitude_deg"]].to_numpy(dtype="<f8") + 0.0
    times = points["time"].to_numpy(dtype="datetime64[ns]").astype("<i8")
    order = np.argsort(times, kind="stable")
    return times[order].tobytes() + numbers[order].tobytes()


def _without_row(text: str) -> str:
    return _ROW_NUMBER.sub("", text)


def _canonical(column: "pd.Series[Any]") -> Iterable[Any]:
    if column.dtype.kind == "M":
        return np.datetime_as_string(column.to_numpy(dtype="datetime64[D]")).tolist()  # type: ignore[no-any-return]
    if column.dtype.kind == "f":
        return [None if value != value else value + 0.0 for value in column.tolist()]
    return column.tolist()
