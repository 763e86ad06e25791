"""Works cut at their poles: refusals and what must always hold."""

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import pace
from racecalc.errors import OutOfRangeError
from racecalc.units import FURLONG_M
from tests.pace.works import clocked_works

F = FURLONG_M
COLUMNS = [
    "from_m",
    "to_finish_m",
    "distance_m",
    "clock_s",
    "time_s",
    "error_s",
    "speed_m_s",
    "seconds_per_furlong",
    "seconds_per_200m",
    "pace_error_s",
    "whole_furlong",
    "gallop_out",
]


@given(work=clocked_works())
def test_sections_add_up_to_the_work(work: dict[str, Any]) -> None:
    cut = pace.sections(**work)
    assert list(cut.columns) == COLUMNS
    run = cut[~cut["gallop_out"]]
    assert math.isclose(run["distance_m"].sum(), work["distance_m"], rel_tol=1e-12)
    assert math.isclose(run["time_s"].sum(), work["time_s"], rel_tol=1e-12)
    assert np.allclose(cut["clock_s"], cut["time_s"].cumsum(), rtol=1e-12)
    assert (cut["from_m"].iloc[1:].to_numpy() == cut["to_finish_m"].iloc[:-1].to_numpy()).all()


@given(work=clocked_works(), seed=st.randoms())
def test_the_order_of_splits_does_not_matter(work: dict[str, Any], seed: Any) -> None:
    order = list(range(len(work["clock_s"])))
    seed.shuffle(order)
    shuffled = work | {name: work[name][order] for name in ("to_finish_m", "clock_s")}
    pd.testing.assert_frame_equal(pace.sections(**work), pace.sections(**shuffled))


@given(work=clocked_works())
def test_a_split_at_the_end_says_the_same_as_the_time(work: dict[str, Any]) -> None:
    at_end = work["to_finish_m"] == 0
    with_split = work | {
        "to_finish_m": np.append(work["to_finish_m"][~at_end], 0.0),
        "clock_s": np.append(work["clock_s"][~at_end], work["time_s"]),
        "time_s": None,
    }
    pd.testing.assert_frame_equal(pace.sections(**work), pace.sections(**with_split))


def test_a_missing_pole_makes_a_longer_section() -> None:
    cut = pace.sections(5 * F, 60.4, [4 * F, F], [12.4, 48.2])
    assert cut["distance_m"].round(3).tolist() == [201.168, 603.504, 201.168]
    assert cut["time_s"].round(1).tolist() == [12.4, 35.8, 12.2]
    assert cut["whole_furlong"].tolist() == [True, False, True]


def test_galloping_out_is_marked() -> None:
    cut = pace.sections(3 * F, 36.4, [-F, -2 * F], [49.4, 63.8])
    assert cut["gallop_out"].tolist() == [False, True, True]
    assert cut["to_finish_m"].tolist() == [0.0, -F, -2 * F]


def test_a_work_may_end_before_the_finish() -> None:
    cut = pace.sections(3 * F, 36.4, [2 * F, 0], [24.2, 49.6], from_pole_m=4 * F)
    assert cut["to_finish_m"].tolist() == [2 * F, F, 0.0]
    assert cut["gallop_out"].tolist() == [False, False, True]


def test_a_pole_that_is_nearer_than_the_distance_was_passed_on_the_way_round() -> None:
    assert pace.sections(5 * F, 61.0, [], [], from_pole_m=F)["from_m"].tolist() == [5 * F]


def test_metric_sections_are_not_furlongs() -> None:
    cut = pace.sections(600, 36.0, [400, 200], [12.0, 24.0])
    assert not cut["whole_furlong"].any()


def test_splits_of_no_work_are_passed_over() -> None:
    works = pd.DataFrame({"work": [], "distance_m": [], "time_s": []})
    splits = pd.DataFrame({"work": ["W9"], "to_finish_m": [F], "clock_s": [0.0]})
    assert pace.cut(works, splits).empty


def test_ground_whose_clock_is_missing_is_no_section() -> None:
    assert pace.sections(3 * F, None, [F], [24.4])["to_finish_m"].tolist() == [F]
    assert pace.sections(3 * F, None, [], []).empty
    assert list(pace.sections(3 * F, None, [], []).columns) == COLUMNS


def test_past_an_end_without_a_clock_nothing_is_made_up() -> None:
    cut = pace.sections(2 * F, None, [F, -F, -2 * F], [12.0, 37.0, 51.0])
    assert cut["to_finish_m"].tolist() == [F, -2 * F]


def test_a_clock_of_zero_at_the_start_is_passed_over() -> None:
    plain = pace.sections(2 * F, 24.4, [F], [12.2])
    pd.testing.assert_frame_equal(plain, pace.sections(2 * F, 24.4, [2 * F, F], [0.0, 12.2]))


@given(work=clocked_works(), one=st.floats(0.05, 0.5))
def test_a_section_errs_by_its_two_clocks_however_long_it_is(work: Any, one: float) -> None:
    cut = pace.sections(**work, one_s=one)
    assert np.allclose(cut["error_s"], math.sqrt(2) * one, rtol=1e-12)
    # The pace of two furlongs errs half as much, by the furlong, as that of one.
    assert np.allclose(cut["pace_error_s"] * cut["distance_m"] / F, cut["error_s"], rtol=1e-12)


def test_without_the_error_of_the_watch_no_section_claims_one() -> None:
    cut = pace.sections(2 * F, 24.4, [F], [12.2])
    assert cut[["error_s", "pace_error_s"]].isna().all(axis=None)


def test_ground_without_a_clock_has_no_error_either() -> None:
    works = pd.DataFrame({"work": ["W1"], "distance_m": [2 * F], "time_s": [np.nan]})
    splits = pd.DataFrame({"work": ["W1"], "to_finish_m": [F], "clock_s": [12.2]})
    assert pace.cut(works, splits, one_s=0.19)["error_s"].isna().tolist() == [False, True]


@given(work=clocked_works(every_pole=True), drop=st.data())
def test_fewer_poles_tell_of_the_same_ground_and_time(work: Any, drop: st.DataObject) -> None:
    kept = [
        i for i, pole in enumerate(work["to_finish_m"]) if pole == 0 or drop.draw(st.booleans())
    ]
    few = pace.sections(**work | {k: work[k][kept] for k in ("to_finish_m", "clock_s")})
    all_poles = pace.sections(**work)
    for name in ("distance_m", "time_s"):
        run, every = few[~few["gallop_out"]], all_poles[~all_poles["gallop_out"]]
        assert math.isclose(run[name].sum(), every[name].sum(), rel_tol=1e-12)
    # A clock that both have is the same clock.
    both = few.merge(all_poles, on="to_finish_m", suffixes=("", "_all"))
    assert len(both) == len(few)
    assert (both["clock_s"] == both["clock_s_all"]).all()


@given(work=clocked_works())
def test_the_system_of_units_changes_no_pace(work: Any) -> None:
    """The same clocks over 200 m pieces: the pace per 200 m there is the pace per furlong here."""
    places = ("distance_m", "to_finish_m")
    metric = pace.sections(**work | {name: work[name] / F * 200 for name in places})
    imperial = pace.sections(**work)
    assert np.allclose(metric["seconds_per_200m"], imperial["seconds_per_furlong"], rtol=1e-12)
    assert np.allclose(metric["time_s"], imperial["time_s"], rtol=1e-12)
    assert np.allclose(imperial["seconds_per_200m"] * F / 200, imperial["seconds_per_furlong"])


@pytest.mark.parametrize(
    ("to_finish_m", "clock_s", "fault"),
    [
        ([2 * F, F], [24.0, 23.0], "1/8 has a clock that is not later"),
        ([2 * F, F], [24.0, 24.0], "1/8 has a clock that is not later"),
        ([F], [36.4], "finish has a clock that is not later"),
        ([-F], [36.0], "past|later"),
        ([2 * F], [0.0], "1/4 has a clock that is not later"),
        ([2 * F, 2 * F], [12.0, 12.2], "1/4 is clocked twice"),
        ([3 * F], [1.0], "3/8 lies at or before the start"),
        ([4 * F], [1.0], "1/2 lies at or before the start"),
    ],
)
def test_clocks_that_cannot_be(to_finish_m: Any, clock_s: Any, fault: str) -> None:
    with pytest.raises(OutOfRangeError, match=fault):
        pace.sections(3 * F, 36.4, to_finish_m, clock_s)


def test_a_backward_clock_is_found_across_an_end_without_one() -> None:
    with pytest.raises(OutOfRangeError, match=r"\+1/8"):
        pace.sections(2 * F, None, [F, -F], [12.0, 11.0])


def test_cut_names_the_work() -> None:
    works = pd.DataFrame({"work": ["W1", "W2"], "distance_m": 2 * F, "time_s": [24.0, 25.0]})
    splits = pd.DataFrame({"work": ["W2"], "to_finish_m": [F], "clock_s": [26.0]})
    with pytest.raises(OutOfRangeError, match="work W2: pole finish"):
        pace.cut(works, splits)
    with pytest.raises(OutOfRangeError, match="'W1' stands twice"):
        pace.cut(pd.concat([works, works]), splits)


def test_cut_keeps_ground_without_a_clock_and_passes_over_other_works() -> None:
    works = pd.DataFrame({"work": ["W2", "W1"], "distance_m": [2 * F, 3 * F], "time_s": np.nan})
    splits = pd.DataFrame({"work": ["W1", "W9"], "to_finish_m": [F, F], "clock_s": [24.0, 1.0]})
    cut = pace.cut(works, splits)
    assert cut["work"].tolist() == ["W2", "W1", "W1"]
    assert cut["distance_m"].round(3).tolist() == [402.336, 402.336, 201.168]
    assert cut["time_s"].isna().tolist() == [True, False, True]


@pytest.mark.parametrize(
    ("arguments", "fault"),
    [
        ((0.0, 36.4, [], []), "distance of a work: 0 m found; give a finite value above zero"),
        ((-F, 36.4, [], []), "above zero"),
        ((math.inf, 36.4, [], []), "inf m found; give a finite value"),
        ((math.nan, 36.4, [], []), "its distance is missing; give its length"),
        ((3 * F, 0.0, [], []), "finish has a clock that is not later .* running times since"),
        ((3 * F, -1.0, [], []), "not later"),
        ((3 * F, math.inf, [], []), "finish is infinite, or its clock is; give"),
        ((3 * F, 36.4, [-math.inf], [50.0]), "at infinity is infinite"),
        ((3 * F, 36.4, [F], [math.inf]), "1/8 is infinite, or its clock is"),
        ((3 * F, 36.4, [F, 2 * F], [24.0]), "2 poles and 1 clocks found; give one clock for each"),
        ((3 * F, 36.4, [F], [-3.0]), "1/8 has a clock that is not later"),
    ],
)
def test_figures_that_no_work_has(arguments: Any, fault: str) -> None:
    with pytest.raises(OutOfRangeError, match=fault):
        pace.sections(*arguments)


@pytest.mark.parametrize("one_s", [0.0, -0.1, math.inf])
def test_an_error_of_the_watch_that_is_none(one_s: float) -> None:
    with pytest.raises(OutOfRangeError, match="give seconds above zero"):
        pace.sections(2 * F, 24.4, [], [], one_s=one_s)


def test_a_split_without_a_clock_is_a_pole_that_was_missed() -> None:
    missed = pace.sections(3 * F, 36.4, [2 * F, F], [np.nan, 24.2])
    pd.testing.assert_frame_equal(missed, pace.sections(3 * F, 36.4, [F], [24.2]))
