"""Impossible values are errors, unlikely ones are warnings and still used.

The limits are the project's own choice; none is a published safe limit. Where the checks lean on
common practice or on a published range, the comment beside them says so.
"""

from pathlib import Path

import pytest

from racecalc import daybook
from tests.daybook.stable import TABLES, next_row, problems_of, with_row

DAY = "2026-10-06"


def measured(what: str, value: str, horse: str = "brindle", day: str = DAY) -> str:
    return f"{day},{horse},{what},{value},,,,"


def work(distance: str, time: str) -> str:
    return f"w9,{DAY},brindle,main,{distance},{time},,,,,,,,"


IMPOSSIBLE = [
    # The three that the contract names.
    ("measurements", measured("weight", '"5,000 lb"'), "value"),
    ("works", work("1 f", ":07"), "time"),
    ("measurements", measured("height", "26 hands"), "value"),
    ("measurements", measured("weight", "20 kg"), "value"),
    ("measurements", measured("height", "60 cm"), "value"),
    ("measurements", measured("girth", "4 m"), "value"),
    ("measurements", measured("length", "4 m"), "value"),
    ("measurements", measured("cannon", "1 m"), "value"),
    ("measurements", measured("condition", "0"), "value"),
    ("measurements", measured("condition", "10"), "value"),
    ("measurements", measured("condition", "5.3"), "value"),
    ("measurements", measured("temperature", "101 C"), "value"),
    ("measurements", measured("temperature", "38.4 F"), "value"),
    ("measurements", measured("pulse", "10"), "value"),
    ("measurements", measured("pulse", "300"), "value"),
    ("works", work("0 f", "1:00"), "distance"),
    ("works", work("9000 m", "10:00"), "distance"),
    ("works", work("4 f", "38"), "time"),
    ("works", work("4 f", "45:00"), "time"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,1:10,,,", "time"),
    ("exercise", f"{DAY},brindle,gallop,100 km,,,,", "distance"),
    ("fitness", f"{DAY},brindle,9,30 m/s,,,", "speed"),
    ("fitness", f"{DAY},brindle,9,10 m/s,300,,", "heart_rate"),
    ("fitness", f"{DAY},brindle,9,10 m/s,,80,", "lactate"),
    ("fitness", f"{DAY},brindle,9,10 m/s,,,-1", "minutes_after"),
    ("footfalls", f"{DAY},brindle,a,LF,-1,,240,", "on"),
    ("footfalls", f"{DAY},brindle,a,LF,1,2,0,", "fps"),
    ("surface", "2026-10-03,main,fast,101,,,,", "moisture"),
    ("surface", "2026-10-03,main,fast,,1 m,,,", "cushion"),
    ("surface", "2026-10-03,main,fast,,,,2 m,", "rain"),
    ("weather", "2026-10-02,main,-90 C,,,,,,", "tmin"),
    ("weather", "2026-10-02,main,,,,,,120,", "rh_max"),
    ("weather", "2026-10-02,main,,,,,,,99", "sun"),
    ("forecast", "2026-10-31,2026-11-02,main,130,,,,,,", "rain_chance"),
    ("tracks", "x,X,dirt,100 m,,,,,,,,,", "lap"),
    ("tracks", "x,X,dirt,1 mi,,,,,,,95,10,", "latitude"),
    ("tracks", "x,X,dirt,1 mi,,,,,,,45,190,", "longitude"),
    ("tracks", "x,X,dirt,1 mi,,,,,,,45,10,361", "bearing"),
    ("shares", "007,quill,0,,", "percent"),
    ("targets", f"brindle,{DAY},20 km,,,", "distance"),
]


@pytest.mark.parametrize(("table", "row", "column"), IMPOSSIBLE)
def test_impossible_values_are_errors(tmp_path: Path, table: str, row: str, column: str) -> None:
    found = problems_of(tmp_path, "error", **{table: with_row(table, row)})
    assert len(found) == 1
    assert found[0].startswith(f"{table}.csv:{next_row(table)}:{column}: ")
    assert daybook.read(tmp_path).rows_refused[table] == 1


UNLIKELY = [
    ("measurements", measured("weight", "300 kg"), "value"),
    ("measurements", measured("weight", "750 kg"), "value"),
    ("measurements", measured("height", "13.3", "007"), "value"),
    ("measurements", measured("height", "18.2", "007"), "value"),
    ("measurements", measured("temperature", "40 C"), "value"),
    ("measurements", measured("temperature", "35.5 C"), "value"),
    ("works", work("4 f", "43 1/5"), "time"),  # 10.8 s/f is the edge
    ("works", work("8 f", "1:31"), "time"),  # 11.4 s/f is the edge
    ("works", work("3 f", "1:01"), "time"),
    ("works", work("2 1/8 mi", "4:00"), "distance"),
    ("exercise", f"{DAY},brindle,walk,1 mi,10:00,,,", "time"),
    ("exercise", f"{DAY},brindle,jog,1 mi,13:30,,,", "time"),
    ("exercise", f"{DAY},brindle,jog,1 mi,3:49,,,", "time"),
    ("exercise", f"{DAY},brindle,canter,1 mi,9:00,,,", "time"),
    ("exercise", f"{DAY},brindle,canter,1 mi,1:47,,,", "time"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,5:23,,,", "time"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,1:29,,,", "time"),
    ("exercise", f"{DAY},brindle,race,1 mi,2:59,,,", "time"),
    ("exercise", f"{DAY},brindle,race,,1:38,,,", "distance"),
    ("exercise", f"{DAY},brindle,race,,,,,", "distance"),
    ("exercise", f"{DAY},brindle,jog,,12:00,,,", "distance"),
    ("exercise", f"{DAY},brindle,canter,,6:00,,,", "distance"),
    ("exercise", f"{DAY},brindle,Gallop,,6:00,,,", "distance"),
    ("fitness", f"{DAY},brindle,9,14 m/s,,40,", "lactate"),
    ("surface", "2026-10-03,main,fast,,,,300 mm,", "rain"),
    ("tracks", "x,X,dirt,1 mi,,,,,,,45,,", "latitude"),
]


@pytest.mark.parametrize(("table", "row", "column"), UNLIKELY)
def test_unlikely_values_are_warnings_and_used(
    tmp_path: Path, table: str, row: str, column: str
) -> None:
    if "43 1/5" in row:
        row = row.replace("43 1/5", "43")
    found = problems_of(tmp_path, **{table: with_row(table, row)})
    assert len(found) == 1
    assert found[0].startswith(f"{table}.csv:{next_row(table)}:{column}: warning: ")
    book = daybook.read(tmp_path)
    assert book.rows_refused[table] == 0
    assert next_row(table) in book.tables[table]["row"].tolist()


ORDINARY = [
    ("measurements", measured("weight", "1126 lb")),
    ("measurements", measured("height", "16.2 3/4", "007")),
    ("measurements", measured("temperature", "101.2 F")),
    ("measurements", measured("pulse", "36")),
    ("measurements", measured("condition", "4.5")),
    ("works", work("4 f", "43 1/5")),
    ("works", work("8 f", "1:31 1/5")),
    # The best works of the trade are near 12 seconds a furlong (common practice).
    ("works", work("5 f", "1:00")),
    # Two furlongs in 19.93 s stands in the record lists: a check must not refuse it.
    ("works", work("2 f", "20")),
    ("exercise", f"{DAY},brindle,walk,1 mi,15:00,,,"),
    ("weather", "2026-10-02,main,,,0,0 mph,,,"),
    # Each side of the limits above: 2 and 7, 3 and 15, 5 and 18, 9 m/s.
    ("exercise", f"{DAY},brindle,jog,1 mi,13:24,,,"),
    ("exercise", f"{DAY},brindle,jog,1 mi,3:50,,,"),
    ("exercise", f"{DAY},brindle,canter,1 mi,8:56,,,"),
    ("exercise", f"{DAY},brindle,canter,1 mi,1:48,,,"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,5:21,,,"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,1:30,,,"),
    ("exercise", f"{DAY},brindle,race,1 mi,2:58,,,"),
    # The quickest quarter mile on record, and a race that nobody timed.
    ("exercise", f"{DAY},brindle,race,2 f,20,,,"),
    ("exercise", f"{DAY},brindle,race,1 mi,,,,"),
    # Paces in print: a jog at 8 mph and at 12 mph, a canter at 10 mph, "a two-minute lick", a slow
    # gallop of 6.5 m/s.
    ("exercise", f"{DAY},brindle,jog,1 mi,7:30,,,"),
    ("exercise", f"{DAY},brindle,jog,1 mi,5:00,,,"),
    ("exercise", f"{DAY},brindle,canter,1 mi,6:00,,,"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,2:00,,,"),
    ("exercise", f"{DAY},brindle,gallop,1 mi,4:07,,,"),
    # A time alone is ordinary on a walker, on a treadmill, in a pool and at grass.
    ("exercise", f"{DAY},brindle,walk,,40:00,,,"),
    ("exercise", f"{DAY},brindle,treadmill,,12:00,,,"),
    ("exercise", f"{DAY},brindle,swim,,6:00,,,"),
    ("exercise", f"{DAY},brindle,turnout,,59:00,,,"),
    ("exercise", f"{DAY},brindle,gallop,,,,,"),
]


def test_what_is_said_of_exercise(tmp_path: Path) -> None:
    rows = [
        f"{DAY},brindle,jog,1 mi,1:40,,,",
        f"{DAY},brindle,race,,,,,",
        f"{DAY},brindle,gallop,,6:00,,,",
    ]
    assert problems_of(tmp_path, exercise=with_row("exercise", "\n".join(rows))) == [
        'exercise.csv:5:time: warning: "1:40" for "1 mi" is 12.5 s/f (16.1 m/s), faster than a '
        "horse jogs; check activity, distance and time",
        "exercise.csv:6:distance: warning: a race without a distance is not in the ground covered; "
        "write it, such as 6 f",
        'exercise.csv:7:distance: warning: a gallop of "6:00" without a distance is not in the '
        "ground covered; write it, such as 1 1/2 mi",
    ]


def test_a_distance_that_cannot_be_read_is_not_called_missing(tmp_path: Path) -> None:
    [line] = problems_of(
        tmp_path, exercise=with_row("exercise", f"{DAY},brindle,race,six furlongs,1:10,,,")
    )
    assert line.startswith("exercise.csv:5:distance: ")
    assert "warning" not in line


@pytest.mark.parametrize(("table", "row"), ORDINARY)
def test_ordinary_values_are_not_spoken_of(tmp_path: Path, table: str, row: str) -> None:
    assert problems_of(tmp_path, **{table: with_row(table, row)}) == []


def test_a_growing_horse_may_be_light_and_low(tmp_path: Path) -> None:
    rows = "\n".join([measured("weight", "320 kg", "007"), measured("height", "13.3", "007")])
    horses = with_row("horses", "pip,Pip,2025-03-01,colt,,,,")
    young = with_row("measurements", rows.replace("007", "pip"))
    assert problems_of(tmp_path / "a", horses=horses, measurements=young) == []
    grown = problems_of(tmp_path / "b", measurements=with_row("measurements", rows))
    assert [": warning: " in line for line in grown] == [True, True]


GROWN = [
    # (what, the largest that no grown horse has, the least that one can have)
    ("weight", "249.9 kg", "250 kg"),
    ("height", "119.9 cm", "120 cm"),
    ("girth", "119.9 cm", "120 cm"),
    ("length", "89.9 cm", "90 cm"),
    ("cannon", "11.9 cm", "12 cm"),
]


@pytest.mark.parametrize(("what", "small", "least"), GROWN)
def test_what_only_a_young_horse_can_have_is_an_error_of_a_grown_one(
    tmp_path: Path, what: str, small: str, least: str
) -> None:
    [line] = problems_of(
        tmp_path / "a", measurements=with_row("measurements", measured(what, small, "007"))
    )
    assert f'"{small}" is a {what} that no grown horse has' in line
    assert daybook.read(tmp_path / "a").rows_refused["measurements"] == 1
    [line] = problems_of(
        tmp_path / "b", measurements=with_row("measurements", measured(what, least, "007"))
    )
    assert f'warning: "{least}" is a {what} that few horses have' in line
    yearling = with_row("horses", "pip,Pip,2025-03-01,colt,,,,")
    young = with_row("measurements", measured(what, small, "pip"))
    assert problems_of(tmp_path / "c", horses=yearling, measurements=young) == []


def test_a_horse_of_unknown_age_is_grown_and_a_yearling_is_no_foal(tmp_path: Path) -> None:
    horses = TABLES["horses"] + "pip,Pip,,,,,,\nfern,Fern,2025,,,,,\ntad,Tad,2026,,,,,\n"
    lines = [measured("girth", "95 cm", horse) for horse in ("pip", "fern", "tad")]
    rows = with_row("measurements", "\n".join(lines))
    assert problems_of(tmp_path, horses=horses, measurements=rows) == [
        'measurements.csv:7:value: "95 cm" is a girth that no grown horse has (outside 1.2 to '
        "2.6 m); correct it",
        'measurements.csv:8:value: "95 cm" is a girth that no yearling has (outside 1 to 2.6 m); '
        "correct it",
    ]


@pytest.mark.parametrize(
    ("what", "written", "meant"),
    [
        ("girth", "74 cm", "if inches were meant, write 74 in"),
        ("girth", "73 1/2 cm", "if inches were meant, write 73 1/2 in"),
        ("girth", "187 in", "if centimetres were meant, write 187 cm"),
        ("length", "66cm", "if inches were meant, write 66 in"),
        ("length", "168 inches", "if centimetres were meant, write 168 cm"),
        ("cannon", "8.25 cm", "if inches were meant, write 8.25 in"),
        ("height", "66 cm", "if inches were meant, write 66 in"),
        ("height", "168 in", "if centimetres were meant, write 168 cm"),
        ("weight", "473 lb", "if kilograms were meant, write 473 kg"),
        ("weight", "1042 kg", "if pounds were meant, write 1042 lb"),
        ("weight", '"1,042 kg"', "if pounds were meant, write 1,042 lb"),
        ("weight", "250 lb", "correct it"),  # 250 kg is no likelier
        ("weight", "5000 kg", "correct it"),
        ("girth", "4 m", "correct it"),
    ],
)
def test_the_unit_that_was_meant_is_named_where_it_fits(
    tmp_path: Path, what: str, written: str, meant: str
) -> None:
    rows = with_row("measurements", measured(what, written, "007"))
    [line] = problems_of(tmp_path, "error", measurements=rows)
    assert line.endswith(f"; {meant}")


def test_the_unit_that_was_meant_of_a_yearling(tmp_path: Path) -> None:
    horses = with_row("horses", "pip,Pip,2025-03-01,colt,,,,")
    lines = [measured("girth", "60 cm", "pip"), measured("weight", "250 lb", "pip")]
    rows = with_row("measurements", "\n".join(lines))
    girth, weight = problems_of(tmp_path, horses=horses, measurements=rows)
    assert girth.endswith(
        "that no yearling has (outside 1 to 2.6 m); if inches were meant, write 60 in"
    )
    assert weight.endswith(
        "that no yearling has (outside 120 to 1000 kg); if kilograms were meant, write 250 kg"
    )


def test_the_message_quotes_the_cell_and_says_what_is_usual(tmp_path: Path) -> None:
    rows = with_row("measurements", measured("weight", '"5,000 lb"'))
    assert problems_of(tmp_path, measurements=rows) == [
        'measurements.csv:7:value: "5,000 lb" is a weight that no horse has '
        "(outside 30 to 1000 kg); correct it"
    ]


@pytest.mark.parametrize(
    ("cells", "asked"),
    [
        ("60 F,95 F", []),
        ("38 C,45 C", ["tmin"]),
        ("20 C,51 C", ["tmax"]),
        ("-50 F,20 F", ["tmin"]),
    ],
)
def test_air_that_is_hardly_of_this_earth_is_asked_about(
    tmp_path: Path, cells: str, asked: list[str]
) -> None:
    """Fahrenheit with the sign of Celsius reads as a heat that dries any track."""
    told = problems_of(tmp_path, weather=f"date,track,tmin,tmax\n2026-10-04,main,{cells}\n")
    assert [line.split(":")[2] for line in told] == asked
    assert all("warning: " in line and "are usual; check it" in line for line in told)
