"""A slice as files: frozen once, opened by the report that it is for."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from racecalc.daybook.barn import barn_of
from racecalc.daybook.book import read
from racecalc.daybook.gps import GPS, GPS_FIELDS
from racecalc.daybook.problems import quoted
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.snapshot import SLICE_TABLES, HorseBook, slice_for, track_slice
from racecalc.daybook.string import STRING_FIELDS
from racecalc.errors import DaybookError, UnknownHorseError

__all__ = ["arrow_table", "frame_of", "freeze", "frozen_files", "open_slice", "thaw"]

_FORMAT = 2
_HEAD = "slice.json"
_OBJECT = np.dtype(object)
_TIME = np.dtype("datetime64[ns]")
_DTYPES = {
    "date": _TIME,
    "time": _TIME,
    "number": np.dtype(np.float64),
    "row": np.dtype(np.int64),
}


def freeze(slice_of: HorseBook, folder: str | Path) -> Path:
    """Write a slice: an Arrow file per table, and ``slice.json``.

    Parameters
    ----------
    slice_of : HorseBook
        The slice.
    folder : str or Path
        Where to write; made if it does not exist.

    Returns
    -------
    Path
        The folder.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in frozen_files(slice_of).items():
        (folder / name).write_bytes(content)
    return folder


def frozen_files(slice_of: HorseBook) -> dict[str, bytes]:
    """Return what `freeze` writes, by file name."""
    files = {f"{name}.arrow": _arrow(frame, name) for name, frame in slice_of.tables.items()}
    head = {
        "format": _FORMAT,
        "horse": slice_of.horse,
        "barn": asdict(slice_of.barn),
        "left_out": slice_of.left_out,
        "withheld_notes": slice_of.withheld_notes,
        "data_hash": slice_of.data_hash,
        "files": {name: hashlib.sha256(content).hexdigest() for name, content in files.items()},
    }
    text = json.dumps(head, indent=1, ensure_ascii=False, sort_keys=True)
    return {**files, _HEAD: (text + "\n").encode()}


def _arrow(frame: pd.DataFrame, name: str) -> bytes:
    import pyarrow

    table = arrow_table(frame, name)
    sink = pyarrow.BufferOutputStream()
    with pyarrow.ipc.new_file(sink, table.schema) as writer:
        writer.write_table(table)
    return sink.getvalue().to_pybytes()  # type: ignore[no-any-return]


def arrow_table(frame: pd.DataFrame, name: str) -> Any:
    """Return a table of a slice, or of a whole book, as an Arrow table without metadata."""
    import pyarrow

    schema = _schema(name, tuple(map(str, frame.columns)))
    # Column by column: what pyarrow does for a frame as a whole costs more than the columns do.
    arrays = [
        pyarrow.array(values.to_numpy(), field.type, from_pandas=True)
        for (_, values), field in zip(frame.items(), schema, strict=True)
    ]
    return pyarrow.Table.from_arrays(arrays, schema=schema)


@cache
def _schema(name: str, columns: tuple[str, ...]) -> Any:
    """Return the Arrow types of the columns of a table."""
    import pyarrow

    types = {
        "text": pyarrow.string(),
        "yesno": pyarrow.bool_(),
        "number": pyarrow.float64(),
        "date": pyarrow.timestamp("ns"),
        "time": pyarrow.timestamp("ns"),
        "row": pyarrow.int64(),
    }
    kinds = {**_fields(name), "in_company": "yesno", "row": "row"}
    return pyarrow.schema([(column, types[kinds[column]]) for column in columns])


def _fields(name: str) -> dict[str, str]:
    own = {"string": STRING_FIELDS, GPS: GPS_FIELDS}
    return own[name] if name in own else SCHEMA[name].fields


def open_slice(path: str | Path, horse: str) -> HorseBook:
    """Open one horse's slice, frozen or straight from a daybook; without a horse the tracks alone.

    Parameters
    ----------
    path : str or Path
        A folder that `freeze` wrote, or a daybook.
    horse : str
        The id of the horse; blank: of no horse.

    Raises
    ------
    UnknownHorseError
        If the slice is another horse's, or the daybook holds no such horse.
    DaybookError
        If it cannot be read, or its content is not what was frozen.
    """
    folder = Path(path)
    if not (folder / _HEAD).is_file():
        book = read(folder)
        return slice_for(book, horse) if horse else track_slice(book)
    try:
        frozen = thaw({file.name: file.read_bytes() for file in folder.iterdir()})
    # Files that something else wrote raise whatever their parser raises.
    except Exception as error:
        raise DaybookError(
            f"{folder.name}: is no whole slice, or was changed since it was frozen ({error}); "
            "freeze it again"
        ) from error
    if frozen.horse != horse:
        raise UnknownHorseError(
            f"{folder.name}: is the slice of {quoted(frozen.horse)}, not of {quoted(horse)}"
        )
    return frozen


def thaw(files: Mapping[str, bytes]) -> HorseBook:
    """Return the slice that `frozen_files` gave.

    Raises
    ------
    Exception
        Of any kind, where they hold something else.
    """
    head = json.loads(files[_HEAD])
    for name, known in head["files"].items():
        if hashlib.sha256(files[name]).hexdigest() != known:
            raise ValueError(f"{name} is not what was frozen")
    return HorseBook(
        head["horse"],
        barn_of(head["barn"]),
        {
            name: frame_of(name, _table(files[f"{name}.arrow"]))
            for name in (*SLICE_TABLES, "string", GPS)
        },
        list(head["left_out"]),
        int(head["withheld_notes"]),
        head["data_hash"],
    )


def _table(content: bytes) -> Any:
    import pyarrow

    with pyarrow.ipc.open_file(content) as reader:
        return reader.read_all()


def frame_of(name: str, table: Any) -> pd.DataFrame:
    """Return an Arrow table as a frame with the types that a table of that name has."""
    kinds, index = _fields(name), pd.RangeIndex(table.num_rows)
    columns = {}
    for column, values in zip(table.column_names, table.columns, strict=True):
        dtype = _DTYPES.get("row" if column == "row" else kinds.get(column, ""), _OBJECT)
        cells = values.to_numpy().astype(dtype, copy=False)
        # As a Series: of bare objects a frame would guess a type of its own.
        columns[column] = pd.Series(cells, index, dtype, copy=False)
    return pd.DataFrame(columns, index, copy=False)
