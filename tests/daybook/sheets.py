"""The small stable as a workbook, as people's spreadsheets would hold it."""

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl import Workbook

from tests.daybook.stable import TABLES


def write_workbook(
    path: Path, change: Callable[[Workbook], object] | None = None, **tables: str | None
) -> Path:
    """Write the stable as one workbook of text cells, its sheets in reverse order."""
    book = Workbook()
    book.remove(book.active)
    for name, text in reversed({**TABLES, **tables}.items()):
        if text is not None:
            fill(book.create_sheet(name), list(csv.reader(io.StringIO(text))))
    rows = [["key", "value"], ["name", "Lower Paddock"], ["trainer", "A. Trainer"]]
    fill(book.create_sheet(" Barn "), [*rows, ["clock", "fifths"]])
    if change is not None:
        change(book)
    book.save(path)
    return path


def fill(sheet: Any, rows: list[list[str]]) -> None:
    """Write rows of text; empty text leaves the cell out."""
    for row, cells in enumerate(rows, start=1):
        for column, text in enumerate(cells, start=1):
            if text:
                cell = sheet.cell(row, column)
                cell.value = text
                cell.data_type = "s"
                cell.number_format = "@"
