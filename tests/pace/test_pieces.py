"""A work furlong by furlong or by 200 m, where poles were missed, and its fractions."""

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import pace
from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import read_clock
from racecalc.units import FURLONG_M, YARD_M
from tests.pace.works import clocked_works

F = FURLONG_M
ERROR = 0.19


def told(table: pd.DataFrame, *names: str) -> Any:
    return [tuple(row) for row in table[list(names)].round(3).itertuples(index=False)]


@given(work=clocked_works(every_pole=True))
def test_where_every_pole_was_clocked_furlongs_are_the_sections(work: dict[str, Any]) -> None:
    cut, found = pace.sections(**work, one_s=ERROR), pace.furlongs(**work, one_s=ERROR)
    assert found["whole"].all()
    assert not found[["interpolated", "clock_interpolated"]].any(axis=None)
    shared = [name for name in cut.columns if name in found.columns]
    assert {"error_s", "pace_error_s", "gallop_out"} < set(shared)
    pd.testing.assert_frame_equal(found[shared], cut[shared], rtol=1e-12)


@given(work=clocked_works())
def test_furlongs_add_up_and_keep_every_clock(work: dict[str, Any]) -> None:
    cut, found = pace.sections(**work), pace.furlongs(**work, one_s=ERROR)
    assert found["whole"].all()
    run = found[~found["gallop_out"]]
    assert math.isclose(run["distance_m"].sum(), work["distance_m"], rel_tol=1e-12)
    assert math.isclose(run["time_s"].sum(), work["time_s"], rel_tol=1e-9)
    assert np.allclose(found["clock_s"], found["time_s"].cumsum(), rtol=1e-9)
    clocked = found[~found["clock_interpolated"]]
    assert clocked["to_finish_m"].tolist() == cut["to_finish_m"].tolist()
    assert clocked["clock_s"].tolist() == cut["clock_s"].tolist()
    # An interpolated furlong claims no error; a clocked one has that of its two clocks.
    assert (found["error_s"].isna() == found["interpolated"]).all()


@given(work=clocked_works(), seed=st.randoms())
def test_the_order_of_splits_does_not_matter(work: dict[str, Any], seed: Any) -> None:
    order = list(range(len(work["clock_s"])))
    seed.shuffle(order)
    shuffled = work | {name: work[name][order] for name in ("to_finish_m", "clock_s")}
    pd.testing.assert_frame_equal(pace.furlongs(**work), pace.furlongs(**shuffled))


@given(work=clocked_works())
def test_the_system_of_units_changes_no_time(work: dict[str, Any]) -> None:
    metric = work | {name: work[name] / F * 200 for name in ("distance_m", "to_finish_m")}
    found, twin = pace.furlongs(**work), pace.furlongs(**metric)
    assert np.allclose(found["time_s"], twin["time_s"], rtol=1e-9)
    assert np.allclose(found["seconds_per_furlong"], twin["seconds_per_200m"], rtol=1e-9)
    assert (found["interpolated"] == twin["interpolated"]).all()


def test_missed_poles_are_set_at_even_pace_and_marked() -> None:
    found = pace.furlongs(5 * F, 61.0, [4 * F, F], [12.4, 48.4], one_s=ERROR)
    assert found["time_s"].round(6).tolist() == [12.4, 12.0, 12.0, 12.0, 12.6]
    assert found["clock_interpolated"].tolist() == [False, True, True, False, False]
    # The third furlong before the eighth pole ends at a clock and begins at none.
    assert found["interpolated"].tolist() == [False, True, True, True, False]


def test_a_clocked_sixteenth_serves_the_poles_beside_it() -> None:
    found = pace.furlongs(3 * F, 37.0, [1.5 * F], [18.0])
    assert found["clock_s"].round(6).tolist() == [12.0, round(18 + 19 / 3, 6), 37.0]
    assert found["clock_interpolated"].tolist() == [True, True, False]


def test_the_short_piece_comes_first() -> None:
    found = pace.furlongs(3.5 * F, 43.0, [], [])
    assert told(found, "to_finish_m", "whole") == [
        (603.504, False), (402.336, True), (201.168, True), (0, True),
    ]  # fmt: skip
    assert found["time_s"].iloc[0] == pytest.approx(43 / 7)


def test_a_metric_work_is_told_in_200_m() -> None:
    found = pace.furlongs(1300.0, 82.0, [1000.0, 600.0], [19.0, 44.0])
    assert found["distance_m"].tolist() == [100.0] + [200.0] * 6
    assert found["to_finish_m"].tolist() == [1200.0, 1000.0, 800.0, 600.0, 400.0, 200.0, 0.0]
    assert found["whole"].tolist() == [False] + [True] * 6
    assert found["seconds_per_200m"].iloc[2] == pytest.approx(12.5)


def test_metric_and_imperial_pieces_never_stand_in_one_table() -> None:
    for length, piece in ((6 * F, F), (1200.0, 200.0)):
        found = pace.furlongs(length, 73.0, [], [])
        assert np.allclose(found["distance_m"], piece, rtol=1e-12)


def test_a_track_with_other_poles_says_so() -> None:
    found = pace.furlongs(3 * F, 37.0, [400.0], [12.5], spacing_m=200.0)
    assert found["to_finish_m"].tolist() == [600.0, 400.0, 200.0, 0.0]
    assert found["whole"].tolist() == [False, True, True, True]
    assert found["clock_interpolated"].tolist() == [True, False, True, False]


def test_a_work_that_ends_between_its_poles_ends_with_a_short_piece() -> None:
    found = pace.furlongs(2.5 * F, 31.0, [], [], from_pole_m=4 * F)
    assert told(found, "from_m", "to_finish_m", "whole") == [
        (804.672, 603.504, True), (603.504, 402.336, True), (402.336, 301.752, False),
    ]  # fmt: skip


def test_galloping_out_by_furlong() -> None:
    found = pace.furlongs(2 * F, 24.4, [F, -2 * F, -2.5 * F], [12.2, 52.4, 61.0])
    assert found["gallop_out"].tolist() == [False, False, True, True, True]
    assert found["time_s"].round(6).tolist() == [12.2, 12.2, 14.0, 14.0, 8.6]
    assert found["interpolated"].tolist() == [False, False, True, True, False]
    assert found["whole"].tolist() == [True, True, True, True, False]


def test_nothing_is_interpolated_across_an_end_without_a_clock() -> None:
    found = pace.furlongs(3 * F, None, [2 * F, -F, -3 * F], [12.0, 52.0, 80.0], one_s=ERROR)
    known = found["time_s"].notna()
    assert found["to_finish_m"][known].round(3).tolist() == [402.336, -402.336, -603.504]
    assert found["time_s"][known].round(6).tolist() == [12.0, 14.0, 14.0]
    assert not found.loc[~known, ["interpolated", "clock_interpolated"]].iloc[:2].any(axis=None)
    assert found.loc[~known, "error_s"].isna().all()


def test_a_work_that_was_clocked_nowhere_has_furlongs_without_times() -> None:
    found = pace.furlongs(2 * F, None, [], [])
    assert found["distance_m"].round(3).tolist() == [201.168, 201.168]
    assert found["time_s"].isna().all()
    assert not found[["interpolated", "clock_interpolated"]].any(axis=None)


@pytest.mark.parametrize("spacing", [0.0, -200.0, math.nan, math.inf])
def test_a_spacing_that_is_none(spacing: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"spacing: .* give a finite value above"):
        pace.furlongs(2 * F, 24.0, [], [], spacing_m=spacing)


def test_a_backward_clock_is_refused_here_too() -> None:
    for tell in (pace.furlongs, pace.fractions):
        with pytest.raises(OutOfRangeError, match="give running times since the work began"):
            tell(3 * F, 36.4, [2 * F, F], [24.0, 23.0])


@pytest.mark.parametrize("length", [100, 200, 450, 600, 1000, 1200, 1400, 1650, 2400, 3200])
def test_lengths_in_round_metres_are_metric(length: int) -> None:
    assert pace.spacing_of(float(length)) == 200.0


def test_no_length_in_yards_is_metric() -> None:
    """Up to two miles; every furlong, half furlong and mile with yards is among them."""
    assert {pace.spacing_of(yards * YARD_M) for yards in range(1, 3521)} == {F}


@pytest.mark.parametrize("length", [0.0, -5.0, math.nan, math.inf])
def test_a_length_that_is_none(length: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"distance: .* give a finite value above"):
        pace.spacing_of(length)


def test_fractions_are_running_times_and_splits_are_not() -> None:
    work = (6 * F, 73.0, [5 * F, 4 * F, 3 * F, 2 * F, F], [12.6, 24.4, 36.6, 48.8, 60.8])
    found = pace.fractions(*work)
    assert ", ".join(found["written"]) == ":24 2/5, :48 4/5, 1:13"
    assert told(found, "run_m", "to_finish_m") == [
        (402.336, 804.672), (804.672, 402.336), (1207.008, 0),
    ]  # fmt: skip
    splits = pace.sections(*work)["time_s"]
    assert splits.iloc[:2].sum() == pytest.approx(found["clock_s"].iloc[0])


def test_a_missed_quarter_is_a_missing_fraction() -> None:
    found = pace.fractions(6 * F, 73.0, [5 * F, 2 * F], [12.6, 48.8])
    assert told(found, "run_m", "written") == [(804.672, ":48 4/5"), (1207.008, "1:13")]


def test_the_end_is_a_fraction_only_where_it_was_clocked() -> None:
    assert pace.fractions(3 * F, None, [F, -F], [24.4, 51.0])["written"].tolist() == [":24 2/5"]
    assert pace.fractions(5 * F, 61.0, [], [])["written"].tolist() == ["1:01"]
    assert pace.fractions(5 * F, None, [], []).empty


def test_galloping_out_is_no_fraction() -> None:
    assert len(pace.fractions(2 * F, 24.4, [-2 * F], [54.0])) == 1


def test_fractions_of_a_metric_work_and_in_hundredths() -> None:
    clocks = ([1000.0, 800.0, 400.0], [12.55, 25.11, 50.0])
    found = pace.fractions(1200.0, 75.3, *clocks, clock="hundredths")
    assert told(found, "run_m", "written") == [(400, ":25.11"), (800, ":50.00"), (1200, "1:15.30")]


def test_fractions_need_a_clock_that_is_one() -> None:
    with pytest.raises(NotationError, match="fifths or hundredths"):
        pace.fractions(2 * F, 24.4, [], [], clock="sundial")  # type: ignore[arg-type]


@given(work=clocked_works())
def test_fractions_read_back_and_are_clocks_that_were_taken(work: dict[str, Any]) -> None:
    found = pace.fractions(**work)
    assert [float(read_clock(text)) for text in found["written"]] == found["clock_s"].tolist()
    assert set(found["clock_s"]) <= {*work["clock_s"], work["time_s"]}
    assert found["clock_s"].is_monotonic_increasing
