"""Places on the course: what must hold for any oval, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import track
from racecalc.errors import OutOfRangeError
from racecalc.units import FOOT_M, FURLONG_M, MILE_M

MILE = track.oval(MILE_M, 1320 * FOOT_M, 285 * FOOT_M, width=80 * FOOT_M)


@st.composite
def ovals(draw: st.DrawFn) -> track.Oval:
    lap_m = draw(st.floats(800, 3000))
    straight_m = lap_m * draw(st.floats(0.1, 0.4))
    to_turn_m = straight_m * draw(st.floats(0, 1))
    return track.oval(lap_m, straight_m, to_turn_m, hand=draw(st.sampled_from(["left", "right"])))


shares = st.floats(-3, 3)


@given(oval=ovals(), share=shares)
def test_half_a_lap_on_is_the_mirror_image_through_the_middle(oval, share):
    here = track.positions(oval, share * oval.lap_m).iloc[0]
    there = track.positions(oval, (share + 0.5) * oval.lap_m).iloc[0]
    assert (here["x_m"], here["y_m"]) == pytest.approx((-there["x_m"], -there["y_m"]), abs=1e-6)
    turned = (here["heading_deg"] - there["heading_deg"]) % 360
    assert turned == pytest.approx(180, abs=1e-6)


@given(oval=ovals(), share=shares)
def test_a_whole_lap_on_is_the_same_place(oval, share):
    here = track.positions(oval, share * oval.lap_m).iloc[0]
    there = track.positions(oval, (share + 1) * oval.lap_m).iloc[0]
    assert (here["x_m"], here["y_m"]) == pytest.approx((there["x_m"], there["y_m"]), abs=1e-6)


@given(oval=ovals(), share=shares)
def test_the_other_hand_is_the_mirror_image(oval, share):
    other = track.oval(
        oval.lap_m,
        oval.straight_m,
        oval.finish_to_turn_m,
        hand="right" if oval.hand == "left" else "left",
    )
    here, there = (track.positions(o, share * oval.lap_m).iloc[0] for o in (oval, other))
    assert (here["x_m"], here["y_m"]) == pytest.approx((-there["x_m"], there["y_m"]), abs=1e-9)
    assert here["part"] == there["part"]


@given(oval=ovals(), share=st.floats(0, 1, exclude_max=True), out_m=st.floats(-0.9, 20))
def test_back_from_a_position_to_its_place(oval, share, out_m):
    found = track.positions(oval, share * oval.lap_m, out_m)
    left, out = track.along(oval, found["x_m"], found["y_m"])
    gap = (left[0] - share * oval.lap_m) % oval.lap_m
    assert min(gap, oval.lap_m - gap) < 1e-6
    assert out[0] == pytest.approx(out_m, abs=1e-6)


@given(oval=ovals(), share=shares)
def test_a_step_along_the_line_goes_where_the_heading_says(oval, share):
    step_m = 0.01
    here, there = (track.positions(oval, share * oval.lap_m - way).iloc[0] for way in (0.0, step_m))
    moved = np.array([there["x_m"] - here["x_m"], there["y_m"] - here["y_m"]])
    heading = math.radians(here["heading_deg"])
    assert moved / step_m == pytest.approx([math.cos(heading), math.sin(heading)], abs=1e-3)


@given(oval=ovals(), share=shares, length=st.floats(0, 2))
def test_turned_angle_is_the_change_of_heading(oval, share, length):
    begin, end = share * oval.lap_m, (share - length) * oval.lap_m
    headings = track.positions(oval, [begin, end])["heading_deg"]
    sign = 1 if oval.hand == "left" else -1
    turned = math.degrees(float(track.bend_rad(oval, begin, end))) * sign
    assert math.cos(math.radians(headings[1] - headings[0] - turned)) == pytest.approx(1, abs=1e-9)
    assert float(track.bend_rad(oval, begin, begin - oval.lap_m)) == pytest.approx(2 * math.pi)


def test_parts_in_the_order_run():
    found = track.positions(MILE, [1609.0, 1400, 900, 500, 300, 0])["part"]
    assert found.tolist() == [
        "home straight", "first turn", "backstretch", "far turn", "home straight", "home straight",
    ]  # fmt: skip
    assert track.place(MILE, 0.0) == "home straight"


def test_a_place_at_a_corner_belongs_to_what_begins_there():
    corners = [m for _, m in track.turns(MILE, MILE_M + 10, 10.0)]
    assert [track.place(MILE, m) for m in corners] == [
        part for part, _ in track.turns(MILE, MILE_M + 10, 10.0)
    ]
    assert len(corners) == 4


def test_a_missing_place_stays_missing():
    found = track.positions(MILE, [float("nan"), 0.0])
    assert found.iloc[0].isna().all()
    assert found.iloc[1].notna().all()


def test_many_places_at_once_are_those_one_by_one():
    left = np.linspace(-500, 4000, 91)
    together = track.positions(MILE, left)
    alone = [track.positions(MILE, m).iloc[0]["x_m"] for m in left]
    assert together["x_m"].tolist() == alone


def test_where_the_turns_begin_must_be_known():
    unknown = track.oval(MILE_M, 1320 * FOOT_M)
    for ask in (
        lambda: track.positions(unknown, 0.0),
        lambda: track.along(unknown, 0.0, 0.0),
        lambda: track.extra_m(unknown, 1.0, 100.0, 0.0),
        lambda: track.turns(unknown, 100.0, 0.0),
        lambda: track.chute(unknown, 1300.0),
    ):
        with pytest.raises(OutOfRangeError, match="fill finish_to_turn"):
            ask()


def test_a_place_inside_the_rail_is_refused():
    with pytest.raises(OutOfRangeError, match="outside the rail"):
        track.positions(MILE, 0.0, -1.0)


def test_a_chute_prolongs_the_backstretch():
    found = track.chute(MILE, 6.5 * FURLONG_M)
    assert found.part == "backstretch"
    start = track.positions(MILE, found.start_m, start_in=found).iloc[0]
    assert start["part"] == "chute"
    assert start["y_m"] == pytest.approx(MILE.turn_radius_m)
    assert start["x_m"] == pytest.approx(MILE.straight_m / 2 + found.length_m)
    joins = track.positions(MILE, found.joins_m, start_in=found).iloc[0]
    assert (joins["x_m"], joins["part"]) == (pytest.approx(MILE.straight_m / 2), "backstretch")
    later = track.positions(MILE, 400.0, start_in=found).iloc[0]
    assert later["part"] == track.place(MILE, 400.0)


def test_a_chute_of_the_home_straight_is_left_for_a_lap_and_more():
    found = track.chute(MILE, 10 * FURLONG_M)
    assert found.part == "home straight"
    assert found.length_m == pytest.approx(10 * FURLONG_M - MILE_M - 1035 * FOOT_M)
    start = track.positions(MILE, found.start_m, start_in=found).iloc[0]
    assert start["y_m"] == pytest.approx(-MILE.turn_radius_m)
    assert start["x_m"] < -MILE.straight_m / 2


@pytest.mark.parametrize("start_m", [4 * FURLONG_M, 0.0, -5.0, FURLONG_M])
def test_a_chute_is_needed_in_a_turn_only(start_m):
    with pytest.raises(OutOfRangeError, match="no chute is needed"):
        track.oval(MILE_M, 1320 * FOOT_M, 285 * FOOT_M, chutes=(start_m,))


def test_a_track_narrower_than_the_offset_of_its_line_is_refused():
    with pytest.raises(OutOfRangeError, match="width of a track"):
        track.oval(MILE_M, 1320 * FOOT_M, width=0.5)
