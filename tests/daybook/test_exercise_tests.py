"""Steps of a test that do not belong together, and races that are not in the ground, are told.

All of it is warned of and used; the limits are the project's own choice.
"""

from pathlib import Path

import pytest

from racecalc import daybook
from racecalc.daybook import Problem
from tests.daybook.stable import with_row, write_book

DAY = "2026-10-06"
HEAD = "date,horse,step,speed,heart_rate,lactate,minutes_after\n"
SOUND = (
    "1,16 mph,158,0.9,", "2,20 mph,169,1.4,", "3,25 mph,186,2.9,", "4,28 mph,192,5.1,",
    "4,28 mph,125,4.8,1",
)  # fmt: skip


def checked(folder: Path, **tables: str) -> list[Problem]:
    return list(daybook.check(write_book(folder, **tables)))


def steps(*rows: str) -> str:
    return HEAD + "".join(f"{DAY},brindle,{row}\n" for row in rows)


def told(tmp_path: Path, *rows: str) -> list[tuple[str | None, int | None, str]]:
    found = checked(tmp_path, fitness=steps(*rows))
    assert all(problem.level == "warning" for problem in found)
    return [(problem.column, problem.row, problem.message) for problem in found]


def test_a_sound_test_has_nothing_to_tell(tmp_path: Path) -> None:
    assert told(tmp_path, *SOUND) == []


def test_a_small_fall_is_the_noise_of_a_reading(tmp_path: Path) -> None:
    assert told(tmp_path, "1,16 mph,158,0.9,", "2,20 mph,151,0.5,", "3,25 mph,186,2.9,") == []


@pytest.mark.parametrize(
    ("rows", "column", "row", "says"),
    [
        (("1,16 mph,158,,", "2,20 mph,169,,", "3,25 mph,150,,"), "heart_rate", 4, "in row 3"),
        (("3,25 mph,,2.0,", "1,16 mph,,5.0,", "2,20 mph,,3.0,"), "lactate", 4, "in row 3"),
        (("1,16 mph,158,,", "1,20 mph,169,,"), "speed", 3, "another speed"),
        (("1,16 mph,158,,", "1,16 mph,168,,", "2,20 mph,175,,"), "step", 3, "another reading"),
        (("1,16 mph,158,,", "2,16 mph,158,,", "3,20 mph,169,,"), "speed", 3, "in row 2 as well"),
        (("1,16 mph,158,,", "2,20 mph,,,"), "heart_rate", 3, "tells nothing"),
        (("1,16 mph,158,,", "2,20 mph,45,,"), "heart_rate", 3, "fill it in for a recovery"),
        (("1,16 mph,158,,", "2,20 mph,250,,"), "heart_rate", 3, "245"),
        (("1,16 km/h,158,,", "2,2 m/s,100,,"), "speed", 3, "speed of a walk"),
    ],
)  # fmt: skip
def test_what_is_odd_is_told_and_used(
    tmp_path: Path, rows: tuple[str, ...], column: str, row: int, says: str
) -> None:
    found = told(tmp_path, *rows)
    assert any(
        (where, place) == (column, row) and says in message for where, place, message in found
    ), found
    book = daybook.read(write_book(tmp_path / "again", fitness=steps(*rows)))
    assert len(book.tables["fitness"]) == len(rows)


def test_a_test_of_one_speed_tells_of_recovery(tmp_path: Path) -> None:
    assert told(tmp_path, "1,30 mph,190,5.2,", "1,30 mph,120,,1") == []


def test_heart_rate_and_lactate_of_one_step_may_stand_in_two_rows(tmp_path: Path) -> None:
    assert told(tmp_path, "1,16 mph,158,,", "1,16 mph,,0.9,", "2,20 mph,169,1.4,") == []


def test_two_tests_are_not_compared(tmp_path: Path) -> None:
    rows = steps("1,16 mph,158,0.9,", "2,20 mph,169,1.4,")
    rows += "2026-10-07,brindle,1,25 mph,140,0.5,\n2026-10-07,brindle,2,28 mph,150,0.9,\n"
    rows += f"{DAY},007,1,30 mph,120,0.4,\n{DAY},007,2,31 mph,125,0.5,\n"
    assert checked(tmp_path, fitness=rows) == []


def test_an_impossible_heart_rate_is_left_out_of_the_rest(tmp_path: Path) -> None:
    rows = steps("1,16 mph,158,,", "2,20 mph,400,,", "3,25 mph,186,,")
    [problem] = checked(tmp_path, fitness=rows)
    assert (problem.level, problem.row, problem.column) == ("error", 3, "heart_rate")


def test_a_race_without_a_distance_is_told(tmp_path: Path) -> None:
    race = with_row("exercise", f"{DAY},brindle,race,,1:12,main,,")
    [problem] = checked(tmp_path, exercise=race)
    assert (problem.level, problem.column) == ("warning", "distance")
    assert "not in the ground covered" in problem.message
    untimed = with_row("exercise", f"{DAY},brindle,race,6 f,,main,,")
    assert checked(tmp_path, exercise=untimed) == []


@pytest.mark.parametrize(
    ("activity", "distance", "time", "says"),
    [
        ("walk", "1 mi", "10:00", "fast for a walk"),
        ("jog", "1 mi", "2:40", "fast for a jog"),
        ("jog", "1 mi", "20:00", "slow for a jog"),
        ("canter", "1 mi", "1:36", "fast for a canter"),
        ("canter", "1 mi", "10:00", "slow for a canter"),
        ("gallop", "1 mi", "6:00", "slow for a gallop"),
        ("race", "1 mi", "4:00", "slow for a race"),
    ],
)
def test_a_speed_that_is_not_that_of_its_activity_is_told(
    tmp_path: Path, activity: str, distance: str, time: str, says: str
) -> None:
    row = with_row("exercise", f"{DAY},brindle,{activity},{distance},{time},main,,")
    [problem] = checked(tmp_path, exercise=row)
    assert problem.level == "warning"
    assert says in problem.message
