"""The rows of an exercise test against one another: all warnings, and every row is used."""

from itertools import pairwise, product
from math import isnan
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from racecalc import daybook
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.step_tests import check_tests
from racecalc.daybook.table import Table
from tests.daybook.stable import TABLES, problems_of

HEADER = TABLES["fitness"].splitlines()[0]
DAY = "2026-10-06"
# Group means in print used as the points of a test: heart rates of 11 Thoroughbreds (the Korean
# study of the research notes) and lactates by Davie and Evans's curve for sand, 0.08 e^(0.33 v).
PRINTED = [("13.8 km/h", 140, 0.3), ("37.5 km/h", 180, 2.5), ("49.3 km/h", 200, 7.3),
           ("57.4 km/h", 214, 15.4)]  # fmt: skip


def found(folder: Path, *rows: str) -> list[str]:
    """Return what is said, where every row is of brindle on one day."""
    lines = [HEADER, *(f"{DAY},brindle,{row}" for row in rows)]
    told = problems_of(folder, fitness="\n".join(lines) + "\n")
    assert daybook.read(folder).rows_refused["fitness"] == 0
    return told


def test_printed_tests_are_not_spoken_of(tmp_path: Path) -> None:
    rows = [f"{n},{v},{heart},{lactate}," for n, (v, heart, lactate) in enumerate(PRINTED, 1)]
    after = ["4,57.4 km/h,125.3,,1", "4,57.4 km/h,,15.0,5", "4,57.4 km/h,90,9.0,20"]
    assert found(tmp_path, *rows, *after) == []


def test_lactate_that_falls_names_both_rows(tmp_path: Path) -> None:
    rows = ["1,10 m/s,170,2.1,", "2,12 m/s,185,5.1,", "3,30 mph,195,2.9,", "4,15 m/s,205,9,"]
    assert found(tmp_path, *rows) == [
        'fitness.csv:4:lactate: warning: "2.9" at 30 mph is 2.2 mmol/L below the "5.1" at 12 m/s '
        "in row 3, though it rises with speed; check both, they are used as they are"
    ]


def test_heart_rate_that_falls_names_both_rows(tmp_path: Path) -> None:
    rows = ["4,15 m/s,205,,", "3,13 m/s,159,,", "2,12 m/s,185,,", "1,10 m/s,170,,"]
    assert found(tmp_path, *rows) == [
        'fitness.csv:3:heart_rate: warning: "159" at 13 m/s is 26 beats/min below the "185" at '
        "12 m/s in row 4, though it rises with speed; check both, they are used as they are"
    ]


@pytest.mark.parametrize(
    ("slower", "faster", "told"),
    [
        ("170,", "160,", False),
        ("170,", "159,", True),
        (",0.9", ",0.4", False),
        (",0.91", ",0.4", True),
        (",2.0", ",1.5", False),
        (",10", ",8.5", False),
        (",10", ",8.4", True),
        (",4.0", ",3.3", True),
    ],
)
def test_small_falls_are_noise(tmp_path: Path, slower: str, faster: str, told: bool) -> None:
    lines = found(tmp_path, f"1,8 m/s,{slower},", f"2,10 m/s,{faster},")
    assert bool(lines) is told
    assert all("below the" in line for line in lines)


def test_a_fall_from_a_repeated_speed_claims_the_least(tmp_path: Path) -> None:
    """The lowest of the slower speed stands against the highest of the faster one."""
    rows = ["1,10 m/s,,4.0,", "1,10 m/s,,3.0,5", "2,12 m/s,,2.6,", "2,12 m/s,,2.2,5"]
    assert found(tmp_path, *rows) == []


def test_only_lactates_of_the_first_minutes_belong_to_their_step(tmp_path: Path) -> None:
    steps = ["1,10 m/s,,2.0,2", "2,13 m/s,,6.0,2"]
    assert found(tmp_path / "a", *steps, "3,15 m/s,,3.0,5") != []
    assert found(tmp_path / "b", *steps, "3,15 m/s,,3.0,6") == []


def test_heart_rates_of_a_recovery_are_not_compared(tmp_path: Path) -> None:
    steps = ["1,10 m/s,170,,", "2,13 m/s,190,,", "2,13 m/s,100,,1", "1,10 m/s,80,,1"]
    assert found(tmp_path, *steps) == []


def test_tests_of_other_days_and_horses_are_not_compared(tmp_path: Path) -> None:
    rows = [
        f"{day},{horse},{n},{v} m/s,{heart + 20 * k},{lactate + 4 * k},"
        for k, (day, horse) in enumerate(product((DAY, "2026-07-01"), ("brindle", "007")))
        for n, v, heart, lactate in ((1, 9 - k, 150, 1.5), (2, 13, 170, 4.5))
    ]
    for order in (rows, rows[::-1], rows[::2] + rows[1::2]):
        assert problems_of(tmp_path, fitness="\n".join([HEADER, *order]) + "\n") == []


def test_a_step_with_two_speeds(tmp_path: Path) -> None:
    rows = ["1,10 m/s,170,,", "2,12 m/s,185,,", "2,13 m/s,190,,", "2,3 m/s,90,,1"]
    assert found(tmp_path, *rows) == [
        'fitness.csv:3:speed: warning: "12 m/s" is the speed of step "2", which has "3 m/s" in row '
        "5; a step has one speed, and so has the recovery after it; check both, they are used as "
        "they are",
        'fitness.csv:4:speed: warning: "13 m/s" is the speed of step "2", which has "12 m/s" in '
        "row 3; a step has one speed, and so has the recovery after it; check both, they are used "
        "as they are",
    ]


def test_one_speed_in_two_units_is_one_speed(tmp_path: Path) -> None:
    rows = ["1,20 mph,170,,", "A,30 mph,190,,", "a,13.4 m/s,,5,2", "a,48.3 km/h,110,,1"]
    assert found(tmp_path, *rows) == []


def test_two_steps_at_one_speed(tmp_path: Path) -> None:
    rows = ["1,10 m/s,170,,", "2,30 mph,190,,", "3,13.4 m/s,192,,", "recovery,30 mph,110,,1"]
    assert found(tmp_path, *rows) == [
        'fitness.csv:3:speed: warning: "30 mph" is the speed of step "2" and of step "3" '
        '("13.4 m/s" in row 4); check both, they are used as they are'
    ]


def test_a_step_that_was_read_twice(tmp_path: Path) -> None:
    rows = [
        "1,10 m/s,170,,",
        "2,12 m/s,186,,",
        "2,12 m/s,191,4.1,",
        "2,12 m/s,,4.1,2",
        "2,12 m/s,100,,1",
        "2,12 m/s,104,3.9,1",
        "2,12 m/s,90,3.5,5",
    ]
    assert found(tmp_path, *rows) == [
        'fitness.csv:4:heart_rate: warning: "191" is not the "186" of row 3, for the same step at '
        "the same time; check both and their minutes_after, they are used as they are",
        'fitness.csv:7:heart_rate: warning: "104" is not the "100" of row 6, for the same step at '
        "the same time; check both and their minutes_after, they are used as they are",
    ]


def test_heart_rate_and_lactate_may_stand_in_rows_of_their_own(tmp_path: Path) -> None:
    rows = ["1,10 m/s,170,,", "1,10 m/s,,2.1,", "2,12 m/s,,4.0,2", "2,12 m/s,186,,"]
    assert found(tmp_path, *rows) == []


def test_a_row_that_is_repeated_is_told_once(tmp_path: Path) -> None:
    rows = ["1,10 m/s,170,2,", "2,12 m/s,186,4,", "2,12 m/s,186,4,"]
    assert found(tmp_path, *rows) == [
        "fitness.csv:4: warning: repeats row 3 in every column; delete one if pasted"
    ]


@pytest.mark.parametrize(
    "rows",
    [
        ["1,10 m/s,170,2.1,", "1,10 m/s,90,,2"],
        ["1,10 m/s,170,,", "1,10 m/s,,2.1,2"],
        ["1,10 m/s,,2.1,"],
    ],
)
def test_a_test_at_one_speed_gives_no_line(tmp_path: Path, rows: list[str]) -> None:
    assert found(tmp_path, *rows) == [
        'fitness.csv:2:speed: warning: "10 m/s" is the only speed at which this test was read; no '
        "line can be drawn through one; add the other steps of the day"
    ]


def test_recoveries_alone_are_no_test_of_one_speed(tmp_path: Path) -> None:
    """The pulse and the lactate after a work are a habit of their own."""
    assert found(tmp_path, "work,35 mph,118,,1", "work,35 mph,,14,5") == []


def test_refused_rows_are_not_compared(tmp_path: Path) -> None:
    rows = [
        f"{DAY},brindle,1,10 m/s,170,2.0,",
        f"{DAY},brindle,2,12 m/s,400,0.5,",
        f"{DAY},brindle,2,13 m/s,190,4.0,",
        f"{DAY},bridle,1,10 m/s,,,",
    ]
    wrong, nobody = problems_of(tmp_path, fitness="\n".join([HEADER, *rows]) + "\n")
    assert wrong.startswith("fitness.csv:3:heart_rate: ")
    assert nobody.startswith("fitness.csv:5:horse: ")


def invented(seed: int) -> pd.DataFrame:
    """Rows of a few tests with speeds, steps and readings that often clash."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(1, 30))
    day = pd.Timestamp(DAY) + pd.to_timedelta(chance.integers(0, 2, count), "D")
    heart = chance.choice([np.nan, 150, 165, 170, 181], count)
    lactate = chance.choice([np.nan, 1.0, 1.4, 2.0, 5.0], count)
    rows = {
        "date": day,
        "horse": chance.choice(["a", "b"], count),
        "step": chance.choice(["x", "X", "y", "z"], count),
        "speed_m_s": chance.choice([8.0, 8.05, 10.0, 12.0], count),
        "heart_rate_bpm": heart,
        "lactate_mmol_l": lactate,
        "minutes_after": chance.choice([np.nan, np.nan, np.nan, 2.0, 10.0], count),
    }
    return pd.DataFrame(rows).astype({"horse": object, "step": object}).drop_duplicates()


Warned = tuple[str, str, str, pd.Timestamp]


def told(frame: pd.DataFrame) -> list[Warned]:
    """Return the kind, column, horse and day of each warning."""
    frame = frame.assign(row=np.arange(len(frame)) + 2).reset_index(drop=True)
    table = Table(SCHEMA["fitness"], "f", frame, np.zeros(len(frame), dtype=bool))
    check_tests(table)
    assert not table.refused.any()
    kinds = {"neither": "blank", "which has": "step", "and of step": "speed", "below the": "fall",
             "is not the": "twice", "the only speed": "alone"}  # fmt: skip
    found = []
    for problem in table.problems:
        assert problem.level == "warning"
        [kind] = [name for words, name in kinds.items() if words in problem.message]
        line = frame.iloc[problem.row - 2]
        found.append((kind, problem.column, line["horse"], line["date"]))
    return sorted(found)


Line = tuple[str, float, float, float, float]
"""Step, speed, heart rate, lactate and minutes, -1 during the step."""


def by_hand(frame: pd.DataFrame) -> list[Warned]:
    """The same with loops over lists."""
    found: list[Warned] = []
    for (horse, day), rows in frame.groupby(["horse", "date"]):
        lines = [
            (r.step.casefold(), r.speed_m_s, r.heart_rate_bpm, r.lactate_mmol_l, r.minutes_after)
            for r in rows.fillna({"minutes_after": -1.0}).itertuples()
        ]
        blank = [("blank", "heart_rate") for x in lines if isnan(x[2]) and isnan(x[3])]
        said = blank + speeds_by_hand(lines)
        said += readings_by_hand("heart_rate", [(*x[:2], x[4], x[2]) for x in lines], -1)
        said += readings_by_hand("lactate", [(*x[:2], x[4], x[3]) for x in lines], 5)
        found += [(*one, horse, day) for one in said]
    return sorted(found)


def speeds_by_hand(lines: list[Line]) -> list[tuple[str, str]]:
    said = []
    for label in {line[0] for line in lines}:
        speeds = sorted({line[1] for line in lines if line[0] == label})
        said += [("step", "speed") for one, other in pairwise(speeds) if other - one > 0.1]
    during = sorted({(line[1], line[0]) for line in lines if line[4] < 0})
    said += [
        ("speed", "speed")
        for (slow, one), (fast, other) in pairwise(during)
        if fast - slow <= 0.1 and one != other
    ]
    read = [(v, t) for _, v, heart, lactate, t in lines
            if (t < 0 and not isnan(heart)) or (t <= 5 and not isnan(lactate))]  # fmt: skip
    speeds = [speed for speed, _ in read] or [0.0, 1.0]
    if max(speeds) - min(speeds) <= 0.1 and min(t for _, t in read) < 0:
        said.append(("alone", "speed"))
    return said


def readings_by_hand(
    column: str, lines: list[tuple[str, float, float, float]], last: float
) -> list[tuple[str, str]]:
    """Follow one quantity, given as step, speed, minutes and value."""
    known = [line for line in lines if not isnan(line[3])]
    in_order = sorted((step, minutes, speed, value) for step, speed, minutes, value in known)
    said = [
        ("twice", column)
        for one, other in pairwise(in_order)
        if one[:2] == other[:2] and other[2] - one[2] <= 0.1 and one[3] != other[3]
    ]
    at: dict[float, list[float]] = {}
    for _, speed, minutes, value in known:
        if minutes <= last:
            at.setdefault(speed, []).append(value)
    for slow, fast in pairwise(sorted(at)):
        before, after = min(at[slow]), max(at[fast])
        limit = 10 if column == "heart_rate" else max(0.5, 0.15 * before)
        said += [("fall", column)] * (fast - slow > 0.1 and before - after > limit + 1e-9)
    return said


@pytest.mark.parametrize("seed", range(150))
def test_the_same_is_said_as_by_hand_in_whatever_order_the_rows_stand(seed: int) -> None:
    frame = invented(seed)
    expected = by_hand(frame)
    assert told(frame) == expected
    assert told(frame.sample(frac=1, random_state=seed)) == expected


def test_the_invented_rows_hold_every_case() -> None:
    said = [warning[0] for seed in range(150) for warning in by_hand(invented(seed))]
    counts = {kind: said.count(kind) for kind in set(said)}
    assert set(counts) == {"blank", "step", "speed", "twice", "fall", "alone"}
    assert min(counts.values()) > 10
