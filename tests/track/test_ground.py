"""Works laid on a track: where they begin and end, and the poles on the way."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import track
from racecalc.errors import OutOfRangeError
from racecalc.units import FOOT_M, FURLONG_M, MILE_M, registry

SIXTEENTH_M = MILE_M / 16
MILE = track.oval(MILE_M, 1320 * FOOT_M, 285 * FOOT_M)


def names(work):
    return [passing.pole.name for passing in work.passings]


def test_six_furlongs_to_the_wire_begin_at_the_three_quarter_pole():
    work = track.run(MILE_M, FURLONG_M, 6 * FURLONG_M)
    assert (work.start_m, work.end_m) == (6 * FURLONG_M, 0.0)
    assert names(work) == ["5/8", "1/2", "3/8", "1/4", "1/8", "finish"]
    assert [passing.pole.colour for passing in work.passings] == [
        "green", "red", "green", "red", "green", None,
    ]  # fmt: skip
    assert [passing.run_m / FURLONG_M for passing in work.passings] == pytest.approx(range(1, 7))
    assert work.times_past_finish == 0


def test_a_work_may_end_at_a_pole():
    work = track.run(MILE_M, FURLONG_M, 3 * FURLONG_M, start=4 * FURLONG_M)
    assert names(work) == ["3/8", "1/4", "1/8"]
    assert work.end_m == pytest.approx(FURLONG_M)


def test_a_work_may_pass_the_finish_on_its_way():
    work = track.run(6 * FURLONG_M, FURLONG_M, 8 * FURLONG_M, start=2 * FURLONG_M)
    assert work.start_m == pytest.approx(8 * FURLONG_M)
    assert names(work) == ["7/8", "3/4", "5/8", "1/2", "3/8", "1/4", "1/8", "finish"]
    assert work.times_past_finish == 1
    # Three quarters of a mile from home is this track's finish, which has no coloured pole.
    assert work.passings[1].pole.colour is None


@pytest.mark.parametrize(
    ("distance_f", "start_f", "times"), [(6, 6, 0), (8, 8, 0), (9, 9, 1), (16, 16, 1), (17, 17, 2)]
)
def test_how_often_the_finish_is_passed(distance_f, start_f, times):
    work = track.run(MILE_M, FURLONG_M, distance_f * FURLONG_M, start=start_f * FURLONG_M)
    assert work.times_past_finish == times


def test_the_end_between_two_poles_is_named_so():
    work = track.run(MILE_M, FURLONG_M, 3.5 * FURLONG_M, start=4 * FURLONG_M)
    assert names(work) == ["3/8", "1/4", "1/8", "end"]


def test_metric_poles():
    work = track.run(1600.0, 200.0, 1200.0)
    assert names(work) == ["1000 m", "800 m", "600 m", "400 m", "200 m", "finish"]
    assert {passing.pole.colour for passing in work.passings} == {None}


def test_on_a_lap_that_is_no_multiple_of_the_spacing_poles_are_counted_from_the_finish():
    work = track.run(8.5 * FURLONG_M, FURLONG_M, 9 * FURLONG_M)
    assert names(work)[:2] == ["1 1/16", "1 mi"]


@given(lap=st.integers(5, 12), distance=st.integers(1, 20), start=st.integers(1, 12))
def test_passings_run_on_to_the_end(lap, distance, start):
    start = min(start, lap)
    work = track.run(lap * FURLONG_M, FURLONG_M, distance * FURLONG_M, start=start * FURLONG_M)
    runs = [passing.run_m for passing in work.passings]
    assert runs == sorted(set(runs))
    assert runs[-1] == pytest.approx(distance * FURLONG_M)
    assert len(runs) == distance
    assert work.end_m + 1e-6 >= 0
    for passing in work.passings:
        place = work.start_m - passing.run_m
        assert passing.pole.to_finish_m == pytest.approx(place, abs=1e-5)


@given(a=st.integers(0, 16), b=st.integers(0, 16))
def test_between_poles_there_and_back_is_a_lap(a, b):
    there = track.between_m(MILE_M, a * SIXTEENTH_M, b * SIXTEENTH_M)
    back = track.between_m(MILE_M, b * SIXTEENTH_M, a * SIXTEENTH_M)
    assert 0 < there <= MILE_M
    same = a % 16 == b % 16
    assert there + back == pytest.approx(2 * MILE_M if same else MILE_M)


def test_units_of_input_do_not_matter():
    units = registry()
    work = track.run(1 * units.mile, 1 * units.furlong, 6 * units.furlong)
    assert names(work) == names(track.run(MILE_M, FURLONG_M, 6 * FURLONG_M))


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ({"distance": 0.0}, "above zero"),
        ({"distance": -5.0}, "above zero"),
        ({"distance": float("nan")}, "distance of a work"),
        ({"distance": 600.0, "start": 700.0}, "no pole at.*nearest are 1/2 and 3/8"),
        ({"distance": 600.0, "start": SIXTEENTH_M}, "no pole at 1/16.*nearest are 1/8 and finish"),
    ],
)
def test_what_no_track_allows_is_refused(arguments, says):
    with pytest.raises(OutOfRangeError, match=says):
        track.run(MILE_M, FURLONG_M, **arguments)


def test_only_poles_the_track_has_are_found():
    assert track.pole_at(3 * SIXTEENTH_M, MILE_M, SIXTEENTH_M).colour == "black"
    assert track.pole_at(MILE_M, MILE_M, SIXTEENTH_M).name == "1 mi"
    assert track.pole_at(-FURLONG_M, MILE_M, FURLONG_M) == track.Pole(-FURLONG_M, "+1/8", "green")
    with pytest.raises(OutOfRangeError, match="no pole at 3/16"):
        track.pole_at(3 * SIXTEENTH_M, MILE_M, FURLONG_M)


def test_turns_on_the_way_of_six_furlongs():
    found = track.turns(MILE, 6 * FURLONG_M, 0.0)
    assert [part for part, _ in found] == ["backstretch", "far turn", "home straight"]
    assert found[-1][1] / FOOT_M == pytest.approx(1035)


def test_wide_on_the_straight_costs_nothing():
    assert track.extra_m(MILE, 10.0, 300.0, 0.0) == pytest.approx(0.0)
    with pytest.raises(OutOfRangeError, match="farther from the finish"):
        track.extra_m(MILE, 10.0, 0.0, 300.0)


def test_a_bank_wants_a_turn_and_a_speed():
    assert track.neutral_bank(0.0, 100.0) == 0.0
    assert math.isclose(track.neutral_bank(20.0, 100.0), 4 * track.neutral_bank(10.0, 100.0))
    for speed, radius in ((10.0, 0.0), (-1.0, 100.0)):
        with pytest.raises(OutOfRangeError, match="radius above zero"):
            track.neutral_bank(speed, radius)
