"""Workbooks, and what spreadsheets do to what people type."""

import datetime
import zipfile
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from racecalc import daybook
from racecalc.errors import DaybookError
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import TABLES, write_book


def put(sheet: str, cell: str, value: object, number_format: str | None = None) -> Any:
    """Return a change of one cell."""

    def change(book: Workbook) -> None:
        target = book[sheet][cell]
        target.data_type = "n"
        target.number_format = number_format or "General"
        target.value = value
        if number_format is not None:
            target.number_format = number_format

    return change


def problems(path: Path) -> list[str]:
    return [str(problem) for problem in daybook.read(path).problems]


def test_a_workbook_reads_as_the_same_folder_does(tmp_path: Path) -> None:
    folder = daybook.read(write_book(tmp_path / "folder"))
    book = daybook.read(write_workbook(tmp_path / "book.xlsx"))
    assert book.problems == []
    assert book.barn == folder.barn
    for name, frame in folder.tables.items():
        pd.testing.assert_frame_equal(book.tables[name], frame)


def test_a_folder_with_one_workbook_is_that_workbook(tmp_path: Path) -> None:
    write_workbook(tmp_path / "book.xlsx")
    (tmp_path / "~$book.xlsx").write_bytes(b"lock")
    assert daybook.read(tmp_path).problems == []


def test_problems_name_file_sheet_row_and_column(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx", put("works", "F2", "1:73"))
    refused, hanging = problems(path)
    assert refused.startswith('book.xlsx[works]:2:time: "1:73"')
    assert hanging == (
        'book.xlsx[splits]:2:work: "w1" cannot be used, for row 2 of works is refused; '
        "mend that row (6 rows are left out)"
    )


def test_true_dates_numbers_and_booleans_are_read(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        put("works", "B2", datetime.datetime(2026, 10, 4))(book)
        put("works", "I2", True)(book)
        put("horses", "C3", 2021)(book)
        put("shares", "C2", 0.6, "0%")(book)
        put("measurements", "D6", 34.0)(book)

    book = daybook.read(write_workbook(tmp_path / "book.xlsx", change))
    assert book.problems == []
    assert book.tables["works"]["date"].iloc[0] == pd.Timestamp(2026, 10, 4)
    assert book.tables["works"]["from_gate"].iloc[0] is True
    assert book.tables["horses"]["foaled_year"].iloc[1] == 2021
    assert book.tables["shares"]["percent"].iloc[0] == 60
    assert book.tables["measurements"]["value"].iloc[4] == 34


def test_the_1904_epoch_gives_the_same_days(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book.epoch = CALENDAR_MAC_1904
        put("works", "B2", datetime.datetime(2026, 10, 4))(book)

    path = write_workbook(tmp_path / "book.xlsx", change)
    assert load_workbook(path).epoch == CALENDAR_MAC_1904
    # The stored serial is 1462 days less than under the 1900 epoch.
    serial = (datetime.date(2026, 10, 4) - datetime.date(1904, 1, 1)).days
    with zipfile.ZipFile(path) as archive:
        assert any(f"<v>{serial}</v>".encode() in archive.read(n) for n in archive.namelist())
    assert daybook.read(path).tables["works"]["date"].iloc[0] == pd.Timestamp(2026, 10, 4)


@pytest.mark.parametrize(
    ("cell", "value", "says"),
    [
        ("works!F2", datetime.time(1, 1, 24), "works]:2:time: was turned into the time of day"),
        ("works!F2", datetime.timedelta(hours=61), "works]:2:time: was turned into a length"),
        ("works!G2", datetime.datetime(2026, 5, 8), "works]:2:from_pole: was turned into the date"),
        ("splits!B3", datetime.datetime(2026, 3, 8), "splits]:3:pole: was turned into the date"),
        ("works!B2", datetime.time(1, 1), "works]:2:date: holds the time of day"),
        ("works!B2", datetime.datetime(2026, 10, 4, 6, 30), "works]:2:date: holds a time of day"),
        ("horses!A2", datetime.datetime(2026, 5, 12), "horses]:2:horse: was turned into the date"),
        ("works!B2", "#REF!", 'works]:2:date: holds the error "#REF!"'),
        ("works!B2", "=TODAY()", "works]:2:date: holds a formula whose value was never computed"),
        ("works!B2", 46299, 'works]:2:date: "46299" is no date'),
    ],
)
def test_what_a_spreadsheet_changed_is_refused(
    tmp_path: Path, cell: str, value: object, says: str
) -> None:
    sheet, _, place = cell.partition("!")

    def change(book: Workbook) -> None:
        book[sheet][place].data_type = "n"
        book[sheet][place].value = value

    found = problems(write_workbook(tmp_path / "book.xlsx", change))
    assert found[0].startswith(f"book.xlsx[{says}")
    if "turned into" in says:
        assert "format the column as Text" in found[0]


def test_computed_formulas_give_their_value(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx", put("measurements", "D6", "=17*2"))
    assert "never computed" in problems(path)[0]
    # What a spreadsheet writes beside the formula once it has computed it.
    done = tmp_path / "done.xlsx"
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(done, "w") as after:
        for name in before.namelist():
            data = before.read(name).replace(b"<f>17*2</f><v />", b"<f>17*2</f><v>34</v>")
            after.writestr(name, data.replace(b"<f>17*2</f><v></v>", b"<f>17*2</f><v>34</v>"))
    book = daybook.read(done)
    assert book.problems == []
    assert book.tables["measurements"]["value"].iloc[4] == 34


def test_merged_cells_are_named_and_not_filled(tmp_path: Path) -> None:
    path = write_workbook(
        tmp_path / "book.xlsx", lambda book: book["exercise"].merge_cells("B2:B4")
    )
    message = (
        "cells B2:B4 are merged and only the first of them holds a value; "
        "unmerge them and fill each"
    )
    assert problems(path) == [
        f"book.xlsx[exercise]:3:horse: {message}",
        f"book.xlsx[exercise]:4:horse: {message}",
    ]
    assert daybook.read(path).tables["exercise"]["row"].tolist() == [2]


def test_a_title_over_the_table_is_not_a_header(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book["owners"].insert_rows(1)
        book["owners"]["A1"] = "Owners of the stable"

    found = problems(write_workbook(tmp_path / "book.xlsx", change))
    assert found[0].startswith("book.xlsx[owners]:1: no column owner")


def test_numbers_keep_what_their_format_shows(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        for sheet, place in [("horses", "A3"), ("shares", "A4"), ("exercise", "B3")]:
            put(sheet, place, 7, "000")(book)
        put("works", "C3", 7, "000")(book)
        for place in ("B5", "B6"):
            put("measurements", place, 7, "000")(book)
        put("measurements", "D2", 16.0, "0.0")(book)

    book = daybook.read(write_workbook(tmp_path / "book.xlsx", change))
    assert book.problems == []
    assert book.tables["horses"]["horse"].tolist() == ["brindle", "007"]
    assert book.tables["measurements"]["value"].iloc[0] == pytest.approx(1.6256, abs=1e-12)


def test_empty_rows_between_are_counted(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx", lambda book: book["owners"].insert_rows(3))
    assert daybook.read(path).tables["owners"]["row"].tolist() == [2, 4]


def test_other_sheets_are_named_once(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx", lambda book: book.create_sheet("Work"))
    assert problems(path) == [
        "book.xlsx[Work]: warning: this sheet is named after no table and is not read; "
        "is it meant to be works?"
    ]


@pytest.mark.parametrize("sheet", ["horses", "tracks"])
def test_a_missing_sheet_is_refused(tmp_path: Path, sheet: str) -> None:
    path = write_workbook(tmp_path / "book.xlsx", **{sheet: None})
    with pytest.raises(DaybookError, match=rf"book.xlsx\[{sheet}\]: the sheet is missing"):
        daybook.read(path)


def test_a_missing_settings_sheet_is_refused(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx", lambda book: book.remove(book[" Barn "]))
    with pytest.raises(DaybookError, match=r"book.xlsx\[barn\]: the sheet is missing"):
        daybook.read(path)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty"),
        (b"<html><table></table></html>", "a web page"),
        (b"\xef\xbb\xbf <?xml version='1.0'?>", "a web page or XML"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "has a password, or is in the old .xls"),
        (b"PK\x03\x04 broken", "damaged"),
        (b"horse,name\n", "is no .xlsx file"),
    ],
)
def test_what_is_no_workbook_is_said_in_words(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    with pytest.raises(DaybookError, match=says):
        daybook.read(path)


def test_a_workbook_cut_short_is_damaged(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "book.xlsx")
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(DaybookError, match="damaged"):
        daybook.read(path)


def test_a_zip_that_is_no_workbook_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("letter.txt", "hello")
    with pytest.raises(DaybookError, match="damaged or no workbook"):
        daybook.read(path)


def test_settings_of_a_workbook(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        for row in (
            ["clock_error", "0.2 s"],
            ["shoe_allowance", "3/8 in"],
            ["fast_speed", "32 mph"],
            ["days_between_works", 7],
            ["no_work_states", "sloppy, frozen"],
            ["speed_classes", "14 m/s, 15.5 m/s"],
            ["states.off fast", "wet fast"],
        ):
            book[" Barn "].append(row)

    barn = daybook.read(write_workbook(tmp_path / "book.xlsx", change)).barn
    assert barn.clock_error_s == 0.2
    assert barn.shoe_allowance_m == 0.009525
    assert barn.fast_speed_m_s == pytest.approx(32 * 0.44704)
    assert barn.days_between_works == 7
    assert barn.no_work_states == ("sloppy", "frozen")
    assert barn.speed_classes_m_s == (14.0, 15.5)
    assert barn.states_map == {"off fast": "wet fast"}


def test_sheets_of_a_table_left_out_are_empty(tmp_path: Path) -> None:
    book = daybook.read(write_workbook(tmp_path / "book.xlsx", fitness=None, targets=None))
    assert book.problems == []
    assert len(book.tables["fitness"]) == len(book.tables["targets"]) == 0
    assert len(book.tables["works"]) == len(TABLES["works"].splitlines()) - 1
