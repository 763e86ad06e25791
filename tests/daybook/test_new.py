"""An empty daybook to begin with."""

from pathlib import Path

import pytest
from openpyxl import load_workbook

from racecalc import daybook
from racecalc.errors import DaybookError

EMPTY = ["the table has no rows yet"] * 2


def test_an_empty_folder_reads_with_the_documented_defaults(tmp_path: Path) -> None:
    path = daybook.new(tmp_path / "book")
    book = daybook.read(path)
    assert [problem.message for problem in book.problems] == EMPTY
    assert {problem.level for problem in book.problems} == {"warning"}
    assert book.barn == daybook.Barn(name="Our stable", trainer="Our trainer")
    assert sorted(file.name for file in path.iterdir()) == sorted(
        ["barn.toml", *(f"{name}.csv" for name in daybook.SCHEMA)]
    )
    for name, table in daybook.SCHEMA.items():
        header = (path / f"{name}.csv").read_text(encoding="utf-8")
        assert header.splitlines() == [",".join(column.name for column in table.columns)]


def test_an_empty_workbook_reads_the_same(tmp_path: Path) -> None:
    path = daybook.new(tmp_path / "book", xlsx=True)
    assert path == tmp_path / "book" / "daybook.xlsx"
    book = daybook.read(path)
    assert [problem.message for problem in book.problems] == EMPTY
    assert book.barn == daybook.read(daybook.new(tmp_path / "csv")).barn
    assert daybook.read(path.parent).barn == book.barn
    assert daybook.new(tmp_path / "one.xlsx", xlsx=True) == tmp_path / "one.xlsx"


def test_columns_of_the_workbook_keep_text_as_typed(tmp_path: Path) -> None:
    sheet = load_workbook(daybook.new(tmp_path, xlsx=True))["works"]
    assert sheet.column_dimensions["F"].number_format == "@"
    assert sheet.column_dimensions["B"].number_format == "yyyy-mm-dd"


def test_an_empty_folder_may_be_there(tmp_path: Path) -> None:
    assert daybook.new(tmp_path) == tmp_path


@pytest.mark.parametrize("xlsx", [False, True])
def test_what_is_there_is_never_overwritten(tmp_path: Path, xlsx: bool) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(DaybookError, match="is there already"):
        daybook.new(tmp_path, xlsx)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "book.xlsx").write_text("mine")
    for xlsx in (False, True):
        with pytest.raises(DaybookError, match="is there already"):
            daybook.new(tmp_path / "book.xlsx", xlsx)
    with pytest.raises(DaybookError):
        daybook.new(tmp_path / "book.xlsx" / "inside")
    assert (tmp_path / "book.xlsx").read_text() == "mine"
