"""Rows of the daybook become tests: steps joined, recoveries apart, the order of rows nothing."""

import math

import numpy as np
import pandas as pd
import pytest

from racecalc import fitness

COLUMNS = ["date", "step", "speed_m_s", "heart_rate_bpm", "lactate_mmol_l", "minutes_after"]


def table(*rows: tuple[object, ...]) -> pd.DataFrame:
    frame = pd.DataFrame(rows, columns=COLUMNS)
    return frame.assign(date=pd.to_datetime(frame["date"]))


ROWS = (
    ("2026-10-13", "2", 10.0, 170.0, 1.5, np.nan),
    ("2026-10-13", "1", 8.0, 155.0, 0.9, np.nan),
    ("2026-10-13", "3", 13.0, 196.0, np.nan, np.nan),
    ("2026-10-13", "3", 13.0, 120.0, 5.2, 1.0),
    ("2026-10-13", "3", 13.0, 90.0, 5.8, 5.0),
    ("2026-10-13", "3", 13.0, 70.0, 6.9, 15.0),
    ("2026-07-01", "1", 8.0, 160.0, np.nan, np.nan),
)


def test_steps_rise_and_recoveries_stand_apart() -> None:
    first, second = fitness.tests_of(table(*ROWS))
    assert [step.name for step in first.steps] == ["1"]
    assert [step.speed_m_s for step in second.steps] == [8.0, 10.0, 13.0]
    assert [(one.minutes, one.heart_rate_bpm) for one in second.recoveries] == [
        (1.0, 120.0),
        (5.0, 90.0),
        (15.0, 70.0),
    ]


def test_lactate_after_a_step_is_the_highest_of_five_minutes() -> None:
    _, test = fitness.tests_of(table(*ROWS))
    assert test.steps[-1].lactate_mmol_l == 5.8
    speeds, lactates = test.points("lactate_mmol_l")
    assert (speeds.tolist(), lactates.tolist()) == ([8.0, 10.0, 13.0], [0.9, 1.5, 5.8])


def test_heart_rate_and_lactate_in_two_rows_are_one_step() -> None:
    rows = (
        ("2026-10-13", "1", 8.0, 155.0, np.nan, np.nan),
        ("2026-10-13", "1", 8.0, np.nan, 0.9, np.nan),
    )
    (test,) = fitness.tests_of(table(*rows))
    (step,) = test.steps
    assert (step.heart_rate_bpm, step.lactate_mmol_l) == (155.0, 0.9)


def test_a_lactate_counts_for_its_step_whatever_speed_stands_beside_it() -> None:
    rows = (
        ("2026-10-13", "1", 8.0, 155.0, 0.9, np.nan),
        ("2026-10-13", "2", 12.0, 186.0, np.nan, np.nan),
        ("2026-10-13", "2", 4.0, np.nan, 4.4, 2.0),
    )
    (test,) = fitness.tests_of(table(*rows))
    assert [(step.speed_m_s, step.lactate_mmol_l) for step in test.steps] == [
        (8.0, 0.9),
        (12.0, 4.4),
    ]


def test_recoveries_tell_whether_they_follow_the_fastest_step() -> None:
    rows = (
        ("2026-10-13", "1", 8.0, 155.0, 0.9, np.nan),
        ("2026-10-13", "1", 8.0, 80.0, np.nan, 1.0),
        ("2026-10-13", "2", 12.0, 186.0, np.nan, np.nan),
        ("2026-10-13", "2", 12.0, 120.0, np.nan, 1.0),
    )
    (test,) = fitness.tests_of(table(*rows))
    assert [(one.step, one.last) for one in test.recoveries] == [("1", False), ("2", True)]
    (alone,) = fitness.tests_of(table(("2026-10-13", "1", 8.0, 110.0, np.nan, 1.0)))
    assert (alone.steps, [one.last for one in alone.recoveries]) == ((), [True])


def test_two_steps_at_one_speed_stay_two() -> None:
    rows = (
        ("2026-10-13", "1", 8.0, 155.0, 0.9, np.nan),
        ("2026-10-13", "2", 8.0, 159.0, 1.0, np.nan),
    )
    (test,) = fitness.tests_of(table(*rows))
    assert [step.heart_rate_bpm for step in test.steps] == [155.0, 159.0]


def test_a_row_that_tells_nothing_is_no_step() -> None:
    (test,) = fitness.tests_of(table(("2026-10-13", "1", 8.0, np.nan, np.nan, np.nan)))
    assert test.steps == ()


@pytest.mark.parametrize("seed", range(5))
def test_the_order_of_rows_changes_nothing(seed: int) -> None:
    shuffled = table(*ROWS).sample(frac=1, random_state=seed)
    assert repr(fitness.tests_of(shuffled)) == repr(fitness.tests_of(table(*ROWS)))


def test_a_test_without_lactate_has_no_points_of_it() -> None:
    (test,) = fitness.tests_of(table(("2026-10-13", "1", 8.0, 155.0, np.nan, np.nan)))
    assert math.isnan(test.steps[0].lactate_mmol_l)
    assert test.points("lactate_mmol_l")[0].size == 0
