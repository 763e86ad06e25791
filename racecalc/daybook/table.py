"""A table while it is checked: its values, which rows are refused, and what was said of them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.problems import Problem, quoted
from racecalc.daybook.raw import TextColumn
from racecalc.daybook.schema import SCHEMA, TableSchema

__all__ = ["Mask", "Table", "empty_frame", "typed_series"]

Mask = npt.NDArray[np.bool_]

_DTYPES = {
    "text": "object",
    "yesno": "object",
    "number": "float64",
    "date": "datetime64[ns]",
    "time": "datetime64[ns]",
}


def typed_series(values: Any, kind: str) -> "pd.Series[Any]":
    """Make a column of the type that a field of this kind has."""
    return pd.Series(values, dtype=_DTYPES[kind])


def empty_frame(name: str) -> pd.DataFrame:
    """Return a table without rows, with its columns and their types."""
    columns = {field: typed_series([], kind) for field, kind in SCHEMA[name].fields.items()}
    return pd.DataFrame({**columns, "row": pd.Series([], dtype="int64")})


@dataclass
class Table:
    """One table under check; ``frame`` keeps every row until `kept` leaves the refused ones out."""

    schema: TableSchema
    file: str
    frame: pd.DataFrame
    refused: Mask
    problems: list[Problem] = field(default_factory=list)
    cells: Mapping[str, TextColumn] = field(default_factory=dict)
    # Filled in for splits, whose rows name a horse only by way of their work.
    horses: "npt.NDArray[np.object_] | None" = None

    def __len__(self) -> int:
        return len(self.frame)

    def values(self, name: str) -> npt.NDArray[np.float64]:
        """Return a numeric column, NaN where unknown."""
        return self.frame[name].to_numpy(dtype=np.float64)

    def texts(self, name: str) -> npt.NDArray[np.object_]:
        """Return a text column, None where blank."""
        return self.frame[name].to_numpy(dtype=object)

    def dates(self, name: str) -> "npt.NDArray[np.datetime64]":
        """Return a date column, NaT where unknown."""
        return self.frame[name].to_numpy(dtype="datetime64[ns]")

    @cached_property
    def _rows(self) -> "npt.NDArray[np.int64]":
        return self.frame["row"].to_numpy(dtype=np.int64)

    @cached_property
    def _own_horses(self) -> "npt.NDArray[np.object_] | None":
        return self.texts("horse") if "horse" in self.frame else None

    def row(self, index: int) -> int:
        """Return the spreadsheet row of a position."""
        return int(self._rows[index])

    def horse(self, index: int) -> str | None:
        """Return the horse that a position is of."""
        horses = self.horses if self._own_horses is None else self._own_horses
        return None if horses is None or horses[index] is None else str(horses[index])

    def text(self, index: int, column: str) -> str:
        """Return what the file holds in a cell, an empty text where it is blank."""
        cells = self.cells.get(column)
        return (cells.texts[int(cells.codes[index])] if cells is not None else None) or ""

    def cell(self, index: int, column: str) -> str:
        """Quote what the file holds in a cell."""
        text = self.text(index, column)
        return quoted(text) if text else "a blank cell"

    def say(self, index: int, column: str | None, message: str, level: str = "error") -> None:
        """Note a problem of one row; an error refuses the row."""
        self.problems.append(
            Problem(
                self.file,
                self.row(index),
                column,
                message,
                level,
                self.schema.name,
                self.horse(index),
            )
        )
        if level == "error":
            self.refused[index] = True

    def flag(
        self,
        mask: Mask,
        column: str,
        message: Callable[[int], str],
        level: str = "error",
    ) -> None:
        """Note a problem of every row where the mask holds."""
        for index in np.flatnonzero(mask):
            self.say(int(index), column, message(int(index)), level)

    def refuse(self, indices: Iterable[int]) -> None:
        """Leave rows out for a problem that was noted of another row."""
        self.refused[list(indices)] = True

    def kept(self) -> pd.DataFrame:
        """Return the rows that are not refused."""
        return self.frame.loc[~self.refused].reset_index(drop=True)
