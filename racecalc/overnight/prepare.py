"""The book of a night: read and checked once, written as a store, and closed again.

A process of its own does it, so that the memory that a large book takes is given back before the
first report. What the run itself has to know of the book is small; it is kept from night to night
with a fingerprint of the book's files, so that a book in which nothing has changed need not be read
at all.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from racecalc.daybook import Barn, Book, Problem, read
from racecalc.daybook.barn import barn_of
from racecalc.daybook.forecasts import FORECASTS
from racecalc.daybook.gps import GPS
from racecalc.daybook.store import write_store
from racecalc.errors import DaybookError
from racecalc.overnight.keys import file_hash
from racecalc.overnight.outbox import (
    Owner,
    Share,
    as_plain,
    owners_from,
    owners_of,
    shares_from,
    shares_of,
)
from racecalc.overnight.pool import Lost, Pool

__all__ = ["Known", "fingerprint", "known_from", "prepare"]

# A book that takes so long to read is none for a night.
_LONGEST_S = 86_400
_TRIES = 3
_READ = (".csv", ".parquet", ".toml", ".xlsx", ".gpx", ".json")
# More of a kind are told by `racecalc check`.
_MOST_PROBLEMS = 1000


@dataclass(frozen=True)
class Known:
    """What a run has to know of a book.

    Attributes
    ----------
    fingerprint : str
        Of the files that it was read from.
    barn : Barn
        The settings.
    names : dict of str to str
        The names of its horses, by id.
    refused : dict of str to str
        Why a horse whose row cannot be used has no report.
    problems : list of Problem
        What is wrong in the book, errors first, at most a thousand.
    errors : int
        How many errors there are.
    owners, shares : tuple
        Whom the horses belong to.
    shares_unread : bool
        Whether these tables are there and could not be read.
    shares_refused : tuple of str
        The horses of which a row of shares could not be used.
    hashes : dict of str to str
        The hashes of the slices, by horse; filled in by the run, for horses with a report.
    """

    fingerprint: str
    barn: Barn
    names: dict[str, str]
    refused: dict[str, str]
    problems: list[Problem]
    errors: int
    owners: tuple[Owner, ...]
    shares: tuple[Share, ...]
    shares_unread: bool
    shares_refused: tuple[str, ...]
    hashes: dict[str, str]

    def to_json(self) -> dict[str, Any]:
        """Return it as plain data."""
        rows = {"owners": as_plain(self.owners), "shares": as_plain(self.shares)}
        return asdict(self) | rows


def known_from(content: dict[str, Any]) -> Known:
    """Return what `Known.to_json` gave."""
    plain = {name: content[name] for name in Known.__dataclass_fields__}
    problems = [Problem(**problem) for problem in plain["problems"]]
    rows = {
        "owners": owners_from(plain["owners"]),
        "shares": shares_from(plain["shares"]),
        "shares_refused": tuple(plain["shares_refused"]),
    }
    return Known(**plain | rows | {"barn": barn_of(plain["barn"]), "problems": problems})


def fingerprint(book: Path) -> str:
    """Return the SHA-256 over the names and contents of all files that a book can consist of.

    A file that cannot be read enters with the reason, one of another kind with its size alone.
    """
    digest = hashlib.sha256()
    for path in _files(book):
        digest.update(f"{path.relative_to(book.parent).as_posix()}\0{_mark(path)}\n".encode())
    return digest.hexdigest()


def _files(book: Path) -> Iterator[Path]:
    folders = [book] if book.is_dir() else [book.parent / GPS, book.parent / FORECASTS]
    if not book.is_dir():
        yield book
    for folder in folders:
        yield from sorted(path for path in folder.rglob("*") if not path.is_dir())


def _mark(path: Path) -> str:
    try:
        if path.is_file() and path.suffix.casefold() in _READ:
            return file_hash(path)
        return f"{path.stat().st_size}"
    except OSError as error:
        return f"{error.strerror}"


@dataclass(frozen=True)
class Prepare:
    """Read a book and write its store into a folder."""

    book: Path
    folder: Path

    def run(self) -> Known | DaybookError | OSError:
        """Return what is known of it, or why it cannot be used or the store cannot be written."""
        try:
            return _read(self.book, self.folder)
        except (DaybookError, OSError) as error:
            return error
        except Exception as error:  # a fault of ours is told in one line
            fault = f"{type(error).__name__}: {' '.join(str(error).split())}"
            return DaybookError(f"{self.book.name}: could not be read: {fault}")


def prepare(book: Path, folder: Path) -> Known:
    """Read a book in a process of its own and write its store into a new folder.

    Raises
    ------
    DaybookError
        If the book cannot be used, or does not stay the same while it is read.
    OSError
        If the store cannot be written.
    """
    folder.mkdir()
    with Pool(1, _LONGEST_S) as pool:
        pool.get_ready(folder.parent)
        [(_, answer)] = pool.each([Prepare(book, folder)])
    if isinstance(answer, Lost):
        raise DaybookError(f"{book.name}: could not be read: the process that read it was ended")
    if isinstance(answer, Exception):
        raise answer
    known: Known = answer
    return known


def _read(path: Path, folder: Path) -> Known:
    """Read a book that does not change meanwhile, and write its store."""
    for _ in range(_TRIES):
        before = fingerprint(path)
        book = read(path)
        if fingerprint(path) == before:
            write_store(book, folder)
            return _known(book, before)
    raise DaybookError(f"{path.name}: is being changed; start again when nobody saves it")


def _known(book: Book, mark: str) -> Known:
    horses = book.tables["horses"]
    names = dict(zip(horses["horse"], horses["name"], strict=True))
    errors = [problem for problem in book.problems if problem.level == "error"]
    warnings = [problem for problem in book.problems if problem.level != "error"]
    told = (errors + warnings)[:_MOST_PROBLEMS]
    return Known(
        fingerprint=mark,
        barn=book.barn,
        names=names,
        refused=_refused(errors, names),
        problems=told,
        errors=len(errors),
        owners=owners_of(book),
        shares=shares_of(book),
        shares_unread=bool({"owners", "shares"} & book.unread),
        shares_refused=tuple(sorted(_with_refused_shares(errors, names))),
        hashes={},
    )


def _with_refused_shares(errors: list[Problem], names: dict[str, str]) -> set[str]:
    return {p.horse for p in errors if p.table == "shares" and p.horse in names and p.horse}


def _refused(errors: list[Problem], names: dict[str, str]) -> dict[str, str]:
    """Return why horses that the book names in a row that cannot be used have no report."""
    said: dict[str, list[str]] = {}
    for problem in errors:
        if problem.table == "horses" and problem.horse and problem.horse not in names:
            said.setdefault(problem.horse, []).append(str(problem))
    return {horse: f"its row was refused: {'; '.join(causes)}" for horse, causes in said.items()}
