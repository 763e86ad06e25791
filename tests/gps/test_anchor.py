"""Positions on the earth in the frame of a track, held to a geodesic library of its own."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from racecalc.errors import OutOfRangeError
from racecalc.gps import Anchor, to_track
from racecalc.track import along, oval, positions
from tests.gps.ride import FOOT_M, degrees, mile, on_the_ground


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("latitude", [-89.0, -35.0, 0.0, 40.0, 70.0])
@pytest.mark.parametrize("bearing", [0.0, 90.0, 201.5, 360.0])
def test_places_on_the_track_come_back(hand, latitude, bearing):
    track, anchor = mile(hand), Anchor(latitude, -179.9999, bearing)
    left = np.linspace(0.0, track.lap_m, 40, endpoint=False)
    placed = degrees(anchor, *on_the_ground(track, anchor, left, 4.0))
    x, y = to_track(track, anchor, *placed)
    drawn = positions(track, left, 4.0)
    assert x == pytest.approx(drawn["x_m"].to_numpy(), abs=1e-6)
    assert y == pytest.approx(drawn["y_m"].to_numpy(), abs=1e-6)
    back, out = along(track, x, y)
    assert (back - left + 1) % track.lap_m == pytest.approx(np.ones(40), abs=1e-6)
    assert out == pytest.approx(np.full(40, 4.0), abs=1e-6)


def test_distances_across_the_track_are_those_on_the_earth():
    track, anchor = mile(), Anchor(52.0, 5.0, 33.0)
    north, east = np.array([52.004, 51.997]), np.array([5.004, 5.006])
    x, y = to_track(track, anchor, north, east)
    apart = Geodesic.WGS84.Inverse(north[0], east[0], north[1], east[1])["s12"]
    assert np.hypot(*np.diff([x, y])[:, 0]) == pytest.approx(apart, abs=1e-4)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_the_middle_of_the_finish_line_is_half_the_width_from_the_rail(hand):
    anchor = Anchor(45.0, 7.0, 10.0)
    for width, expected in ((80 * FOOT_M, 37 * FOOT_M), (None, 0.0)):
        left, out = along(mile(hand, width), *to_track(mile(hand, width), anchor, [45.0], [7.0]))
        assert min(left[0], mile().lap_m - left[0]) == pytest.approx(0.0, abs=1e-6)
        assert out[0] == pytest.approx(expected, abs=1e-6)


def test_the_bearing_is_the_way_the_horses_run():
    for hand in ("left", "right"):
        anchor = Anchor(45.0, 7.0, 90.0)
        left, _ = along(mile(hand), *to_track(mile(hand), anchor, [45.0], [6.999]))
        assert left[0] == pytest.approx(Geodesic.WGS84.Inverse(45, 6.999, 45, 7)["s12"], abs=0.01)


def test_missing_and_impossible_positions_are_nowhere():
    given = [np.nan, 91.0, 45.0, np.inf, 45.0], [7.0, 7.0, np.nan, 7.0, 7.001]
    x, y = to_track(mile(), Anchor(45.0, 7.0, 0.0), *given)
    assert list(np.isnan(x)) == list(np.isnan(y)) == [True, True, True, True, False]


@pytest.mark.published("geographiclib_example", "README, first example")
def test_wellington_to_salamanca__geographiclib():
    track, anchor = mile(width=None), Anchor(-41.32, 174.81, 0.0)
    x, y = to_track(track, anchor, [40.96], [-5.50])
    finish = positions(track, 0.0)
    far = np.hypot(x - finish["x_m"], y - finish["y_m"])
    assert far[0] == pytest.approx(19959679.267, abs=0.0005)


@pytest.mark.parametrize("wrong", [(91, 0, 0), (0, 181, 0), (0, 0, 361), (0, 0, float("nan"))])
def test_a_finish_that_is_nowhere_is_refused(wrong):
    with pytest.raises(OutOfRangeError, match="give degrees from"):
        Anchor(*wrong)


def test_a_track_without_turns_is_refused():
    with pytest.raises(OutOfRangeError, match="finish_to_turn"):
        to_track(oval(1609.344, 402.336), Anchor(0, 0, 0), [0.0], [0.0])
