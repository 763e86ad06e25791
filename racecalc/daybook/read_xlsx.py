"""One .xlsx file with a sheet per table, and what spreadsheets do to what people type."""

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

from racecalc.daybook.problems import quoted
from racecalc.daybook.raw import CellBuilder, Header, RawTable, accept_header
from racecalc.daybook.schema import TableSchema
from racecalc.errors import DaybookError

__all__ = ["Workbook", "open_workbook", "read_sheet", "settings_sheet"]

# A file that unpacks to more than this is no stable's daybook, and would fill the memory.
_MOST_UNPACKED_BYTES = 2**31
_PADDED = re.compile(r"0+")
_DECIMALS = re.compile(r"0\.(0+)")
_AS_TEXT = "format the column as Text and type it again"


@dataclass(frozen=True)
class Workbook:
    """An opened workbook: its values as last computed, and its formulas where it has any."""

    file: str
    values: Any
    formulas: Any

    @property
    def sheets(self) -> dict[str, str]:
        """The name of each sheet by its name in lower case without blanks around it."""
        return {name.strip().casefold(): name for name in self.values.sheetnames}


class _RefusedCellError(Exception):
    """A cell that holds something else than what was typed."""


def open_workbook(path: Path) -> Workbook:
    """Open an .xlsx file for reading.

    Raises
    ------
    DaybookError
        If it is none: empty, protected by a password, a web page, damaged, or of the older format.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise DaybookError(
            f"{path.name}: cannot be read ({error.strerror}); close it elsewhere and try again"
        ) from error
    if complaint := _not_xlsx(data):
        raise DaybookError(f"{path.name}: {complaint}")
    try:
        return _load(path.name, data)
    # The parser meets arbitrary bytes here, and raises whatever its parts raise.
    except Exception as error:
        raise DaybookError(
            f"{path.name}: is damaged or no workbook ({type(error).__name__}); open it in a "
            "spreadsheet, save it again as .xlsx, or go back to an earlier copy"
        ) from error


def _not_xlsx(data: bytes) -> str | None:
    if not data:
        return "the file is empty; go back to an earlier copy"
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        return "has a password, or is in the old .xls format; save a copy as .xlsx without password"
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        return "is a web page or XML text under the name .xlsx; save it as .xlsx from a spreadsheet"
    if not data.startswith(b"PK"):
        return "is no .xlsx file; save it as .xlsx from a spreadsheet"
    return None


def _load(file: str, data: bytes) -> Workbook:
    from openpyxl import load_workbook

    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(part.file_size for part in archive.infolist()) > _MOST_UNPACKED_BYTES:
            raise ValueError("too large when unpacked")
        sheets = [name for name in archive.namelist() if name.startswith("xl/worksheets/")]
        has_formulas = any(b"<f" in archive.read(name) for name in sheets)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        values = load_workbook(io.BytesIO(data), data_only=True)
        formulas = load_workbook(io.BytesIO(data)) if has_formulas else None
    for name in values.sheetnames:  # a chart sheet has no cells
        if not hasattr(values[name], "iter_rows"):
            del values[name]
    return Workbook(file, values, formulas)


def read_sheet(schema: TableSchema, book: Workbook) -> RawTable:
    """Read the sheet of a table as text; what is wrong is in the table's problems."""
    name = book.sheets[schema.name]
    raw = RawTable(schema, f"{book.file}[{schema.name}]")
    sheet = book.values[name]
    rows = _rows(sheet)
    first = next(rows, None)
    if first is None:
        return raw.refuse("the sheet is empty; its first row must name the columns")
    row, cells = first
    header = accept_header(raw, [_heading(cell) for cell in cells], row)
    if header is not None:
        formulas = book.formulas[name] if book.formulas is not None else None
        _fill(raw, header, rows, formulas)
        _refuse_merged(raw, header, sheet, row)
    return raw


def settings_sheet(book: Workbook) -> list[tuple[int, str, str]]:
    """Return (row, key, value) of the sheet ``barn``."""
    found = []
    for row, cells in _rows(book.values[book.sheets["barn"]]):
        texts = [_heading(cell).strip() for cell in cells[:2]]
        found.append((row, texts[0], texts[1] if len(texts) > 1 else ""))
    return found


def _rows(sheet: Any) -> Iterator[tuple[int, tuple[Any, ...]]]:
    """Yield the rows that hold anything."""
    for row, cells in enumerate(sheet.iter_rows(), start=1):
        if any(cell.value is not None for cell in cells):
            yield row, cells


def _heading(cell: Any) -> str:
    try:
        return _text(cell, "text")
    except _RefusedCellError:
        return str(cell.value)


def _fill(
    raw: RawTable, header: Header, rows: Iterator[tuple[int, tuple[Any, ...]]], formulas: Any
) -> None:
    builders = {name: CellBuilder() for name in header.places}
    kinds = {name: raw.schema.column(name).kind for name in header.places}
    numbers: list[int] = []
    for row, cells in rows:
        for name, place in header.places.items():
            cell = cells[place]
            try:
                text = _text(cell, kinds[name])
                if not text and formulas is not None:
                    _refuse_formula(formulas.cell(row, place + 1))
            except _RefusedCellError as refused:
                raw.refused[len(numbers), name] = str(refused)
                text = ""
            builders[name].extend((text,))
        numbers.append(row)
    raw.rows = np.array(numbers, dtype=np.int64)
    raw.columns = {name: builder.column() for name, builder in builders.items()}


def _refuse_formula(cell: Any) -> None:
    if cell.data_type == "f":
        raise _RefusedCellError(
            "holds a formula whose value was never computed; open the file in a spreadsheet and "
            "save it, or type the value"
        )


def _refuse_merged(raw: RawTable, header: Header, sheet: Any, header_row: int) -> None:
    """Refuse every cell that a merge has emptied: what it should say is anybody's guess."""
    index_of = {int(row): index for index, row in enumerate(raw.rows)}
    names = {place + 1: name for name, place in header.places.items()}
    for merged in sheet.merged_cells.ranges:
        message = (
            f"cells {merged.coord} are merged and only the first of them holds a value; "
            "unmerge them and fill each"
        )
        inside = [row for row in index_of if merged.min_row <= row <= merged.max_row]
        for column, name in names.items():
            if not merged.min_col <= column <= merged.max_col:
                continue
            for row in inside:
                if (row, column) != (merged.min_row, merged.min_col) and row > header_row:
                    raw.refused[index_of[row], name] = message


def _text(cell: Any, kind: str) -> str:
    """Return what was typed into a cell.

    Raises
    ------
    _RefusedCellError
        If the spreadsheet has turned it into something else.
    """
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "e":
        raise _RefusedCellError(f"holds the error {quoted(value)}; type the value")
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        if kind == "clock" and value != int(value):
            raise _RefusedCellError(
                f"is the number {_plain(value)}, which may be fifths or decimals; format the cell "
                "as Text and write 50 1/5 or 50.20"
            )
        return _number(value, str(cell.number_format))
    return _moment(value, kind)


def _number(value: float, shown_as: str) -> str:
    """Write a number as its cell shows it where that loses nothing, else in full."""
    if "%" in shown_as:
        return f"{_plain(float(Decimal(repr(value)) * 100))}%"
    if _PADDED.fullmatch(shown_as) and value == int(value):
        return f"{int(value):0{len(shown_as)}d}"
    if (match := _DECIMALS.fullmatch(shown_as)) and float(f"{value:.{len(match[1])}f}") == value:
        return f"{value:.{len(match[1])}f}"
    return _plain(value)


def _plain(value: float) -> str:
    return str(int(value)) if value == int(value) else format(Decimal(repr(value)), "f")


def _moment(value: object, kind: str) -> str:
    if kind in ("text", "label", "name"):
        return str(value)
    if isinstance(value, datetime.datetime) and kind in ("date", "date_or_year"):
        if value.time() == datetime.time():
            return value.date().isoformat()
        raise _RefusedCellError(f"holds a time of day beside the date ({value}); write the date")
    if isinstance(value, datetime.datetime):
        became = f"the date {value.date()}"
    elif isinstance(value, datetime.time):
        became = f"the time of day {value}"
    else:
        became = f"a length of time, {value}"
    if kind in ("date", "date_or_year"):
        raise _RefusedCellError(f"holds {became}; write the date, such as 2026-10-04")
    raise _RefusedCellError(f"was turned into {became} by the spreadsheet; {_AS_TEXT}")
