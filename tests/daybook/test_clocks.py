"""Ovals, works and the running clock."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook, pace
from tests.daybook.stable import TABLES, next_row, problems_of, with_row, write_book


def work(distance: str, pole: str, time: str = "") -> str:
    return with_row("works", f"w9,2026-10-06,brindle,main,{distance},{time},{pole},,,,,,,")


def test_a_work_that_breaks_off_behind_the_finish_is_refused(tmp_path: Path) -> None:
    [problem] = problems_of(tmp_path, works=work("5 f", "+1/8"))
    assert problem.startswith('works.csv:4:from_pole: "+1/8" is behind the finish')


def test_a_work_that_ends_behind_the_finish_is_refused(tmp_path: Path) -> None:
    [problem] = problems_of(tmp_path, works=work("5 f", "3/8"))
    assert problem.startswith('works.csv:4:from_pole: a work of "5 f" from the pole "3/8" ends 2 f')
    assert "behind the finish" in problem


@pytest.mark.parametrize(("distance", "pole"), [("5 f", "5/8"), ("1 1/4 mi", "1/4"), ("5 f", "")])
def test_works_run_to_the_finish_also_over_whole_laps(
    tmp_path: Path, distance: str, pole: str
) -> None:
    assert problems_of(tmp_path, works=work(distance, pole)) == []


def test_a_work_that_ends_before_the_finish_is_a_warning(tmp_path: Path) -> None:
    [problem] = problems_of(tmp_path, works=work("3 f", "5/8"))
    assert problem.startswith("works.csv:4:from_pole: warning: ")
    assert "ends 2 f before the finish" in problem


def splits(*rows: str) -> str:
    return "work,pole,clock,lead\n" + "".join(f"w1,{row},\n" for row in rows)


@pytest.mark.parametrize(
    ("rows", "row", "column", "says", "left"),
    [
        (["1/2,:12 2/5", "3/8,:24", "1/4,:23"], 4, "clock", '":23" is not after 24.00', 0),
        (["1/2,:12 2/5", "3/8,:24", "1/4,:24"], 4, "clock", "is not after", 0),
        (["3/8,:24", "1/2,:24 1/5"], 2, "clock", "is not after", 0),
        (["3/4,:10", "1/2,:12 2/5"], 2, "pole", "before the work began", 1),
        (["5/8,:10", "1/2,:12 2/5"], 2, "pole", "the work began here", 1),
        (["5/8,0", "1/2,:12 2/5"], 2, "clock", "counts from zero", 1),
        (["1/2,:09", "3/8,:24"], 2, "clock", "in 9.00 s, which no horse has run", 0),
        (["1/2,:12 2/5", "3/8,:21"], 3, "clock", "in 8.60 s, which no horse has run", 0),
    ],
)
def test_splits_that_do_not_fit_together(
    tmp_path: Path, rows: list[str], row: int, column: str, says: str, left: int
) -> None:
    [problem] = problems_of(tmp_path, splits=splits(*rows))
    assert problem.startswith(f"splits.csv:{row}:{column}: ")
    assert says in problem
    book = daybook.read(tmp_path)
    assert len(book.tables["splits"]) == left
    assert "w1" in book.tables["works"]["work"].tolist()


def test_rows_may_stand_in_any_order(tmp_path: Path) -> None:
    header, *rows = TABLES["splits"].splitlines()
    text = "\n".join([header, *reversed(rows)]) + "\n"
    assert problems_of(tmp_path, splits=text) == []


def test_missing_poles_are_no_problem(tmp_path: Path) -> None:
    assert problems_of(tmp_path, splits=splits("1/4,:36 4/5")) == []


@pytest.mark.parametrize(
    ("rows", "row", "says"),
    [
        (["1/4,:36 4/5", "finish,1:03"], 3, "at the end of the work does not fit its time"),
        (["1/4,:36 4/5", "1/8,1:02"], 3, "before the end of the work"),
        (["+1/8,1:01"], 2, "past the end of the work"),
    ],
)
def test_splits_that_contradict_the_time_refuse_the_work(
    tmp_path: Path, rows: list[str], row: int, says: str
) -> None:
    [problem] = problems_of(tmp_path, splits=splits(*rows))
    assert problem.startswith(f"splits.csv:{row}:clock: ")
    assert says in problem
    assert '("1:01 2/5", row 2 of works)' in problem
    book = daybook.read(tmp_path)
    assert book.tables["works"]["work"].tolist() == ["w2"]
    assert len(book.tables["splits"]) == 0
    assert book.rows_refused["works"] == 1


def test_a_fifth_between_two_watches_is_nothing_and_three_are_a_warning(tmp_path: Path) -> None:
    assert problems_of(tmp_path / "a", splits=splits("finish,1:01 3/5")) == []
    [problem] = problems_of(tmp_path / "b", splits=splits("finish,1:02"))
    assert problem.startswith("splits.csv:2:clock: warning: ")
    assert len(daybook.read(tmp_path / "b").tables["splits"]) == 1


def test_an_error_in_one_horses_rows_leaves_the_other_horse_alone(tmp_path: Path) -> None:
    text = splits("1/2,:12 2/5", "3/8,:12") + "w2,1/4,:12 2/5,\nw2,1/8,:24 3/5,\n"
    problems_of(tmp_path, splits=text)
    book = daybook.read(tmp_path)
    assert book.tables["splits"]["work"].tolist() == ["w2", "w2"]
    assert {problem.horse for problem in book.problems} == {"brindle"}
    assert next_row("works") == 4


POLES = ["7/8", "5/8", "1/2", "3/8", "1/4", "1/8", "finish", "+1/8", "400 m", "200 m"]
CLOCK = st.integers(0, 450).map(lambda fifths: f"{fifths // 5} {fifths % 5}/5".replace(" 0/5", ""))
SPLITS = st.dictionaries(st.sampled_from(POLES), CLOCK, max_size=5)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.sampled_from(["3 f", "4 f", "5 f", "1000 m", "1 1/4 mi"]),
    st.sampled_from(["", "5/8", "3/8", "1/4", "1/2"]),
    CLOCK | st.just(""),
    SPLITS,
)
def test_whatever_is_kept_can_be_cut_at_its_poles(
    tmp_path: Path, distance: str, pole: str, time: str, run: dict[str, str]
) -> None:
    works = with_row("works", f"w9,2026-10-06,brindle,main,{distance},{time},{pole},,,,,,,")
    rows = "\n".join(f"w9,{place},{clock}," for place, clock in run.items())
    run_over = {"works": works, "splits": TABLES["splits"] + rows + "\n"}
    # Works refer to horses and tracks only: the other tables would be read in vain.
    others = dict.fromkeys(TABLES.keys() - {"horses", "tracks", *run_over})
    folder = write_book(tmp_path, **others, **run_over)
    tables = daybook.read(folder).tables
    cut = pace.cut(tables["works"], tables["splits"])
    assert set(cut["work"]) == set(tables["works"]["work"])
