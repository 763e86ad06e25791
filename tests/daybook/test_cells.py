"""Every cell: what must be read, and what must be refused with what to write instead."""

import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.daybook.cells import read_date
from racecalc.errors import NotationError
from racecalc.notation import read_height
from tests.daybook.stable import TABLES, next_row, problems_of, with_row, write_book


@pytest.mark.parametrize(
    ("table", "row", "column", "says"),
    [
        ("works", "w3,2026-10-06,brindle,main,6,1:13,,,,,,,,", "distance", '"6" has no unit'),
        ("works", "w3,2026-10-06,brindle,main,1m,1:13,,,,,,,,", "distance", "mile or a metre"),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:73,,,,,,,,", "time", '"1:73"'),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13.7,,,,,,,,", "time", '"1:13.7"'),
        ("works", "w3,2026-10-06,brindle,main,,1:13,,,,,,,,", "distance", "is blank"),
        ("works", "w 3,2026-10-06,brindle,main,6 f,1:13,,,,,,,,", "work", '"w 3" is no id'),
        (
            "works",
            "w3,06/10/2026,brindle,main,6 f,1:13,,,,,,,,",
            "date",
            "2026-10-06 or 2026-06-10",
        ),
        ("works", "w3,2026-02-30,brindle,main,6 f,1:13,,,,,,,,", "date", "does not exist"),
        ("works", "w3,0226-10-06,brindle,main,6 f,1:13,,,,,,,,", "date", "years 1980 to 2099"),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13,5/8 pole,,,,,,,", "from_pole", '"5/8 pole"'),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13,,fast,,,,,,", "manner", "breezing, handily"),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13,,,maybe,,,,,", "from_gate", "yes or no"),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13,,,,firm,,,,", "state", "a dirt track"),
        ("works", "w3,2026-10-06,brindle,main,6 f,1:13,,,,soggy,,,,", "state", "no state"),
        ("measurements", "2026-10-06,brindle,height,16.5,,,,", "value", '"16.5"'),
        ("measurements", "2026-10-06,brindle,height,16.25,,,,", "value", '"16.25"'),
        ("measurements", "2026-10-06,brindle,weight,1126,,,,", "value", "has no unit"),
        ("measurements", "2026-10-06,brindle,mood,good,,,,", "what", "height, weight"),
        ("measurements", "2026-10-06,brindle,condition,plump,,,,", "value", "no number"),
        ("measurements", "2026-10-06,brindle,temperature,38.4,,,,", "value", "has no unit"),
        ("fitness", "2026-10-06,brindle,2,0 m/s,,,", "speed", '"0 m/s"'),
        ("fitness", '2026-10-06,brindle,2,10 m/s,,"2,1",', "lactate", "no number"),
        ("surface", "2026-10-03,main,fast,,-1 in,,,", "cushion", "negative"),
        ("surface", "2026-10-03,main,fast,wet,,,,", "moisture", "no number"),
        ("weather", "2026-10-02,main,50,,,,,,", "tmin", "has no unit"),
        ("tracks", "third,Third,mud,1 mi,,,,,,,,,", "surface", "dirt, turf, synthetic"),
        ("tracks", "third,Third,turf,1 mi,,,,,both,,,,", "hand", "left, right"),
        ("horses", "x/../y,X,,,,,,", "horse", "letters, digits"),
        ("horses", "{x},X,,,,,,", "horse", "letters, digits"),
        ("horses", "x,X,autumn,,,,,", "foaled", "no date"),
        ("horses", "x,X,,stallion,,,,", "sex", "colt, horse, ridgling"),
        ("horses", f"{'x' * 61},X,,,,,,", "horse", "longer than 60"),
    ],
)
def test_a_refused_cell_says_where_and_what(
    tmp_path: Path, table: str, row: str, column: str, says: str
) -> None:
    found = problems_of(tmp_path, **{table: with_row(table, row)})
    assert len(found) == 1
    assert found[0].startswith(f"{table}.csv:{next_row(table)}:{column}: ")
    assert says in found[0]
    book = daybook.read(tmp_path)
    assert book.rows_refused[table] == 1
    assert len(book.tables[table]) == len(TABLES[table].splitlines()) - 1


def test_all_problems_are_listed_not_the_first(tmp_path: Path) -> None:
    works = with_row("works", "w!,2026-13-06,brindle,main,6,1:73,,,,,,,,")
    owners = with_row("owners", "z!,,nobody")
    found = [line.partition(" ")[0] for line in problems_of(tmp_path, works=works, owners=owners)]
    assert found == [
        "owners.csv:4:owner:",
        "owners.csv:4:name:",
        "owners.csv:4:email:",
        "works.csv:4:work:",
        "works.csv:4:date:",
        "works.csv:4:distance:",
        "works.csv:4:time:",
    ]


def test_the_barns_clock_reads_the_point(tmp_path: Path) -> None:
    works = with_row("works", "w3,2026-10-06,brindle,main,6 f,1:13.2,,,,,,,,")
    fifths = daybook.read(write_book(tmp_path / "a", works=works))
    assert fifths.tables["works"]["time_s"].iloc[-1] == pytest.approx(73.4, abs=1e-9)
    barn = '[barn]\nname = "x"\ntrainer = "y"\nclock = "hundredths"\n'
    hundredths = daybook.read(write_book(tmp_path / "b", barn=barn, works=works))
    assert hundredths.tables["works"]["time_s"].iloc[-1] == pytest.approx(73.2, abs=1e-9)


def test_units_of_fixed_columns_may_be_written(tmp_path: Path) -> None:
    fitness = with_row("fitness", "2026-10-06,brindle,3,11 m/s,185 bpm,2.5 mmol/L,")
    weather = with_row("weather", "2026-10-02,main,,,,,40 %,90%,12 MJ/m2")
    book = daybook.read(write_book(tmp_path, fitness=fitness, weather=weather))
    assert book.problems == []
    assert book.tables["fitness"].iloc[-1][["heart_rate_bpm", "lactate_mmol_l"]].tolist() == [
        185,
        2.5,
    ]
    assert book.tables["weather"].iloc[-1][["rh_min_pct", "sun_mj_m2"]].tolist() == [40, 12]


def test_a_barns_own_words_for_states_are_mapped(tmp_path: Path) -> None:
    barn = '[barn]\nname = "x"\ntrainer = "y"\n[states]\n"Off  Fast" = "wet fast"\n'
    surface = with_row("surface", "2026-10-03,main,OFF fast,,,,,")
    book = daybook.read(write_book(tmp_path, barn=barn, surface=surface))
    assert book.problems == []
    assert book.tables["surface"]["state"].iloc[-1] == "wet fast"


def test_a_method_of_moisture_that_is_none_is_left_blank(tmp_path: Path) -> None:
    head = "date,track,state,moisture,moisture_method\n"
    lines = ["9 %,Volume", "12,mass", "11,", "10,by eye"]
    surface = head + "".join(f"2026-10-0{n},main,fast,{line}\n" for n, line in enumerate(lines, 1))
    book = daybook.read(write_book(tmp_path, surface=surface))
    [problem] = [str(problem) for problem in book.problems]
    assert problem == (
        'surface.csv:5:moisture_method: warning: "by eye" is not known; write volume, mass (left '
        "blank; the row is used)"
    )
    assert book.tables["surface"]["moisture_method"].tolist() == ["volume", "mass", None, None]


def test_composed_and_decomposed_letters_are_one_id(tmp_path: Path) -> None:
    horses = with_row("horses", "zo\u00eb,Zo\u00eb,,,,,,")
    exercise = with_row("exercise", "2026-10-04,zoe\u0308,walk,,,,,")
    book = daybook.read(write_book(tmp_path, horses=horses, exercise=exercise))
    assert book.problems == []


@given(st.dates(datetime.date(1980, 1, 1), datetime.date(2099, 12, 31)))
def test_iso_dates_read_back(day: datetime.date) -> None:
    assert read_date(day.isoformat()) == day
    assert read_date(f"{day.isoformat()} 00:00:00") == day


@given(st.text(max_size=12) | st.from_regex(r"[0-9]{1,4}[-./][0-9]{1,2}[-./][0-9]{1,4}"))
def test_any_text_is_a_date_or_is_refused(text: str) -> None:
    try:
        day: datetime.date | None = read_date(text)
    except NotationError:
        day = None
    assert day is None or text.startswith(day.isoformat())


def test_characters_that_turn_the_direction_of_a_page_are_refused(tmp_path: Path) -> None:
    exercise = with_row("exercise", "2026-10-04,brindle,walk,,,,,\u202eturned")
    [text] = problems_of(tmp_path, exercise=exercise)
    assert "control characters" in text


def test_a_name_stands_on_one_line(tmp_path: Path) -> None:
    horses = with_row("horses", f"long,{'x' * 101},,,,,,")
    [text] = problems_of(tmp_path, horses=horses)
    assert "101 characters long; write a name of at most 100" in text


# Heights as an open table of horse prices has them, in decimal hands (Stat2Data, HorsePrices:
# 14.25 to 17.25 in quarters). Four inches are a hand, so that a quarter of a hand is an inch.
@pytest.mark.parametrize(
    ("decimal", "hands", "write"),
    [
        ("14.25", "14 1/4", "14.1"),
        ("14.5", "14 1/2", "14.2"),
        ("15.25", "15 1/4", "15.1"),
        ("16.5", "16 1/2", "16.2"),
        ("16.75", "16 3/4", "16.3"),
        ("16.75 hh", "16 3/4", "16.3"),
        ("17.25", "17 1/4", "17.1"),
        ("16.0625", "16 1/16", "16.0 1/4"),
    ],
)
def test_decimal_hands_are_refused_and_said_as_hands_and_inches(
    tmp_path: Path, decimal: str, hands: str, write: str
) -> None:
    rows = with_row("measurements", f"2026-10-06,brindle,height,{decimal},,,,")
    [line] = problems_of(tmp_path, measurements=rows)
    assert f'value: "{decimal}" has ' in line
    assert line.endswith(f"; if {hands} hands were meant, write {write}")
    assert daybook.read(tmp_path).rows_refused["measurements"] == 1
    assert float(read_height(write)) == pytest.approx(float(decimal.split()[0]) * 0.1016, abs=1e-12)


@pytest.mark.parametrize(
    ("what", "text", "such"), [("condition", "5 1/2", "5.5"), ("pulse", "9 per 15 s", "36")]
)
def test_an_example_is_one_that_would_be_read(
    tmp_path: Path, what: str, text: str, such: str
) -> None:
    rows = with_row("measurements", f"2026-10-06,brindle,{what},{text},,,,")
    [line] = problems_of(tmp_path, measurements=rows)
    assert f"write one, such as {such} (" in line
    good = with_row("measurements", f"2026-10-06,brindle,{what},{such},,,,")
    assert problems_of(tmp_path, measurements=good) == []


@pytest.mark.parametrize("text", ["16.7", "16.33", "16.2 5/4", "0.5"])
def test_no_decimal_hands_are_made_up(tmp_path: Path, text: str) -> None:
    rows = with_row("measurements", f"2026-10-06,brindle,height,{text},,,,")
    [line] = problems_of(tmp_path, measurements=rows)
    assert "hands were meant" not in line
