"""Geometry and poles against printed recipes, rules and a geometry library."""

import math

import pytest
import shapely

from racecalc.track import RAIL_OFFSET_M, lap_at_m, oval, pole_colour, poles
from racecalc.units import FOOT_M, MILE_M, YARD_M
from tests.published.compare import assert_published, published_table

MILE = oval(MILE_M, 440 * YARD_M)


@pytest.mark.published("wac_260_20_013", "subsection (3): 3 feet from the inside rail")
def test_lap_is_measured_three_feet_out__washington() -> None:
    assert_published(RAIL_OFFSET_M / FOOT_M, "3", error=1e-12)


@pytest.mark.published("mile_track_1922", "straights 440 yards, fence radius 417 ft 2 in")
def test_fence_radius_of_the_mile__newspaper_1922() -> None:
    half_an_inch_ft = 0.5 / 12
    assert_published(MILE.rail_radius_m / FOOT_M, f"{417 + 2 / 12}", error=half_an_inch_ft)


@pytest.mark.published("breeding_trotter_1906", "page 54: 140 yd 2 in on the measuring line")
def test_turn_radius_of_the_mile__book_1906() -> None:
    half_an_inch_ft = 0.5 / 12
    assert_published(MILE.turn_radius_m / FOOT_M, f"{420 + 2 / 12}", error=half_an_inch_ft)


@pytest.mark.published("oklahoma_325_10_1_28", "colours of the stripes")
@pytest.mark.parametrize("row", published_table("poles_oklahoma.csv"))
def test_pole_colour__oklahoma(row: dict[str, str]) -> None:
    assert pole_colour(float(row["feet"]) * FOOT_M) == row["colour"]


@pytest.mark.published("practice_poles", "sixteenths of a mile")
def test_poles_of_a_mile__practice() -> None:
    found = [(pole.name, pole.colour) for pole in poles(MILE_M, MILE_M / 16)]
    table = published_table("poles_practice.csv")
    assert found[:8] == [(row["name"], row["colour"]) for row in table]
    colours = [colour for _, colour in found]
    assert [colours.count(name) for name in ("red", "green", "black")] == [4, 4, 8]


@pytest.mark.parametrize("out_ft", [-3, 0, 3, 20, 30])
def test_lap_outside_the_line__shapely(out_ft: float) -> None:
    straight, out = MILE.straight_m, out_ft * FOOT_M
    spine = shapely.LineString([(0, 0), (straight, 0)])
    ring = spine.buffer(MILE.turn_radius_m + out, quad_segs=4096).exterior
    assert math.isclose(lap_at_m(MILE, out), ring.length, rel_tol=2e-7)
