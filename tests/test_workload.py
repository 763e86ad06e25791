"""The ledger: nothing is lost, nothing counted twice, and the order of rows decides nothing."""

from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import workload
from racecalc.errors import OutOfRangeError
from racecalc.units import FURLONG_M

F = FURLONG_M
FIRST, LAST = date(2026, 10, 1), date(2026, 10, 31)
ACTIVITIES = ["rest", "walk", "jog", "canter", "gallop", "race", "swim", "treadmill", "turnout"]


def exercise(*rows: tuple[int, str, float, float]) -> pd.DataFrame:
    """Rows of day in October, activity, metres, seconds."""
    return pd.DataFrame(
        {
            "date": pd.to_datetime([f"2026-10-{row[0]:02d}" for row in rows]),
            "horse": pd.Series(["H1"] * len(rows), dtype=object),
            "activity": pd.Series([row[1] for row in rows], dtype=object),
            "distance_m": np.array([row[2] for row in rows], dtype=float),
            "time_s": np.array([row[3] for row in rows], dtype=float),
        }
    )


def works(*rows: tuple[int, str, float, float]) -> pd.DataFrame:
    """Rows of day in October, id, metres, seconds."""
    named = exercise(*rows).rename(columns={"activity": "work"})
    return named.assign(from_pole_m=np.nan)


def splits(*rows: tuple[str, float, float]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "work": pd.Series([row[0] for row in rows], dtype=object),
            "to_finish_m": np.array([row[1] for row in rows], dtype=float),
            "clock_s": np.array([row[2] for row in rows], dtype=float),
        }
    )


def test_a_work_is_cut_and_each_section_has_its_own_speed() -> None:
    ground = workload.ledger(
        exercise((3, "jog", 1609.344, np.nan)),
        works((3, "W1", 3 * F, 39.6)),
        splits(("W1", 2 * F, 12.0), ("W1", F, 25.0), ("W1", -F, 55.0)),
        15.0,
    )
    assert tuple(ground.columns) == workload.LEDGER_COLUMNS
    assert ground["activity"].tolist() == ["gallop_out", "jog", "work", "work", "work"]
    assert ground["speed_class"].tolist() == ["slower", "untimed", "fast", "fast", "slower"]
    assert ground["work"].tolist() == ["W1", None, "W1", "W1", "W1"]
    assert workload.totals(ground, FIRST, LAST) == pytest.approx(
        {"gallop_out": F, "jog": 1609.344, "work": 3 * F}
    )


def test_a_work_without_a_clock_is_one_untimed_row() -> None:
    ground = workload.ledger(exercise(), works((3, "W1", 3 * F, np.nan)), splits())
    assert ground["distance_m"].tolist() == [3 * F]
    assert ground["speed_class"].tolist() == ["untimed"]


def test_ground_at_the_fast_speed_is_fast() -> None:
    ground = workload.ledger(exercise((1, "gallop", 1400, 100)), works(), splits(), 14.0)
    assert ground["speed_class"].tolist() == ["fast"]


def test_a_race_is_fast_unless_its_time_says_otherwise() -> None:
    ground = workload.ledger(
        exercise((1, "race", 1200, np.nan), (2, "race", 1200, 70), (3, "race", 1200, 100)),
        works(),
        splits(),
    )
    assert ground["speed_class"].tolist() == ["fast", "fast", "slower"]


def test_rest_turnout_and_empty_tables() -> None:
    idle = exercise((1, "rest", np.nan, np.nan), (2, "turnout", 500, np.nan))
    assert workload.ledger(idle, works(), splits()).empty
    ground = workload.ledger(exercise(), works(), splits())
    assert workload.totals(ground, FIRST, LAST) == {}
    assert workload.by_speed(ground, FIRST, LAST) == {"fast": 0.0, "slower": 0.0, "untimed": 0.0}


def test_unknown_distances_are_counted_not_guessed() -> None:
    ground = workload.ledger(
        exercise((1, "walk", np.nan, np.nan), (2, "jog", 800, np.nan), (3, "jog", np.nan, 300)),
        works(),
        splits(),
    )
    assert workload.totals(ground, FIRST, LAST) == {"jog": 800.0}
    assert workload.unmeasured(ground, FIRST, LAST) == {"jog": 1, "walk": 1}


def test_swimming_is_no_ground() -> None:
    ground = workload.ledger(exercise((1, "swim", 400, 300)), works(), splits())
    assert sum(workload.by_speed(ground, FIRST, LAST).values()) == 0
    assert workload.totals(ground, FIRST, LAST) == {"swim": 400.0}


def test_first_and_last_day_are_included() -> None:
    ground = workload.ledger(
        exercise(*((day, "jog", 100.0 * day, np.nan) for day in (1, 2, 3, 4))), works(), splits()
    )
    inside = workload.totals(ground, date(2026, 10, 2), date(2026, 10, 3))
    assert inside == {"jog": 500.0}


metres = st.one_of(st.just(np.nan), st.floats(100, 6000))
seconds = st.one_of(st.just(np.nan), st.floats(10, 900))
days = st.integers(1, 31)
daily_rows = st.lists(st.tuples(days, st.sampled_from(ACTIVITIES), metres, seconds), max_size=12)
work_rows = st.lists(
    st.tuples(days, st.integers(2, 8), st.integers(0, 3), st.booleans()), max_size=5
)


def _book(rows: list[tuple[int, int, int, bool]]) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Works of whole furlongs at 12 s each, clocked at every pole and some past the finish."""
    held, clocks = [], []
    for number, (day, furlongs, past, timed) in enumerate(rows):
        held.append((day, f"W{number}", furlongs * F, 12.0 * furlongs if timed else np.nan))
        clocks += [
            (f"W{number}", (furlongs - done) * F, 12.0 * done)
            for done in range(1, furlongs + past + 1)
            if timed
        ]
    return works(*held), splits(*clocks)


@given(daily=daily_rows, rows=work_rows)
def test_no_ground_is_lost_or_counted_twice(daily: Any, rows: Any) -> None:
    held, clocks = _book(rows)
    moved = exercise(*daily)
    ground = workload.ledger(moved, held, clocks)
    sums = workload.totals(ground, FIRST, LAST)
    assert sums.pop("work", 0.0) == pytest.approx(held["distance_m"].sum(), rel=1e-12)
    past = sum(row[2] for row in rows if row[3])
    assert sums.pop("gallop_out", 0.0) == pytest.approx(past * F, rel=1e-12)
    for activity, total in sums.items():
        assert total == pytest.approx(moved[moved["activity"] == activity]["distance_m"].sum())
    swum = ground[ground["activity"] == "swim"]["distance_m"].sum()
    classes = workload.by_speed(ground, FIRST, LAST)
    assert sum(classes.values()) == pytest.approx(ground["distance_m"].sum() - swum)


@given(daily=daily_rows, rows=work_rows, seed=st.randoms())
def test_the_order_of_rows_does_not_matter(daily: Any, rows: Any, seed: Any) -> None:
    held, clocks = _book(rows)
    moved = exercise(*daily)

    def shuffled(frame: pd.DataFrame) -> pd.DataFrame:
        order = list(range(len(frame)))
        seed.shuffle(order)
        return frame.iloc[order]

    plain = workload.ledger(moved, held, clocks)
    mixed = workload.ledger(shuffled(moved), shuffled(held), shuffled(clocks))
    pd.testing.assert_frame_equal(plain, mixed)


@given(daily=daily_rows, cut=st.integers(1, 30))
def test_two_halves_of_a_month_make_the_month(daily: Any, cut: int) -> None:
    ground = workload.ledger(exercise(*daily), works(), splits())
    middle = date(2026, 10, cut)
    parts = [
        workload.by_speed(ground, FIRST, middle),
        workload.by_speed(ground, date(2026, 10, cut + 1), LAST),
    ]
    whole = workload.by_speed(ground, FIRST, LAST)
    for name, total in whole.items():
        assert total == pytest.approx(parts[0][name] + parts[1][name])


def test_many_horses_stand_in_one_ledger() -> None:
    two = pd.concat([exercise((1, "jog", 100, np.nan))] * 2, ignore_index=True)
    two["horse"] = ["H2", "H1"]
    held = works((1, "W1", 2 * F, 24.0)).assign(horse="H2")
    ground = workload.ledger(two, held, splits())
    assert ground["horse"].tolist() == ["H1", "H2", "H2"]


def test_a_fast_speed_must_be_one() -> None:
    with pytest.raises(OutOfRangeError, match="above zero"):
        workload.ledger(exercise(), works(), splits(), 0.0)


@pytest.mark.parametrize(
    ("month", "last"), [("2026-02", 28), ("2028-02", 29), ("2026-12", 31), ("2026-04", 30)]
)
def test_month_bounds(month: str, last: int) -> None:
    first_day, last_day = workload.month_bounds(month)
    assert (first_day.day, last_day.day) == (1, last)
    assert f"{last_day:%Y-%m}" == month


@pytest.mark.parametrize(
    "month",
    [
        "2026-13",
        "2026-00",
        "26-10",
        "2026-1",
        "October",
        "",
        "0000-01",
        "1677-01",
        "9999-12",
        "2026-10-01",
        "²026-10",
    ],
)
def test_what_is_no_month(month: str) -> None:
    with pytest.raises(OutOfRangeError, match="2026-10"):
        workload.month_bounds(month)


def test_last_days() -> None:
    assert workload.last_days(date(2026, 10, 31), 30) == (date(2026, 10, 2), date(2026, 10, 31))
    with pytest.raises(OutOfRangeError, match="at least one"):
        workload.last_days(LAST, 0)


def test_days_off_are_kept_apart() -> None:
    daily = exercise(
        (1, "rest", np.nan, np.nan),
        (2, "rest", np.nan, np.nan),
        (2, "turnout", np.nan, np.nan),
        (3, "turnout", np.nan, np.nan),
        (4, "rest", np.nan, np.nan),
        (4, "walk", 800, np.nan),
        (6, "rest", np.nan, np.nan),
    )
    off = workload.days_off(
        daily, works((6, "W1", 3 * F, 36.0)), date(2026, 10, 1), date(2026, 10, 6)
    )
    assert off.rest == (date(2026, 10, 1), date(2026, 10, 2))
    assert off.turnout == (date(2026, 10, 3),)
    assert off.unrecorded == (date(2026, 10, 5),)
