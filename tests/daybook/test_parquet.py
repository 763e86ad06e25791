"""Parquet tables read as their CSV does."""

import csv
import datetime
import io
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from racecalc import daybook
from racecalc.errors import DaybookError
from tests.daybook.stable import TABLES, write_book


def as_parquet(folder: Path, name: str, **columns: pa.Array) -> None:
    rows = list(csv.DictReader(io.StringIO(TABLES[name])))
    table = {key: pa.array([row[key] or None for row in rows], pa.string()) for key in rows[0]}
    pq.write_table(pa.table({**table, **columns}), folder / f"{name}.parquet")


def test_a_parquet_folder_reads_as_the_csv_folder_does(tmp_path: Path) -> None:
    plain = daybook.read(write_book(tmp_path / "csv"))
    folder = write_book(tmp_path / "parquet", **dict.fromkeys(TABLES))
    for name in TABLES:
        as_parquet(folder, name)
    book = daybook.read(folder)
    assert book.problems == []
    for name, frame in plain.tables.items():
        pd.testing.assert_frame_equal(book.tables[name], frame)


def test_typed_columns_are_understood(tmp_path: Path) -> None:
    folder = write_book(tmp_path, works=None, measurements=None)
    day = datetime.date(2026, 10, 4)
    as_parquet(
        folder,
        "works",
        date=pa.array([day, day]),
        from_gate=pa.array([True, None]),
        track=pa.array(["main", "hill"]).dictionary_encode(),
    )
    rows = len(TABLES["measurements"].splitlines()) - 1
    stamps = pa.array([datetime.datetime(2026, 10, 1)] * rows, pa.timestamp("ns"))
    as_parquet(folder, "measurements", date=stamps, by=pa.nulls(rows))
    book = daybook.read(folder)
    assert book.problems == []
    assert book.tables["works"]["date"].tolist() == [pd.Timestamp(day)] * 2
    assert book.tables["works"]["from_gate"].tolist() == [True, None]
    assert book.tables["measurements"]["date"].iloc[0] == pd.Timestamp(2026, 10, 1)


def test_numbers_without_a_unit_are_refused_where_the_column_has_none(tmp_path: Path) -> None:
    folder = write_book(tmp_path, works=None)
    as_parquet(folder, "works", distance=pa.array([1005.84, float("nan")]))
    bare, blank = [str(problem) for problem in daybook.read(folder).problems][:2]
    assert bare.startswith('works.parquet:2:distance: "1005.84" has no unit; write 6 f,')
    assert blank == "works.parquet:3:distance: is blank; every row needs distance"


def test_a_damaged_file_is_an_error_of_its_table(tmp_path: Path) -> None:
    folder = write_book(tmp_path, works=None, splits=None)
    (folder / "works.parquet").write_bytes(b"PAR1 and no more")
    [problem] = daybook.read(folder).problems
    assert str(problem).startswith("works.parquet: cannot be read as Parquet")


def test_a_damaged_table_of_horses_is_the_end(tmp_path: Path) -> None:
    folder = write_book(tmp_path, horses=None)
    (folder / "horses.parquet").write_bytes(b"")
    with pytest.raises(DaybookError, match=r"horses.parquet: cannot be read as Parquet"):
        daybook.read(folder)


def test_csv_and_parquet_of_one_table_are_not_guessed(tmp_path: Path) -> None:
    folder = write_book(tmp_path)
    as_parquet(folder, "horses")
    with pytest.raises(DaybookError, match=r"stands in horses.csv, horses.parquet; keep one"):
        daybook.read(folder)
