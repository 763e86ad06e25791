"""What holds between rows and tables."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook
from tests.daybook.stable import TABLES, next_row, problems_of, with_row, write_book

DAY = "2026-10-06"


@pytest.mark.parametrize(
    ("table", "row", "column"),
    [
        ("exercise", f"{DAY},brindel,walk,,,,,", "horse"),
        ("exercise", f"{DAY},brindle,walk,,,mane,,", "track"),
        ("works", f"w9,{DAY},Brindle,main,3 f,:37,,,,,,,,", "horse"),
        ("works", f"w9,{DAY},brindle,moon,3 f,:37,,,,,,,,", "track"),
        ("splits", "w7,1/4,:12,", "work"),
        ("shares", "007,nobody,1,2024-01-01,2024-12-31", "owner"),
        ("shares", "008,quill,1,,", "horse"),
        ("surface", "2026-10-03,moon,fast,,,,,", "track"),
        ("weather", "2026-10-03,moon,,,,,,,", "track"),
        ("forecast", "2026-10-31,2026-11-01,moon,,,,,,,", "track"),
        ("measurements", f"{DAY},bridle,pulse,34,,,,", "horse"),
        ("fitness", f"{DAY},bridle,1,10 m/s,,,", "horse"),
        ("footfalls", f"{DAY},bridle,a,LF,1,,,", "horse"),
        ("targets", f"bridle,{DAY},6 f,main,,", "horse"),
        ("targets", f"brindle,{DAY},6 f,elsewhere,,", "track"),
    ],
)
def test_an_id_that_is_nowhere_is_refused(
    tmp_path: Path, table: str, row: str, column: str
) -> None:
    [problem] = problems_of(tmp_path, **{table: with_row(table, row)})
    assert problem.startswith(f"{table}.csv:{next_row(table)}:{column}: ")
    assert "is in no row of the table" in problem
    assert "did you mean" in problem or "write an id of that table: " in problem


def test_another_spelling_of_an_id_is_suggested(tmp_path: Path) -> None:
    [problem] = problems_of(tmp_path, exercise=with_row("exercise", f"{DAY},BRINDLE,walk,,,,,"))
    assert 'did you mean "brindle"?' in problem


@pytest.mark.parametrize(
    ("table", "row", "column"),
    [
        ("horses", "brindle,Another,,,,,,", "horse"),
        ("horses", "BRINDLE,Another,,,,,,", "horse"),
        ("owners", "Quill,Another,", "owner"),
        ("tracks", "MAIN,Another,dirt,1 mi,,,,,,,,,", "track"),
        ("works", f"W1,{DAY},brindle,main,3 f,:37,,,,,,,,", "work"),
        ("splits", "w1,1/2 mi,:13,", "pole"),
        ("weather", "2026-10-01,main,,,,,,,", "date"),
        ("forecast", "2026-10-31,2026-11-01,main,,,,,,,", "date"),
    ],
)
def test_what_names_a_row_stands_once(tmp_path: Path, table: str, row: str, column: str) -> None:
    problems = problems_of(tmp_path, **{table: with_row(table, row)})
    [twice] = [line for line in problems if " stands in row " in line]
    assert twice.startswith(f"{table}.csv:{next_row(table)}:{column}: ")
    assert daybook.read(tmp_path).rows_refused[table] == 2


def test_rows_that_hang_on_a_refused_row_go_with_one_line_each(tmp_path: Path) -> None:
    horses = TABLES["horses"].replace("2022-03-04", "soon")
    problems = problems_of(tmp_path, horses=horses)
    assert problems[0].startswith('horses.csv:2:foaled: "soon"')
    assert problems[1:] == [
        'shares.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row (2 rows are left out)",
        'exercise.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row (2 rows are left out)",
        'works.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row",
        'splits.csv:2:work: "w1" cannot be used, for row 2 of works is refused; '
        "mend that row (6 rows are left out)",
        'measurements.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row (3 rows are left out)",
        'fitness.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row (3 rows are left out)",
        'footfalls.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row (2 rows are left out)",
        'targets.csv:2:horse: "brindle" cannot be used, for row 2 of horses is refused; '
        "mend that row",
    ]
    book = daybook.read(tmp_path)
    assert book.tables["horses"]["horse"].tolist() == ["007"]
    assert book.tables["works"]["work"].tolist() == ["w2"]
    assert len(book.tables["splits"]) == 0


def test_shares_without_owners_are_one_problem_for_each_horse(tmp_path: Path) -> None:
    message = "the table owners, where this id should stand, has no rows; fill that table"
    assert problems_of(tmp_path, owners=None) == [
        f"shares.csv:2:owner: {message} (2 rows are left out)",
        f"shares.csv:4:owner: {message}",
    ]


@pytest.mark.parametrize(
    ("table", "row", "column"),
    [
        ("horses", "x,X,2022-01-01,,,2021-01-01,,", "arrived"),
        ("horses", "x,X,,,,2022-01-01,2021-01-01,", "left"),
        ("shares", "007,quill,1,2024-06-01,2024-05-31", "until"),
        ("forecast", "2026-10-31,2026-10-30,main,,,,,,,", "date"),
        ("weather", "2026-10-02,main,20 C,10 C,,,,,", "tmax"),
        ("weather", "2026-10-02,main,,,,,90,40,", "rh_max"),
        ("forecast", "2026-10-31,2026-11-02,main,,,20 C,10 C,,,", "tmax"),
        ("footfalls", f"{DAY},brindle,a,LF,30,20,,", "off"),
        ("footfalls", f"{DAY},brindle,a,LF,30,30,,", "off"),
        ("works", "w9,2021-10-06,brindle,main,3 f,:37,,,,,,,,", "date"),
        ("exercise", "2020-12-31,007,walk,,,,,", "date"),
        ("targets", "brindle,2022-03-03,6 f,main,,", "date"),
    ],
)
def test_values_in_the_wrong_order_are_refused(
    tmp_path: Path, table: str, row: str, column: str
) -> None:
    [problem] = problems_of(tmp_path, **{table: with_row(table, row)})
    assert problem.startswith(f"{table}.csv:{next_row(table)}:{column}: ")


def test_the_year_of_birth_allows_all_its_days(tmp_path: Path) -> None:
    exercise = with_row("exercise", "2021-01-01,007,walk,,,,,")
    assert problems_of(tmp_path, exercise=exercise) == []


def test_a_state_must_be_a_word_of_the_tracks_surface(tmp_path: Path) -> None:
    [problem] = problems_of(tmp_path, surface=with_row("surface", "2026-10-03,hill,muddy,,,,,"))
    assert problem == (
        'surface.csv:4:state: "muddy" is no state of a synthetic track; write fast, good, slow, wet'
    )


def test_a_repeated_row_is_a_warning(tmp_path: Path) -> None:
    exercise = with_row("exercise", TABLES["exercise"].splitlines()[1])
    assert problems_of(tmp_path, exercise=exercise) == [
        "exercise.csv:5: warning: repeats row 2 in every column; delete one if pasted"
    ]


def shares(*rows: str) -> str:
    return "horse,owner,percent,since,until\n" + "\n".join(rows) + "\n"


@pytest.mark.parametrize(
    ("rows", "over"),
    [
        (["007,quill,50,,", "007,moth,50,,"], None),
        (["007,quill,33.33,,", "007,moth,66.67,,"], None),
        (["007,quill,60,,", "007,moth,50,,"], "row 2"),
        (["007,quill,50,,", "007,moth,50.1,,"], "100.1 %"),
        (["007,quill,100,,2026-01-31", "007,moth,100,2026-02-01,"], None),
        (["007,quill,100,,2026-02-01", "007,moth,100,2026-02-01,"], "2026-02-01"),
        (["007,quill,60,2026-01-01,", "brindle,moth,60,,"], None),
        (["007,quill,60,2026-01-01,2026-01-10", "007,moth,60,2026-01-10,2026-01-20"], "2026-01-10"),
    ],
)
def test_shares_add_up_to_100_on_every_day(
    tmp_path: Path, rows: list[str], over: str | None
) -> None:
    problems = problems_of(tmp_path, shares=shares(*rows))
    if over is None:
        assert problems == []
    else:
        [problem] = problems
        assert problem.startswith("shares.csv:3:percent: with rows 2 the shares")
        assert over.removeprefix("row ") in problem
        assert len(daybook.read(tmp_path).tables["shares"]) == 0


SPANS = st.lists(
    st.tuples(st.integers(1, 100), st.integers(0, 20), st.integers(0, 20)), min_size=1, max_size=6
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(SPANS)
def test_shares_agree_with_adding_up_day_by_day(
    tmp_path: Path, spans: list[tuple[int, int, int]]
) -> None:
    first = date(2026, 1, 1)
    rows, held = [], [0] * 41
    for percent, since, length in spans:
        last = first + timedelta(days=since + length)
        rows.append(f"007,moth,{percent},{first + timedelta(days=since)},{last}")
        for day in range(since, since + length + 1):
            held[day] += percent
    found = daybook.read(write_book(tmp_path, shares=shares(*rows))).problems
    assert bool(found) == (max(held) > 100)


def test_an_address_that_is_none_takes_no_share_from_its_owner(tmp_path: Path) -> None:
    owners = TABLES["owners"].replace("quill@stable.example", "not an address")
    book = daybook.read(write_book(tmp_path, owners=owners))
    [problem] = map(str, book.problems)
    assert "email: warning: " in problem
    assert "(left blank; the row is used)" in problem
    assert set(book.tables["shares"]["owner"]) == {"moth", "quill"}
    assert book.tables["owners"]["email"].isna().all()
