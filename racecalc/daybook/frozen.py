"""A slice as files: frozen once, opened by the report that it is for."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pandas as pd

from racecalc.daybook.barn import Barn
from racecalc.daybook.book import read
from racecalc.daybook.gps import GPS, GPS_FIELDS
from racecalc.daybook.problems import quoted
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.snapshot import SLICE_TABLES, HorseBook, data_hash, slice_for, track_slice
from racecalc.daybook.string import STRING_FIELDS
from racecalc.errors import DaybookError, UnknownHorseError

__all__ = ["freeze", "open_slice"]

_FORMAT = 1


def freeze(slice_of: HorseBook, folder: str | Path) -> Path:
    """Write a slice: a Parquet file per table, and ``slice.json``.

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
    import pyarrow
    import pyarrow.parquet

    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name, frame in slice_of.tables.items():
        table = pyarrow.Table.from_pandas(frame, _arrow_schema(frame, name), preserve_index=False)
        pyarrow.parquet.write_table(table.replace_schema_metadata(), folder / f"{name}.parquet")
    head = {
        "format": _FORMAT,
        "horse": slice_of.horse,
        "barn": asdict(slice_of.barn),
        "left_out": slice_of.left_out,
        "withheld_notes": slice_of.withheld_notes,
        "data_hash": slice_of.data_hash,
    }
    text = json.dumps(head, indent=1, ensure_ascii=False, sort_keys=True)
    (folder / "slice.json").write_text(text + "\n", encoding="utf-8")
    return folder


def _arrow_schema(frame: pd.DataFrame, name: str) -> Any:
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
    return pyarrow.schema([(str(column), types[kinds[str(column)]]) for column in frame.columns])


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
    if not (folder / "slice.json").is_file():
        book = read(folder)
        return slice_for(book, horse) if horse else track_slice(book)
    try:
        head = json.loads((folder / "slice.json").read_text(encoding="utf-8"))
        if head["horse"] != horse:
            raise UnknownHorseError(
                f"{folder.name}: is the slice of {quoted(head['horse'])}, not of {quoted(horse)}"
            )
        frozen = _thaw(folder, head)
    except UnknownHorseError:
        raise
    # Files that something else wrote raise whatever their parser raises.
    except Exception as error:
        raise DaybookError(
            f"{folder.name}: is no whole slice ({error}); freeze it again"
        ) from error
    found = data_hash(
        frozen.horse, frozen.barn, frozen.tables, frozen.left_out, frozen.withheld_notes
    )
    if found != frozen.data_hash:
        raise DaybookError(
            f"{folder.name}: the slice was changed since it was frozen; freeze it again"
        )
    return frozen


def _thaw(folder: Path, head: dict[str, Any]) -> HorseBook:
    # JSON has no tuples.
    settings: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value
        for key, value in head["barn"].items()
    }
    return HorseBook(
        head["horse"],
        Barn(**settings),
        {
            name: _thaw_table(folder / f"{name}.parquet", name)
            for name in (*SLICE_TABLES, "string", GPS)
        },
        list(head["left_out"]),
        int(head["withheld_notes"]),
        head["data_hash"],
    )


def _thaw_table(path: Path, name: str) -> pd.DataFrame:
    import pyarrow.parquet

    table = pyarrow.parquet.read_table(path)
    dtypes = {"date": "datetime64[ns]", "time": "datetime64[ns]", "number": "float64"}
    kinds = _fields(name)
    columns = {}
    for column in table.column_names:
        dtype = "int64" if column == "row" else dtypes.get(kinds.get(column, ""), "object")
        values = table.column(column)
        cells = values.to_pylist() if dtype == "object" else values.to_numpy()
        columns[column] = pd.Series(cells, dtype=dtype)
    return pd.DataFrame(columns)
