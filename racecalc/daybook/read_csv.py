"""CSV as people save it: with or without BOM, comma or semicolon, any line ending."""

import codecs
import csv
import io
from collections.abc import Iterable, Iterator
from itertools import chain, islice
from pathlib import Path

import numpy as np

from racecalc.daybook.raw import CellBuilder, Header, RawTable, accept_header, match_header
from racecalc.daybook.schema import TableSchema

__all__ = ["read_csv"]

_BLOCK = 16_384  # rows; enough to work in bulk, few enough to stay in the cache

_Record = list[str] | str
_Block = tuple[int, list[_Record]]


def read_csv(schema: TableSchema, path: Path) -> RawTable:
    """Read a CSV file as text.

    Parameters
    ----------
    schema : TableSchema
        The table that the file holds.
    path : Path
        The file; it is only read.

    Returns
    -------
    RawTable
        Never raises for what the file holds: what is wrong is in its problems.
    """
    raw = RawTable(schema, path.name)
    try:
        data = path.read_bytes()
    except OSError as error:
        return raw.refuse(f"cannot be read ({error.strerror}); check that the file may be opened")
    if complaint := _not_csv(data):
        return raw.refuse(complaint)
    # Bytes that are not UTF-8 become lone surrogates, so that only their cells are refused.
    text = data.removeprefix(codecs.BOM_UTF8).decode("utf-8", "surrogateescape")
    blocks = _blocks(text, _separator(schema, text))
    heading = _heading(blocks)
    if heading is None:
        return raw.refuse("the file is empty; its first row must name the columns")
    row, headings, rest = heading
    if isinstance(headings, str):
        return raw.refuse(headings, row)
    header = accept_header(raw, headings, row)
    if header is not None:
        _fill(raw, header, len(headings), chain([(row + 1, rest)], blocks))
    return raw


def _not_csv(data: bytes) -> str | None:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "is UTF-16 text; save it as 'CSV UTF-8'"
    if data.startswith(b"PK\x03\x04"):
        return "is a zip or .xlsx file under the name .csv; save it as 'CSV UTF-8'"
    return None


def _separator(schema: TableSchema, text: str) -> str:
    first = next((line for line in io.StringIO(text, newline=None) if line.strip(" ,;\n")), "")
    known = {sign: len(match_header(schema, first.split(sign)).places) for sign in ",;"}
    return ";" if known[";"] > known[","] else ","


def _filled(record: _Record) -> bool:
    return isinstance(record, str) or any(cell.strip() for cell in record)


def _blocks(text: str, separator: str) -> Iterator[_Block]:
    """Yield blocks of records; one whose quoting is broken ends its block, as a complaint."""
    lines = io.StringIO(text, newline=None)
    reader = csv.reader(lines, delimiter=separator, strict=True)
    row, more = 1, True
    while more:
        block: list[_Record] = []
        try:
            block.extend(islice(reader, _BLOCK))
            more = len(block) == _BLOCK
        except csv.Error as error:  # what was read before it is in the block
            block.append(_broken(str(error)))
        yield row, block
        row += len(block)


def _heading(blocks: Iterator[_Block]) -> tuple[int, _Record, list[_Record]] | None:
    """Return the first row that is not empty, its number, and the rest of its block."""
    for first, block in blocks:
        for place, record in enumerate(block):
            if _filled(record):
                return first + place, record, block[place + 1 :]
    return None


def _broken(error: str) -> str:
    if "end of data" in error or "field limit" in error:
        return (
            "a quotation mark is opened here and never closed, so the rows below it are lost; "
            'close it, or write "" for a quotation mark inside a quoted cell'
        )
    return 'a quoted cell goes on after its closing quotation mark; write "" for one inside it'


def _fill(raw: RawTable, header: Header, width: int, blocks: Iterable[_Block]) -> None:
    builders = {name: CellBuilder() for name in header.places}
    rows: list[int] = []
    for first, block in blocks:
        kept = _rectangular(raw, first, block, width, rows)
        by_place = list(zip(*kept, strict=True)) if kept else [()] * width
        for name, place in header.places.items():
            builders[name].extend(by_place[place])
    raw.rows = np.array(rows, dtype=np.int64)
    raw.columns = {name: builder.column() for name, builder in builders.items()}


def _rectangular(
    raw: RawTable, first: int, block: list[_Record], width: int, rows: list[int]
) -> list[list[str]]:
    """Give every row that is not empty the width of the header; note those that cannot have it."""
    regular = [record for record in block if len(record) == width and not isinstance(record, str)]
    if len(regular) == len(block) and all("".join(record).strip() for record in regular):
        rows.extend(range(first, first + len(block)))
        return regular
    kept = []
    for row, record in enumerate(block, start=first):
        if not _filled(record):
            continue
        fields: list[str] = [] if isinstance(record, str) else record
        if isinstance(record, str):
            raw.bad_rows[len(rows)] = record
        elif any(cell.strip() for cell in fields[width:]):
            raw.bad_rows[len(rows)] = _too_many(width, len(fields))
        rows.append(row)
        kept.append(fields[:width] + [""] * (width - len(fields)))
    return kept


def _too_many(width: int, found: int) -> str:
    return (
        f"has {found} fields where the header names {width}; put a cell that holds the separator "
        "in quotation marks, and write no thousands or decimal comma"
    )
