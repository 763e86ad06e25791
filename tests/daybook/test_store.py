"""A stored book gives the same slices as the book itself, and never more than a slice needs."""

from pathlib import Path

import pandas as pd
import pytest

from racecalc import daybook
from racecalc.daybook import string
from racecalc.daybook.store import Store, write_store
from tests.conftest import ROOT
from tests.daybook.stable import TABLES, with_row, write_book
from tests.daybook.test_snapshot import with_gps

SAMPLE = ROOT / "sample_runs" / "daybook"


def stored(book: daybook.Book, folder: Path) -> Store:
    folder.mkdir()
    write_store(book, folder)
    return Store(folder)


def assert_same(book: daybook.Book, store: Store) -> None:
    assert list(store.horses) == sorted(book.tables["horses"]["horse"])
    for horse in store.horses:
        ours, theirs = store.slice_for(horse), daybook.slice_for(book, horse)
        assert list(ours.tables) == list(theirs.tables)
        for name, frame in theirs.tables.items():
            pd.testing.assert_frame_equal(ours.tables[name], frame)
        for what in ("horse", "barn", "left_out", "withheld_notes", "data_hash"):
            assert getattr(ours, what) == getattr(theirs, what)


def test_the_slices_of_the_sample_are_the_same(tmp_path: Path) -> None:
    book = daybook.read(SAMPLE)
    assert_same(book, stored(book, tmp_path / "store"))


def test_refused_rows_notes_on_others_and_recorded_works_are_the_same(tmp_path: Path) -> None:
    exercise = TABLES["exercise"] + "2026-10-04,brindle,jog,far,,,,\n2026-10-05,007,walk,,,,,x\n"
    folder = write_book(
        tmp_path / "book",
        exercise=exercise,
        horses=with_row("horses", "idle,Idle Hands,,,,,,"),
        surface=with_row("surface", "2026-10-03,main,fast,,,,,brindle slipped"),
    )
    book = daybook.read(with_gps(folder))
    assert book.rows_refused["exercise"] == 1
    store = stored(book, tmp_path / "store")
    assert_same(book, store)
    assert store.slice_for("brindle").left_out == ["exercise, row 5, column distance"]
    assert store.slice_for("idle").withheld_notes > 0


def test_a_table_that_cannot_be_read_is_left_out_of_every_slice(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path / "book", fitness=b"\xff\x00\xfe"))
    store = stored(book, tmp_path / "store")
    assert_same(book, store)
    assert all("fitness" in store.slice_for(horse).left_out[0] for horse in store.horses)


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> daybook.Book:
    """The sample, as if a year of fifty works were as many as a slice can need."""
    monkeypatch.setattr(string, "_MOST_A_YEAR", 50)
    return daybook.read(SAMPLE)


def test_of_a_large_barn_a_slice_holds_whole_horses_and_no_year_is_too_full(
    full: daybook.Book, tmp_path: Path
) -> None:
    assert_same(full, stored(full, tmp_path / "store"))
    works = full.tables["works"]
    timed = works[works["time_s"].notna()]
    done = set(timed.groupby(["track", "horse"]).size())
    for horse in full.tables["horses"]["horse"]:
        others = daybook.slice_for(full, horse).tables["string"]
        assert others.groupby(others["date"].dt.year).size().max() <= 50
        assert set(others.groupby(["track", "horse"]).size()) <= done


def test_who_is_leaned_on_does_not_change_with_a_days_work(full: daybook.Book) -> None:
    works = full.tables["works"]
    tracks = set(works["track"])
    before = set(string.thinned(string.by_track(works, tracks))["horse"])
    fewer = works.iloc[:-1]
    assert set(string.thinned(string.by_track(fewer, tracks))["horse"]) == before
