"""One horse's slice of the book: no name of another horse and nothing of an owner is in it."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd

from racecalc.daybook.barn import SETTINGS, Barn
from racecalc.daybook.book import Book, Groups
from racecalc.daybook.common import SHARED, Common
from racecalc.daybook.content import data_hash
from racecalc.daybook.forecasts import FORECASTS
from racecalc.daybook.gps import GPS, no_points
from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.string import string_of
from racecalc.errors import UnknownHorseError

__all__ = [
    "SLICE_TABLES",
    "HorseBook",
    "cut",
    "left_out_of",
    "slice_for",
    "slice_with_tracks",
    "track_slice",
]

_OF_HORSE = ("horses", "exercise", "works", "measurements", "fitness", "footfalls", "targets")
_OF_BARN = "barn"
SLICE_TABLES = tuple(name for name in SCHEMA if name in (*_OF_HORSE, "splits", *SHARED))
"""The tables of a slice."""

_ALONE = ("no", "none", "alone", "solo", "0")
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
    rows = {name: _rows(book, name, horse) for name in (*SLICE_TABLES, GPS) if name not in SHARED}
    others = string_of(book.tables["works"], horse)
    return cut(book.common, horse, rows, others, left_out_of(book.problems, horse, book.unread))


def cut(
    common: Common,
    horse: str,
    rows: Mapping[str, pd.DataFrame],
    others: pd.DataFrame,
    left_out: list[str],
) -> HorseBook:
    """Make the slice of a horse out of its rows, and of what it shares with every other.

    Parameters
    ----------
    common : Common
        What all slices of the book share.
    horse : str
        The id of the horse; blank for the tracks alone.
    rows : mapping of str to DataFrame
        The horse's rows of each table that is not shared, and of ``gps``.
    others : DataFrame
        The ``string``.
    left_out : list of str
        As in `HorseBook`.
    """
    tables, hashes, withheld = {}, {}, 0
    for name in SLICE_TABLES:
        frame = common.shared[name] if name in SHARED else rows[name]
        tables[name], count = _censored(common, name, frame, horse)
        withheld += count
        if name in SHARED and not count:
            hashes[name] = common.hash_of(name)
    tables["string"] = others
    tables[GPS] = rows[GPS]
    digest = data_hash(horse, common.barn, tables, left_out, withheld, hashes)
    return HorseBook(horse, common.barn, tables, left_out, withheld, digest)


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
    rows = {name: book.tables[name].iloc[:0] for name in SLICE_TABLES if name not in SHARED}
    others = string_of(book.tables["works"].iloc[:0], "")
    return cut(book.common, "", {**rows, GPS: no_points()}, others, _left_out_of_all(book))


def _rows(book: Book, name: str, horse: str) -> pd.DataFrame:
    if name == "splits":
        return _of_works(book, book.tables[name], book.splits_by_work, horse)
    if name == GPS:
        return _of_works(book, book.gps, book.gps_by_work, horse)
    frame = book.tables[name]
    return frame.iloc[_places(book, name, horse)].reset_index(drop=True)


def _of_works(book: Book, frame: pd.DataFrame, by_work: Groups, horse: str) -> pd.DataFrame:
    """Return the rows that belong to the works of a horse."""
    works = book.tables["works"]["work"].iloc[_places(book, "works", horse)]
    places = [by_work[work] for work in works if work in by_work]
    rows = np.sort(np.concatenate(places)) if places else np.zeros(0, dtype=np.intp)
    return frame.iloc[rows].reset_index(drop=True)


def _places(book: Book, name: str, horse: str) -> "np.ndarray[Any, np.dtype[np.intp]]":
    return book.rows_by_horse[name].get(horse, np.zeros(0, dtype=np.intp))


def _censored(
    common: Common, name: str, frame: pd.DataFrame, horse: str
) -> tuple[pd.DataFrame, int]:
    """Leave out people, and every free text that names another horse or an owner."""
    if "rider" in frame:
        frame = frame.drop(columns="rider")
    if "by" in frame:
        frame = frame.assign(by=_persons(frame["by"]))
    if "company" in frame:
        frame = _in_company(frame, common.horses)
    count = 0
    for column in SCHEMA[name].columns:
        if column.kind not in ("text", "label") or column.name not in frame:
            continue
        texts = frame[column.name]
        named = np.array(
            [t is not None and common.mentions.names_another(t, horse) for t in texts], dtype=bool
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


def _in_company(works: pd.DataFrame, ids: frozenset[str]) -> pd.DataFrame:
    """Say whether a work was in company, without saying in whose; None where nothing is said."""
    known = [
        None if text is None else text in ids or text.casefold() not in _ALONE
        for text in works["company"]
    ]
    place = int(works.columns.get_indexer(pd.Index(["company"]))[0])
    works = works.drop(columns="company")
    works.insert(place, "in_company", pd.Series(known, dtype="object"))
    return works


def left_out_of(problems: Iterable[Problem], horse: str, unread: frozenset[str]) -> list[str]:
    """Return the places of what could not be used: never what stands there.

    Of files only a recorded track is named, and only its own horse's: its name is the work's id.
    """
    return [
        _place(problem)
        for problem in problems
        if problem.level == "error"
        and problem.table in (*SLICE_TABLES, GPS)
        and (problem.horse == horse or problem.table in unread)
    ]


def _left_out_of_all(book: Book) -> list[str]:
    """Return the places of what could not be used of that which belongs to no horse."""
    return [
        _place(problem)
        for problem in book.problems
        if problem.level == "error" and problem.table in (*SHARED, _OF_BARN)
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
