"""The whole daybook: read, checked, every problem kept."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import cast

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.barn import Barn, barn_from
from racecalc.daybook.body_limits import ages, check_measurements, warn_of_unlikely
from racecalc.daybook.cells import Settings
from racecalc.daybook.clips import check_clips
from racecalc.daybook.clocks import check_splits, check_starts, link_horses
from racecalc.daybook.common import SHARED, Common
from racecalc.daybook.forecasts import FORECASTS, read_forecasts
from racecalc.daybook.gps import GPS, read_gps
from racecalc.daybook.lengths import check_lengths
from racecalc.daybook.limits import check_ground, check_limits, check_speeds
from racecalc.daybook.links import (
    births,
    check_after_birth,
    check_keys,
    check_order,
    check_reference,
    check_repeats,
    check_shares,
    check_states,
)
from racecalc.daybook.mentions import Mentions, mentions_of
from racecalc.daybook.ovals import check_poles, check_tracks
from racecalc.daybook.own_record import check_own_record
from racecalc.daybook.parse import parse_table
from racecalc.daybook.places import RawBook, read_raw
from racecalc.daybook.problems import Problem
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.states import StateWords
from racecalc.daybook.step_limits import check_readings
from racecalc.daybook.step_tests import check_tests
from racecalc.daybook.table import Table, empty_frame
from racecalc.errors import DaybookError

__all__ = ["Book", "check", "read"]

Groups = Mapping[str, npt.NDArray[np.intp]]
"""Positions of rows by what they have in common."""


@dataclass(frozen=True)
class Book:
    """A daybook that was read.

    Attributes
    ----------
    barn : Barn
        The settings.
    tables : dict of str to DataFrame
        Every table of the schema without its refused rows; ``row`` is the spreadsheet row, 0 for a
        day of a saved forecast. A missing table has no rows.
    problems : list of Problem
        All errors and warnings, by table and row.
    path_name : str
        The name of the folder or file.
    rows_read, rows_refused : dict of str to int
        How many rows each table had, and how many of them were left out.
    unread : frozenset of str
        Tables that are there but could not be read as a whole; ``gps`` for the folder, and
        ``forecast`` for its folder too.
    gps : DataFrame
        The points of the recorded works, file by file: ``work``, ``time`` in UTC, rising, and
        ``latitude_deg``, ``longitude_deg``.
    mentions : Mentions
        The finder of the names of this barn's horses and owners, also of refused rows.
    """

    barn: Barn
    tables: dict[str, pd.DataFrame]
    problems: list[Problem]
    path_name: str
    rows_read: dict[str, int]
    rows_refused: dict[str, int]
    unread: frozenset[str]
    gps: pd.DataFrame
    mentions: Mentions

    @cached_property
    def rows_by_horse(self) -> dict[str, Groups]:
        """Positions of the rows of each horse, by table."""
        return {
            name: cast(Groups, frame.groupby("horse", sort=False).indices)
            for name, frame in self.tables.items()
            if "horse" in frame
        }

    @cached_property
    def common(self) -> Common:
        """What the slices of all its horses share."""
        horses = frozenset(self.tables["horses"]["horse"])
        shared = {name: self.tables[name] for name in SHARED}
        return Common(self.barn, horses, self.mentions, shared)

    @cached_property
    def splits_by_work(self) -> Groups:
        """Positions of the splits of each work."""
        return cast(Groups, self.tables["splits"].groupby("work", sort=False).indices)

    @cached_property
    def gps_by_work(self) -> Groups:
        """Positions of the points of each recorded work."""
        return cast(Groups, self.gps.groupby("work", sort=False).indices)


def read(path: str | Path) -> Book:
    """Read and check a daybook; nothing is written.

    Parameters
    ----------
    path : str or Path
        A folder with ``barn.toml`` and a CSV or Parquet file per table, or one .xlsx file.

    Raises
    ------
    DaybookError
        If nothing can be used: no such path, an unreadable file, no settings, horses or tracks.
        Its text has one line for each of these.
    """
    book, missing = _load(Path(path))
    if missing:
        raise DaybookError("\n".join(str(problem) for problem in missing))
    return book


def check(path: str | Path) -> list[Problem]:
    """Return all problems of a daybook, also of one that `read` refuses.

    Raises
    ------
    DaybookError
        If there is no daybook at the path, or its one file cannot be opened.
    """
    book, missing = _load(Path(path))
    return missing + [problem for problem in book.problems if problem not in missing]


def _load(path: Path) -> tuple[Book, list[Problem]]:
    raw = read_raw(path)
    barn, problems = Barn(), list(raw.problems)
    if raw.settings is not None:
        barn, of_barn = barn_from(raw.settings, raw.settings_file)
        problems += of_barn
    words = StateWords(barn.states_map, barn.state_words)
    tables = _parse(raw, Settings(barn.clock, words))
    tables[FORECASTS], of_files = read_forecasts(path, tables[FORECASTS], tables["tracks"])
    _check(tables, words)
    gps, of_gps = read_gps(path, tables["works"], tables["tracks"])
    of_files += of_gps
    for name, table in tables.items():
        problems += sorted(table.problems, key=lambda problem: problem.row or 0)
        if SCHEMA[name].required_table and name in raw.tables and not len(table):
            message = "the table has no rows yet"
            if raw.tables[name].usable:
                problems.append(Problem(table.file, None, None, message, "warning", name, None))
    book = Book(
        barn,
        {name: table.kept() for name, table in tables.items()},
        problems + of_files,
        path.resolve().name,
        {name: len(table) for name, table in tables.items()},
        {name: int(table.refused.sum()) for name, table in tables.items()},
        _unread(raw) | {problem.table for problem in of_files if problem.file in (FORECASTS, GPS)},
        gps,
        mentions_of(tables["horses"].frame, tables["owners"].frame, "owners" in _unread(raw)),
    )
    return book, raw.missing + _unusable(raw)


def _unread(raw: RawBook) -> frozenset[str]:
    """Return the tables that are there but could not be read as a whole."""
    twice = {problem.table for problem in raw.problems if problem.level == "error"}
    return frozenset(twice | {name for name, table in raw.tables.items() if not table.usable})


def _unusable(raw: RawBook) -> list[Problem]:
    """Return why a table that the book cannot do without could not be read."""
    tables = [raw.tables[name] for name in raw.tables if SCHEMA[name].required_table]
    wanted = [table.problems for table in tables if not table.usable]
    return [problem for problem in chain(*wanted) if problem.level == "error"]


def _parse(raw: RawBook, settings: Settings) -> dict[str, Table]:
    tables = {}
    for name, schema in SCHEMA.items():
        if name in raw.tables:
            tables[name] = parse_table(raw.tables[name], settings)
        else:
            refused = np.zeros(0, dtype=np.bool_)
            tables[name] = Table(schema, name, empty_frame(name), refused)
    return tables


def _check(tables: dict[str, Table], words: StateWords) -> None:
    """Run every check, a table after the tables it refers to."""
    for table in tables.values():
        check_limits(table)
        check_order(table)
        check_keys(table)
    check_tracks(tables["tracks"])
    link_horses(tables["splits"], tables["works"])
    for table in tables.values():
        _check_links(table, tables, words)
    check_splits(tables["splits"], tables["works"], tables["tracks"])
    _check_split_poles(tables["splits"], tables["works"], tables["tracks"])


def _check_split_poles(splits: Table, works: Table, tracks: Table) -> None:
    track_of = dict(zip(works.texts("work"), works.texts("track"), strict=True))
    ids = np.array([track_of.get(work) for work in splits.texts("work")], dtype=object)
    check_poles(splits, "pole", "to_finish_m", tracks, ids)


def _check_links(table: Table, tables: dict[str, Table], words: StateWords) -> None:
    if not len(table):
        return
    own = _OWN_CHECKS.get(table.schema.name)
    if own is not None:
        own(table, tables)
    if {"horse", "date"} <= set(table.frame):
        check_after_birth(table, tables["horses"])
    if {"track", "state"} <= set(table.frame):
        check_states(table, tables["tracks"], words)
    for column in table.schema.columns:
        if column.refers:
            check_reference(table, column.name, tables[column.refers])
    last = _LAST_CHECKS.get(table.schema.name)
    if last is not None:
        last(table)


def _check_exercise(table: Table, tables: dict[str, Table]) -> None:
    check_speeds(table)
    check_ground(table)
    check_repeats(table)


def _check_works(table: Table, tables: dict[str, Table]) -> None:
    check_speeds(table)
    check_starts(table, tables["tracks"])
    check_poles(table, "from_pole", "from_pole_m", tables["tracks"], table.texts("track"))


def _check_measurements(table: Table, tables: dict[str, Table]) -> None:
    years = births(tables["horses"]).dt.year
    age = ages(table, {str(horse): float(year) for horse, year in years.items()})
    told = check_measurements(table, age)
    told |= check_own_record(table, age)
    warn_of_unlikely(table, age, told)
    check_lengths(table)
    check_repeats(table)


def _check_fitness(table: Table, tables: dict[str, Table]) -> None:
    check_readings(table)
    check_repeats(table)


_OWN_CHECKS: dict[str, Callable[[Table, dict[str, Table]], None]] = {
    "exercise": _check_exercise,
    "works": _check_works,
    "measurements": _check_measurements,
    "fitness": _check_fitness,
}

_LAST_CHECKS: dict[str, Callable[[Table], None]] = {
    "shares": check_shares,
    "fitness": check_tests,
    "footfalls": check_clips,
}
"""Checks of the rows that no other check has refused."""
