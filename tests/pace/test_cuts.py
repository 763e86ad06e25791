"""Speed, pace and sections: refusals and what must always hold."""

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import pace
from racecalc.errors import OutOfRangeError
from racecalc.sources import SOURCES
from racecalc.units import FURLONG_M

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


@st.composite
def clocked_works(draw: st.DrawFn) -> dict[str, Any]:
    """A work of whole furlongs with a clock at some of its poles, and at some past the finish."""
    furlongs = draw(st.integers(1, 10))
    past = draw(st.integers(0, 3))
    poles = list(range(furlongs - 1, -past - 1, -1))
    kept = [pole for pole in poles if draw(st.booleans())]
    steps = draw(st.lists(st.integers(50, 90), min_size=len(poles), max_size=len(poles)))
    clock = dict(zip(poles, np.cumsum(steps) / 5, strict=True))
    return {
        "distance_m": furlongs * F,
        "time_s": float(clock[0]),
        "to_finish_m": np.array([pole * F for pole in kept]),
        "clock_s": np.array([clock[pole] for pole in kept]),
    }


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


@given(distance=st.floats(100, 5000), time=st.floats(5, 500))
def test_speed_and_pace_are_one_thing(distance: float, time: float) -> None:
    speed, per_furlong = pace.speed_m_s(distance, time), pace.seconds_per_furlong(distance, time)
    assert math.isclose(float(speed) * float(per_furlong), F, rel_tol=1e-12)


def test_speeds_of_a_column() -> None:
    found = pace.speed_m_s(np.array([F, 2 * F]), np.array([12.0, np.nan]))
    assert found[0] == pytest.approx(16.764)
    assert np.isnan(found[1])


@pytest.mark.parametrize("reckon", [pace.speed_m_s, pace.seconds_per_furlong])
@pytest.mark.parametrize(("distance", "time"), [(0, 12), (-1, 12), (F, 0), (F, -3)])
def test_nothing_takes_no_time(reckon: Any, distance: float, time: float) -> None:
    with pytest.raises(OutOfRangeError, match="above zero"):
        reckon(distance, time)


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
