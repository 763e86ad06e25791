"""A Parquet file per table, for organisations whose records come out of a database."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

from racecalc.daybook.raw import RawTable, TextColumn, accept_header, composed
from racecalc.daybook.schema import TableSchema

__all__ = ["read_parquet"]

_FIRST_ROW = 2  # rows are numbered as if the table stood in a spreadsheet under its header


def read_parquet(schema: TableSchema, path: Path) -> RawTable:
    """Read a Parquet file as text, so that every table is parsed by the same rules.

    Parameters
    ----------
    schema : TableSchema
        The table that the file holds.
    path : Path
        The file; it is only read. Text, whole numbers, decimals, dates and yes/no are understood.

    Returns
    -------
    RawTable
        Never raises for what the file holds: what is wrong is in its problems.
    """
    import pyarrow.parquet

    raw = RawTable(schema, path.name)
    try:
        data = pyarrow.parquet.read_table(pyarrow.BufferReader(path.read_bytes()))
        header = accept_header(raw, data.column_names, 1)
        if header is None:
            return raw
        raw.columns = {name: _texts(data.column(place)) for name, place in header.places.items()}
    # The parser meets arbitrary bytes here, and raises whatever its parts raise.
    except Exception as error:
        return raw.refuse(f"cannot be read as Parquet ({_first_line(error)}); write it again")
    raw.rows = np.arange(_FIRST_ROW, _FIRST_ROW + data.num_rows, dtype=np.int64)
    return raw


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0][:80]


def _texts(column: Any) -> TextColumn:
    """Write each distinct value of a column as text."""
    import pyarrow.compute

    if str(column.type) == "null":
        return TextColumn(np.zeros(len(column), dtype=np.int32), [None])
    if str(column.type).startswith("dictionary"):
        column = column.cast(column.type.value_type)
    coded = pyarrow.compute.dictionary_encode(column).combine_chunks()
    if hasattr(coded, "chunks"):
        coded = coded.chunk(0)
    texts = [composed(_text(value)) for value in coded.dictionary.to_pylist()]
    blank = len(texts)
    codes = coded.indices.fill_null(blank).to_numpy(zero_copy_only=False).astype(np.int32)
    return TextColumn(codes, [*texts, None])


def _two_decimals(value: float) -> str:
    text = format(Decimal(repr(value)), "f")
    return f"{text}0" if len(text.partition(".")[2]) == 1 else text


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        if value != value:
            return ""
        whole = abs(value) != float("inf") and value == int(value)
        # Two decimals at least: 50.2 s in a column of numbers is no "50 and two fifths".
        return str(int(value)) if whole else _two_decimals(value)
    if isinstance(value, bytes):
        return value.decode("utf-8", "surrogateescape")
    return str(value)
