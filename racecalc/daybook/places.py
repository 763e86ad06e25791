"""Where a daybook keeps its tables: which file, or which sheet, holds what."""

import difflib
from dataclasses import dataclass, field
from pathlib import Path

from racecalc.daybook.barn import settings_from_rows, settings_from_toml
from racecalc.daybook.problems import Problem, listed
from racecalc.daybook.raw import RawTable
from racecalc.daybook.read_csv import read_csv
from racecalc.daybook.read_parquet import read_parquet
from racecalc.daybook.read_xlsx import open_workbook, read_sheet, settings_sheet
from racecalc.daybook.schema import SCHEMA
from racecalc.errors import DaybookError

__all__ = ["RawBook", "read_raw"]

_READERS = {".csv": read_csv, ".parquet": read_parquet}


@dataclass
class RawBook:
    """What was found: the settings, the tables as text, and what is missing or in the way."""

    settings_file: str
    settings: dict[str, object] | None = None
    tables: dict[str, RawTable] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    missing: list[Problem] = field(default_factory=list)

    def lack(self, message: str, file: str, table: str) -> None:
        """Note that something the book cannot do without is not there."""
        self.missing.append(Problem(file, None, None, message, "error", table, None))


def read_raw(path: Path) -> RawBook:
    """Read every table of a daybook as text; nothing is written.

    Raises
    ------
    DaybookError
        If there is nothing at the path, or it is neither a folder nor an .xlsx file.
    """
    files = _files(path)
    if files is not None:
        return _read_folder(files)
    if path.suffix.casefold() in (".csv", ".toml", ".parquet"):
        raise DaybookError(f"{path.name}: is one file of a daybook; give the folder it stands in")
    return _read_workbook(path)


def _files(path: Path) -> list[Path] | None:
    """Return the files of a folder that may be tables or settings; None for a file."""
    try:
        if path.is_dir():
            found = [file for file in sorted(path.iterdir()) if not _hidden(file)]
            _refuse_what_is_no_file(found)
            return [file for file in found if file.is_file()]
        if path.exists():
            return None
    except (OSError, ValueError) as error:
        raise DaybookError(f"{path}: cannot be opened ({error}); check the path") from error
    raise DaybookError(
        f"{path}: there is no such daybook; check the path, or make one with racecalc new"
    )


def _refuse_what_is_no_file(found: list[Path]) -> None:
    """Refuse a folder, a pipe or a dangling link that has a table's name: it would vanish."""
    for file in found:
        named = file.name.casefold() == "barn.toml" or (
            file.stem.casefold() in SCHEMA and file.suffix.casefold() in _READERS
        )
        if named and not file.is_file():
            raise DaybookError(
                f"{file.name}: has the name of a table but is no file that can be read (a folder, "
                "or a link that leads nowhere); put the file there, or rename it"
            )


def _hidden(path: Path) -> bool:
    """Say whether a file is another program's: a lock (``~$``), a dot file."""
    return path.name.startswith(("~$", "."))


def _read_folder(files: list[Path]) -> RawBook:
    settings = [path for path in files if path.name.casefold() == "barn.toml"]
    books = [path for path in files if path.suffix.casefold() == ".xlsx"]
    tables = [path for path in files if path.suffix.casefold() in _READERS]
    if len(books) == 1 and not settings and not tables:
        return _read_workbook(books[0])
    book = RawBook("barn.toml")
    _read_settings(book, settings)
    for name, places in _by_table(book, tables).items():
        if len(places) > 1:
            _note_twice(book, name, places)
        else:
            book.tables[name] = _READERS[places[0].suffix.casefold()](SCHEMA[name], places[0])
    for name in _missing_tables(book):
        book.lack("the table is missing; add the file, with its header", f"{name}.csv", name)
    return book


def _note_twice(book: RawBook, name: str, places: list[Path]) -> None:
    both = listed(place.name for place in places)
    noted = book.missing if SCHEMA[name].required_table else book.problems
    message = f"the table stands in {both}; keep one of them"
    noted.append(Problem(places[0].name, None, None, message, "error", name, None))


def _read_settings(book: RawBook, found: list[Path]) -> None:
    if not found:
        book.lack("is missing; every daybook needs its settings", "barn.toml", "barn")
        return
    try:
        book.settings = settings_from_toml(found[0])
    except DaybookError as error:
        file, _, message = str(error).partition(": ")
        book.lack(message, file, "barn")


def _missing_tables(book: RawBook) -> list[str]:
    told = {problem.table for problem in book.missing}
    return [
        name
        for name, schema in SCHEMA.items()
        if schema.required_table and name not in book.tables and name not in told
    ]


def _by_table(book: RawBook, files: list[Path]) -> dict[str, list[Path]]:
    """Sort the files by the table they are named after; warn of those named after none."""
    places: dict[str, list[Path]] = {}
    for path in files:
        name = path.stem.strip().casefold()
        if name in SCHEMA:
            places.setdefault(name, []).append(path)
        else:
            _warn_unknown(book, path.name, "file", name)
    return {name: places[name] for name in SCHEMA if name in places}


def _warn_unknown(book: RawBook, file: str, what: str, name: str) -> None:
    near = difflib.get_close_matches(name, SCHEMA, 1)
    hint = f"; is it meant to be {near[0]}?" if near else ""
    message = f"this {what} is named after no table and is not read{hint}"
    book.problems.append(Problem(file, None, None, message, "warning", "", None))


def _read_workbook(path: Path) -> RawBook:
    workbook = open_workbook(path)
    sheets = workbook.sheets
    book = RawBook(f"{path.name}[barn]")
    if "barn" in sheets:
        book.settings = settings_from_rows(settings_sheet(workbook))
    else:
        book.lack(
            "the sheet is missing; add it, with the columns key and value",
            book.settings_file,
            "barn",
        )
    for name in sheets:
        if name not in SCHEMA and name != "barn":
            _warn_unknown(book, f"{path.name}[{sheets[name]}]", "sheet", name)
    for name, schema in SCHEMA.items():
        if name in sheets:
            book.tables[name] = read_sheet(schema, workbook)
    for name in _missing_tables(book):
        book.lack("the sheet is missing; add it, with its header", f"{path.name}[{name}]", name)
    return book
