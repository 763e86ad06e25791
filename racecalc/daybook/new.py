"""An empty daybook to begin with."""

import csv
from pathlib import Path
from typing import Any

from racecalc.daybook.schema import SCHEMA, TableSchema
from racecalc.errors import DaybookError

__all__ = ["new"]

_SETTINGS = (
    ("barn", "name", '"Our stable"', "what the masthead of every report says"),
    ("barn", "trainer", '"Our trainer"', "the name below it"),
    ("barn", "units", '"imperial"', 'or "metric": how reports show values'),
    ("barn", "clock", '"fifths"', 'or "hundredths": how 1:13.2 is read and written'),
    ("barn", "paper", '"letter"', 'or "a4"'),
    ("barn", "language", '"en"', "language tag of the reports"),
    ("care", "fast_speed", '"14 m/s"', "at or above this, ground counts as fast"),
    ("care", "fast_limit_30d", '"6 km"', "fast ground in 30 days that should make someone look"),
    ("care", "days_between_works", "5", "at least, from a work to the next"),
    ("care", "days_work_to_race", "4", "at least, from a work to a race"),
    (
        "care",
        "no_work_states",
        '["sloppy", "muddy", "heavy", "frozen"]',
        "no horse works on these",
    ),
)
_CARE = "# Limits that the trainer and the vet set; these are defaults, not safe limits."
_STATES = (
    "# Your own words for the state of a surface, and the word each stands for:\n"
    '# [states]\n# "off fast" = "wet fast"\n'
)


def new(folder: str | Path, xlsx: bool = False) -> Path:
    """Make an empty daybook: the settings, and every table with its header.

    Parameters
    ----------
    folder : str or Path
        Where to make it; a folder that is not there yet, or is empty.
    xlsx : bool
        Make one workbook instead: ``daybook.xlsx`` in that folder, or the path itself where it
        ends in ``.xlsx``. Its columns are formatted so that a spreadsheet leaves ``1:13 2/5`` and
        ``3/4`` alone.

    Returns
    -------
    Path
        The daybook: what `read` takes.

    Raises
    ------
    DaybookError
        If there is something there already, or it cannot be written.
    """
    target = Path(folder)
    one_file = xlsx and target.suffix.casefold() == ".xlsx"
    taken = target.exists() and (one_file or not target.is_dir() or any(target.iterdir()))
    if taken:
        raise DaybookError(f"{target}: is there already and not empty; choose another place")
    try:
        (target.parent if one_file else target).mkdir(parents=True, exist_ok=True)
        if xlsx:
            return _write_workbook(target if one_file else target / "daybook.xlsx")
        _write_folder(target)
    except OSError as error:
        raise DaybookError(f"{target}: cannot be written ({error.strerror})") from error
    return target


def _headings(table: TableSchema) -> list[str]:
    return [column.name for column in table.columns]


def _write_folder(folder: Path) -> None:
    (folder / "barn.toml").write_text(_toml(), encoding="utf-8")
    for table in SCHEMA.values():
        with (folder / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerow(_headings(table))


def _toml() -> str:
    lines: list[str] = []
    for section in ("barn", "care"):
        lines += [f"[{section}]"] + ([_CARE] if section == "care" else [])
        for where, key, value, meaning in _SETTINGS:
            if where == section:
                lines.append(f"{key} = {value}  # {meaning}")
        lines.append("")
    return "\n".join(lines) + "\n" + _STATES


def _write_workbook(path: Path) -> Path:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    sheet.title = "barn"
    sheet.append(["key", "value", "meaning"])
    for _section, key, value, meaning in _SETTINGS:
        sheet.append([key, value.strip('[]"').replace('"', ""), meaning])
    for table in SCHEMA.values():
        sheet = book.create_sheet(table.name)
        sheet.append(_headings(table))
        _format(sheet, table)
    book.save(path)
    return path


def _format(sheet: Any, table: TableSchema) -> None:
    """Format the columns: dates as ISO dates, all else as text, the header in sight."""
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    sheet.freeze_panes = "A2"
    for number, column in enumerate(table.columns, start=1):
        dimension = sheet.column_dimensions[get_column_letter(number)]
        dimension.number_format = "yyyy-mm-dd" if column.kind == "date" else "@"
        dimension.width = max(12, len(column.name) + 3)
        sheet.cell(1, number).font = Font(bold=True)
