"""From a raw table to a typed one: every cell read, every cell that cannot be read named."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.cells import Settings, parse_cells, parse_measured
from racecalc.daybook.raw import RawTable, TextColumn
from racecalc.daybook.schema import WEIGHED, Column
from racecalc.daybook.table import Table, typed_series

__all__ = ["parse_table"]

_Refused = Iterable[tuple[int, str, str]]


def parse_table(raw: RawTable, settings: Settings) -> Table:
    """Read every cell of a table.

    Parameters
    ----------
    raw : RawTable
        The table as text.
    settings : Settings
        The barn's clock and words.

    Returns
    -------
    Table
        All rows, refused ones marked; one problem per cell that cannot be read, in row order.
    """
    count = len(raw.rows)
    values: dict[str, npt.NDArray[np.generic]] = {}
    found: list[tuple[int, str, str]] = []
    for column in raw.schema.columns:
        cells = raw.columns.get(column.name)
        if cells is None:
            cells = TextColumn(np.zeros(count, dtype=np.int32), [None])
        if column.kind == "value":
            values[column.name], refused = _measured(cells, raw.columns.get("what"))
        else:
            fields, refused = _spread(column, cells, settings)
            values.update(fields)
        found += _blank_required(raw, column, cells)
        found += refused
    if raw.schema.name == "measurements":
        units = {what: unit for what, (_, unit) in WEIGHED.items()}
        values["unit"] = np.array([units.get(what) for what in values["what"]], dtype=object)
    table = _typed(raw, values)
    _note(table, raw, found)
    return table


def _spread(
    column: Column, cells: TextColumn, settings: Settings
) -> tuple[dict[str, npt.NDArray[np.generic]], _Refused]:
    """Parse the distinct texts and lay their values out over the rows."""
    parsed = parse_cells(column, cells.texts, settings)
    fields = {name: values[cells.codes] for name, values in parsed.fields.items()}
    return fields, _located(column.name, cells.codes, parsed.refused)


def _located(name: str, codes: npt.NDArray[np.int32], messages: dict[int, str]) -> _Refused:
    if not messages:
        return []
    rows = np.flatnonzero(np.isin(codes, list(messages)))
    return [(int(row), name, messages[int(codes[row])]) for row in rows]


def _measured(
    cells: TextColumn, what: TextColumn | None
) -> tuple[npt.NDArray[np.float64], _Refused]:
    """Parse the values of the measurements, each by what was measured."""
    values = np.full(len(cells.codes), np.nan)
    refused: list[tuple[int, str, str]] = []
    names = [] if what is None else what.texts
    for code, name in enumerate(names):
        if what is None or name is None or name.casefold() not in WEIGHED:
            continue
        rows = np.flatnonzero(what.codes == code)
        distinct, places = np.unique(cells.codes[rows], return_inverse=True)
        read, messages = parse_measured(name.casefold(), [cells.texts[i] for i in distinct])
        values[rows] = read[places]
        refused += [
            (int(row), "value", messages[int(place)])
            for row, place in zip(rows, places, strict=True)
            if int(place) in messages
        ]
    return values, refused


def _blank_required(raw: RawTable, column: Column, cells: TextColumn) -> _Refused:
    if not column.required:
        return []
    blank = [code for code, text in enumerate(cells.texts) if text is None]
    rows = [int(row) for row in np.flatnonzero(np.isin(cells.codes, blank))]
    message = f"is blank; every row needs {column.name}"
    merged = raw.refused  # a cell that a merge emptied has its own words
    return [(row, column.name, message) for row in rows if (row, column.name) not in merged]


def _typed(raw: RawTable, values: dict[str, npt.NDArray[np.generic]]) -> Table:
    columns = {name: typed_series(values[name], kind) for name, kind in raw.schema.fields.items()}
    columns["row"] = pd.Series(raw.rows, dtype="int64")
    refused = np.zeros(len(raw.rows), dtype=np.bool_)
    frame = pd.DataFrame(columns)
    return Table(raw.schema, raw.file, frame, refused, list(raw.problems), raw.columns)


def _note(table: Table, raw: RawTable, found: list[tuple[int, str, str]]) -> None:
    """Note the refused cells in row order; a row that is broken as a whole has one problem."""
    found += [(index, name, message) for (index, name), message in raw.refused.items()]
    place = {column.name: number for number, column in enumerate(raw.schema.columns)}
    for index, message in raw.bad_rows.items():
        table.say(index, None, message)
    for index, name, message in sorted(found, key=lambda item: (item[0], place[item[1]])):
        if index in raw.bad_rows:
            continue
        if raw.schema.column(name).spare:
            table.say(index, name, f"{message} (left blank; the row is used)", "warning")
        else:
            table.say(index, name, message)
