"""A whole book as Parquet sorted by horse: written once for a night, read a horse at a time.

A slice costs the same whatever the size of the book, and nobody has to hold the book in memory.
The files are for the time of a run; they hold what a daybook holds, and are not for owners.
"""

import json
from dataclasses import asdict
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from racecalc.daybook.barn import barn_of
from racecalc.daybook.book import Book
from racecalc.daybook.common import SHARED, Common
from racecalc.daybook.frozen import arrow_table, frame_of
from racecalc.daybook.gps import GPS
from racecalc.daybook.mentions import Mentions
from racecalc.daybook.problems import Problem
from racecalc.daybook.snapshot import SLICE_TABLES, HorseBook, cut, left_out_of
from racecalc.daybook.string import by_track, ranked, thinned, without

__all__ = ["Store", "write_store"]

_HEAD = "store.json"
# Rows that are read together; a horse has some hundred rows a year in the largest table.
_ROWS_TOGETHER = 4096
_OF_HORSES = tuple(name for name in (*SLICE_TABLES, GPS) if name not in SHARED)
_WORKS = "works"
_STRING = "string"
# Comes after every id.
_AFTER = "\U0010ffff"
# How many sets of tracks are kept.
_SETS = 16


def write_store(book: Book, folder: Path) -> None:
    """Write a book as Parquet files sorted by horse.

    Parameters
    ----------
    book : Book
        The book that was read.
    folder : Path
        An empty folder.
    """
    horses = sorted(book.tables["horses"]["horse"])
    places = {horse: place for place, horse in enumerate(horses)}
    of_work = dict(zip(book.tables[_WORKS]["work"], book.tables[_WORKS]["horse"], strict=True))
    starts = {}
    for name in _OF_HORSES:
        frame = book.gps if name == GPS else book.tables[name]
        owner = frame["horse"] if "horse" in frame else frame["work"].map(of_work)
        codes = owner.map(places).fillna(-1).to_numpy(dtype=np.int64)
        order = np.argsort(codes, kind="stable")
        starts[name] = np.searchsorted(codes[order], np.arange(len(horses) + 1)).tolist()
        _write(frame.iloc[order], name, folder)
    for name in SHARED:
        _write(book.tables[name], name, folder)
    tracks = sorted(book.tables["tracks"]["track"])
    string = by_track(book.tables[_WORKS], tracks)
    starts[_STRING] = np.searchsorted(string["track"].to_numpy(str), [*tracks, _AFTER]).tolist()
    _write(string, _STRING, folder)
    head = {
        "horses": horses,
        "tracks": tracks,
        "starts": starts,
        "barn": asdict(book.barn),
        "names": book.mentions.names,
        "blind": book.mentions.blind,
        "left_out": _left_out(book),
    }
    (folder / _HEAD).write_text(json.dumps(head), encoding="utf-8")


def _write(frame: pd.DataFrame, name: str, folder: Path) -> None:
    import pyarrow.parquet

    pyarrow.parquet.write_table(
        arrow_table(frame, name),
        folder / f"{name}.parquet",
        row_group_size=_ROWS_TOGETHER,
        write_statistics=False,
    )


def _left_out(book: Book) -> dict[str, list[str]]:
    """Return the places of what could not be used, by horse; of any other horse under no name."""
    of_horse: dict[str, list[int]] = {}
    of_all = []
    for place, problem in enumerate(book.problems):
        if problem.table in book.unread:
            of_all.append(place)
        elif problem.horse and problem.level == "error":
            of_horse.setdefault(problem.horse, []).append(place)

    def told(horse: str) -> list[str]:
        places = sorted(of_all + of_horse.get(horse, []))
        found: list[Problem] = [book.problems[place] for place in places]
        return left_out_of(found, horse, book.unread)

    return {horse: told(horse) for horse in ("", *of_horse)}


class Store:
    """The slices of a book that `write_store` wrote.

    Parameters
    ----------
    folder : Path
        The folder of the store.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._head: dict[str, Any] = json.loads((folder / _HEAD).read_text(encoding="utf-8"))
        self._places = {horse: place for place, horse in enumerate(self._head["horses"])}
        self._works: dict[frozenset[str], pd.DataFrame] = {}

    @property
    def horses(self) -> tuple[str, ...]:
        """The ids of its horses."""
        return tuple(self._head["horses"])

    def slice_for(self, horse: str) -> HorseBook:
        """Return a horse's slice: the same as `snapshot.slice_for` cuts out of the book.

        Raises
        ------
        KeyError
            If there is no such horse.
        """
        place = self._places[horse]
        rows = {name: self._rows(name, place) for name in _OF_HORSES}
        others = without(horse, self._works_at(frozenset(rows[_WORKS]["track"])))
        left_out = self._head["left_out"]
        return cut(self._common, horse, rows, others, left_out.get(horse, left_out[""]))

    @cached_property
    def _common(self) -> Common:
        return Common(
            barn_of(self._head["barn"]),
            frozenset(self.horses),
            Mentions(
                [(name, subject) for name, subject in self._head["names"]], self._head["blind"]
            ),
            {name: frame_of(name, self._file(name).read()) for name in SHARED},
        )

    @cached_property
    def _files(self) -> dict[str, Any]:
        return {}

    @cached_property
    def _read(self) -> dict[str, tuple[Any, Any]]:
        """What was last read of each table, after the numbers of its groups of rows."""
        return {}

    def _file(self, name: str) -> Any:
        import pyarrow.parquet

        if name not in self._files:
            self._files[name] = pyarrow.parquet.ParquetFile(self._folder / f"{name}.parquet")
        return self._files[name]

    def _rows(self, name: str, place: int) -> pd.DataFrame:
        starts = self._head["starts"][name]
        first, after = (*starts, starts[-1])[place : place + 2]
        groups = (
            range(first // _ROWS_TOGETHER, -(-after // _ROWS_TOGETHER)) if after > first else ()
        )
        # The next horse's rows are mostly among those that are read together.
        known, read = self._read.get(name, (None, None))
        if known != groups:
            read = self._file(name).read_row_groups(list(groups), use_threads=False)
            self._read[name] = (groups, read)
        before = groups[0] * _ROWS_TOGETHER if groups else 0
        return frame_of(name, read.slice(first - before, after - first))

    def _works_at(self, tracks: frozenset[str]) -> pd.DataFrame:
        """Return the works that all horses of some tracks lean on; the newest sets are kept."""
        if tracks not in self._works:
            if len(self._works) == _SETS:
                self._works.pop(next(iter(self._works)))
            places = [self._head["tracks"].index(track) for track in sorted(tracks)]
            parts = [self._rows(_STRING, place) for place in places or [len(self._head["tracks"])]]
            self._works[tracks] = ranked(thinned(pd.concat(parts, ignore_index=True)))
        return self._works[tracks]
