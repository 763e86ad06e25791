"""The rows of a table as plain mappings, for what is told row by row."""

from collections.abc import Sequence
from typing import Any

import pandas as pd

__all__ = ["in_order", "rows_of"]


def rows_of(table: pd.DataFrame) -> list[dict[Any, Any]]:
    """Return each row by the names of its columns; of few rows quicker than pandas is."""
    columns = [table[name].tolist() for name in table.columns]
    return [dict(zip(table.columns, row, strict=True)) for row in zip(*columns, strict=True)]


def in_order(rows: Sequence[dict[Any, Any]], *names: str) -> list[dict[Any, Any]]:
    """Return rows sorted by some of their cells; what is missing comes last."""
    return sorted(rows, key=lambda row: [_missing_last(row[name]) for name in names])


def _missing_last(cell: Any) -> tuple[bool, Any]:
    return (True, 0) if pd.isna(cell) else (False, cell)
