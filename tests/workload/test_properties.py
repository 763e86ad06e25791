"""Invariants of load: rest adds nothing, pieces add up, and the order of rows decides nothing."""

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

loads = st.lists(st.floats(0, 20000), min_size=1, max_size=60)
FIRST, LAST = date(2026, 10, 1), date(2026, 10, 31)


@given(loads)
def test_a_day_at_rest_never_raises_the_acute_load(days: list[float]) -> None:
    rested = [*days, 0.0]
    assert workload.ewma(rested, 7)[-1] <= workload.ewma(days, 7)[-1]
    before, after = workload.rolling_load(days, 7)[-1], workload.rolling_load(rested, 7)[-1]
    assert np.isnan(before) or after <= before + 1e-6


@given(loads, st.integers(1, 40))
def test_a_weighted_mean_stays_among_its_loads(days: list[float], span: int) -> None:
    smoothed = workload.ewma(days, span)
    assert min(days) - 1e-6 <= smoothed.min()
    assert smoothed.max() <= max(days) + 1e-6


@given(st.lists(st.floats(0, 20000), min_size=28, max_size=60))
def test_a_coupled_ratio_never_passes_four(days: list[float]) -> None:
    found = workload.coupled_ratio(days)
    assert not np.isinf(found).any()
    assert np.nanmax(np.append(found, 0.0)) <= 4 + 1e-9
    linked = workload.coupled_from_uncoupled(workload.uncoupled_ratio(days))
    known = ~np.isnan(linked) & ~np.isnan(found)
    assert linked[known] == pytest.approx(found[known], abs=1e-9)


@given(loads)
def test_horses_beside_one_another_are_each_as_alone(days: list[float]) -> None:
    alone = np.array(days)
    both = np.stack([alone, alone[::-1]], axis=1)
    for smooth in (lambda x: workload.ewma(x, 7), lambda x: workload.decaying_sum(x, 42.0)):
        assert smooth(both)[:, 0] == pytest.approx(smooth(alone))


@given(loads)
def test_a_sum_that_forgets_holds_each_load_on_its_day(days: list[float]) -> None:
    sums = workload.decaying_sum(days, 42.0)
    assert (sums >= np.array(days) - 1e-6).all()
    late = workload.decaying_sum(days, 42.0, lag=1)
    assert late[0] == 0
    assert late[1:] == pytest.approx((sums * np.exp(-1 / 42))[:-1])


def ground(*rows: tuple[int, str, float, float]) -> pd.DataFrame:
    exercise = pd.DataFrame(
        {
            "date": pd.to_datetime([f"2026-10-{row[0]:02d}" for row in rows]),
            "horse": pd.Series(["H1"] * len(rows), dtype=object),
            "activity": pd.Series([row[1] for row in rows], dtype=object),
            "distance_m": np.array([row[2] for row in rows], dtype=float),
            "time_s": np.array([row[3] for row in rows], dtype=float),
        }
    )
    works = exercise.iloc[:0].rename(columns={"activity": "work"}).assign(from_pole_m=np.nan)
    splits = pd.DataFrame({"work": [], "to_finish_m": [], "clock_s": []}).astype({"work": object})
    return workload.ledger(exercise, works, splits)


activities = st.sampled_from(["walk", "jog", "canter", "gallop", "race", "swim", "treadmill"])
pieces = st.lists(
    st.tuples(
        st.integers(1, 31),
        activities,
        st.one_of(st.just(np.nan), st.floats(100, 6000)),
        st.one_of(st.just(np.nan), st.floats(20, 900)),
    ),
    max_size=20,
)


@given(pieces, st.randoms(use_true_random=False))
def test_classes_hold_all_ground_in_any_order(rows: list[Any], random: Any) -> None:
    edges = workload.speed_edges()
    filled = workload.with_usual_speeds(ground(*rows))
    metres, unknown = workload.by_class(filled, edges, FIRST, LAST)
    whole = sum(row[2] for row in rows if row[1] != "swim" and not np.isnan(row[2]))
    assert metres.sum() + unknown == pytest.approx(whole)
    assert sum(workload.by_speed(filled, FIRST, LAST).values()) == pytest.approx(whole)
    shuffled = list(rows)
    random.shuffle(shuffled)
    again = workload.with_usual_speeds(ground(*shuffled))
    assert workload.by_class(again, edges, FIRST, LAST)[0] == pytest.approx(metres)
    assert again["estimated"].sum() == filled["estimated"].sum()


@given(pieces)
def test_an_estimate_touches_only_what_was_not_timed(rows: list[Any]) -> None:
    plain = ground(*rows)
    filled = workload.with_usual_speeds(plain)
    timed = plain["speed_m_s"].notna()
    assert filled.loc[timed, "speed_m_s"].tolist() == plain.loc[timed, "speed_m_s"].tolist()
    assert not filled.loc[timed, "estimated"].any()
    assert filled["distance_m"].tolist() == pytest.approx(plain["distance_m"].tolist(), nan_ok=True)


def test_splitting_a_work_into_its_furlongs_changes_no_sum() -> None:
    work = pd.DataFrame(
        {
            "work": ["W"],
            "date": pd.to_datetime(["2026-10-05"]),
            "horse": ["H1"],
            "distance_m": [6 * FURLONG_M],
            "time_s": [73.2],
            "from_pole_m": [np.nan],
        }
    )
    exercise = pd.DataFrame(
        {"date": pd.to_datetime([]), "horse": [], "activity": [], "distance_m": [], "time_s": []}
    ).astype({"horse": object, "activity": object})
    clocks = [12.6, 24.8, 37.0, 49.0, 61.2]
    none = pd.DataFrame({"work": [], "to_finish_m": [], "clock_s": []}).astype({"work": object})
    cut = pd.DataFrame(
        {
            "work": ["W"] * 5,
            "to_finish_m": [FURLONG_M * left for left in (5, 4, 3, 2, 1)],
            "clock_s": clocks,
        }
    )
    whole, parts = (workload.ledger(exercise, work, splits) for splits in (none, cut))
    assert (len(whole), len(parts)) == (1, 6)
    for one in (whole, parts):
        assert one["distance_m"].sum() == pytest.approx(6 * FURLONG_M)
        assert one["time_s"].sum() == pytest.approx(73.2)
        assert workload.totals(one, FIRST, LAST) == pytest.approx({"work": 6 * FURLONG_M})
        days = workload.daily(one, FIRST, LAST)[2]
        assert days.sum() == pytest.approx(6 * FURLONG_M)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: workload.ewma([-1.0], 7), "zero or more"),
        (lambda: workload.ewma([np.nan], 7), "zero or more"),
        (lambda: workload.rolling_load([1.0], 0), "at least one"),
        (lambda: workload.uncoupled_ratio([1.0] * 30, 28, 7), "must be longer"),
        (lambda: workload.monotony([5.0]), "two days"),
        (lambda: workload.session_load(11, 30), "0 to 10"),
        (lambda: workload.zone_score([1, 2, 3]), "five zones"),
        (lambda: workload.training_impulse(30, 250, 40, 200), "rest to peak"),
        (lambda: workload.decaying_sum([1.0], 0), "above zero"),
        (lambda: workload.best_day((1, 2), (15, 45)), "last longer"),
        (lambda: workload.strides(-1.0, 10.0), "zero or more"),
        (lambda: workload.stride_rate_hz([0.0]), "above zero"),
        (lambda: workload.speed_edges((0.0, 14.0)), "above zero"),
        (lambda: workload.daily(ground(), LAST, FIRST), "first day first"),
    ],
)
def test_impossible_input_is_refused(call: Any, says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        call()


def test_a_week_of_like_days_has_no_evenness() -> None:
    assert np.isnan(workload.monotony([50.0] * 7))
    assert np.isnan(workload.monotony([0.0] * 7))
    assert np.isnan(workload.monotony([0.1] * 7))


def test_ratios_over_nothing_are_missing() -> None:
    idle = [0.0] * 40
    for ratio in (workload.coupled_ratio, workload.uncoupled_ratio, workload.weighted_ratio):
        assert np.isnan(ratio(idle)).all()
