"""The oval and its poles: refusals and what must always hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.errors import OutOfRangeError
from racecalc.track import Oval, lap_at_m, oval, pole_colour, poles
from racecalc.units import FOOT_M, FURLONG_M, MILE_M, registry

laps = st.floats(800, 4000)
shares = st.floats(0.05, 0.45)


@given(lap_m=laps, share=shares)
def test_straights_and_turns_make_the_lap(lap_m: float, share: float) -> None:
    found = oval(lap_m, share * lap_m)
    around = 2 * found.straight_m + 2 * math.pi * found.turn_radius_m
    assert math.isclose(around, lap_m, rel_tol=1e-12)
    assert math.isclose(found.turn_m, math.pi * found.turn_radius_m, rel_tol=1e-9)


@given(lap_m=laps, share=shares)
def test_a_mirrored_oval_has_the_same_sizes(lap_m: float, share: float) -> None:
    left, right = (oval(lap_m, share * lap_m, hand=hand) for hand in ("left", "right"))
    assert left.turn_radius_m == right.turn_radius_m
    assert left.rail_radius_m == right.rail_radius_m


def test_the_unit_of_input_does_not_matter() -> None:
    units = registry()
    in_feet = oval(5280 * units.foot, 1320 * units.foot, 285 * units.foot, 3 * units.foot)
    in_metres = oval(MILE_M, 1320 * FOOT_M, 285 * FOOT_M, 3 * FOOT_M)
    assert math.isclose(in_feet.turn_radius_m, in_metres.turn_radius_m, rel_tol=1e-12)
    assert poles(1 * units.mile, 1 * units.furlong) == poles(MILE_M, FURLONG_M)


def test_run_in_is_what_the_first_part_of_the_straight_leaves() -> None:
    assert oval(1600, 400, 90).run_in_m == 310
    assert oval(1600, 400).run_in_m is None
    assert oval(1600, 400, float("nan")).finish_to_turn_m is None


def test_the_rail_is_shorter_than_the_measuring_line() -> None:
    mile = oval(MILE_M, MILE_M / 4)
    assert math.isclose(lap_at_m(mile, -mile.rail_offset_m) / FOOT_M, 5261.150444, abs_tol=1e-6)
    with pytest.raises(OutOfRangeError, match="rail"):
        lap_at_m(mile, -1.0)


@pytest.mark.parametrize(
    ("sizes", "names"),
    [
        ({"lap": 1600, "straight": 800}, "no room for the turns"),
        ({"lap": 1600, "straight": 0}, "straight of a track"),
        ({"lap": -1600, "straight": 400}, "lap of a track"),
        ({"lap": None, "straight": 400}, "lap"),
        ({"lap": float("nan"), "straight": 400}, "lap"),
        ({"lap": 1600, "straight": 400, "finish_to_turn": 401}, "finish stands on the straight"),
        ({"lap": 1600, "straight": 400, "finish_to_turn": -1}, "finish stands on the straight"),
        ({"lap": 1600, "straight": 400, "rail_offset": 200}, "rail offset"),
        ({"lap": 1600, "straight": 400, "hand": "both"}, "left or right"),
    ],
)
def test_wrong_geometry_is_refused(sizes: dict[str, object], names: str) -> None:
    with pytest.raises(OutOfRangeError, match=names):
        oval(**sizes)  # type: ignore[arg-type]


def test_a_wrong_dimension_is_refused_by_name() -> None:
    with pytest.raises(OutOfRangeError, match="straight"):
        oval(1600, 400 * registry().kilogram)


def test_no_wrong_oval_can_be_built_directly() -> None:
    with pytest.raises(OutOfRangeError):
        Oval(1600, 900)


@given(eighths=st.integers(4, 16), spacing=st.sampled_from([100.584, 201.168]))
def test_poles_stand_evenly_and_never_at_the_finish(eighths: int, spacing: float) -> None:
    found = poles(eighths * FURLONG_M, spacing)
    assert len(found) == round(eighths * FURLONG_M / spacing)
    assert [pole.to_finish_m for pole in found] == sorted({pole.to_finish_m for pole in found})
    assert found[0].to_finish_m == spacing
    assert all(pole.colour in ("red", "green", "black") for pole in found)


def test_metric_poles_have_no_colour() -> None:
    found = poles(1600, 200)
    assert [pole.name for pole in found[:2]] == ["200 m", "400 m"]
    assert {pole.colour for pole in found} == {None}


@pytest.mark.parametrize("spacing", [0, -200, 1700])
def test_a_wrong_spacing_is_refused(spacing: float) -> None:
    with pytest.raises(OutOfRangeError, match="poles every"):
        poles(1600, spacing)


@given(sixteenths=st.integers(1, 16))
def test_a_pole_keeps_its_colour_when_it_is_passed_again(sixteenths: int) -> None:
    place_m = sixteenths * MILE_M / 16
    colour = pole_colour(place_m, MILE_M)
    assert colour is not None
    assert pole_colour(place_m - MILE_M, MILE_M) == (colour if sixteenths < 16 else None)
    if sixteenths < 16:
        assert pole_colour(place_m + MILE_M, MILE_M) == colour


def test_places_without_a_coloured_pole() -> None:
    assert pole_colour(0.0) is None
    assert pole_colour(-FURLONG_M) is None
    assert pole_colour(150.0) is None
    # On a lap of five furlongs, three quarters of a mile from home is the eighth pole once more.
    assert pole_colour(6 * FURLONG_M, 5 * FURLONG_M) == "green"
