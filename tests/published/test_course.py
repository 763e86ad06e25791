"""Places on the oval, wide running and banks against a geometry library and computed tables."""

import math

import numpy as np
import pytest
import scipy.constants
import shapely

from racecalc import track
from racecalc.units import FOOT_M, FURLONG_M, MILE_M
from tests.published.compare import assert_published, published_table

MILE_FT = 5280.0
STATED = track.oval(MILE_M, 1320 * FOOT_M, 85.5 * FOOT_M)


def shapely_lap(straight_m: float, radius_m: float, finish_x_m: float) -> shapely.LineString:
    """A lap run counter-clockwise from the finish, as a fine polyline."""
    half = straight_m / 2
    turn = np.linspace(-math.pi / 2, math.pi / 2, 20001)
    points = [(finish_x_m, -radius_m)]
    points += [(half + radius_m * math.cos(a), radius_m * math.sin(a)) for a in turn]
    points += [(-half - radius_m * math.cos(a), -radius_m * math.sin(a)) for a in turn]
    return shapely.LineString([*points, points[0]])


@pytest.mark.parametrize("row", published_table("poles_oval.csv"), ids=lambda row: row["name"])
def test_twelve_poles_of_the_stated_oval__shapely(row: dict[str, str]) -> None:
    to_finish_m = float(row["to_finish_ft"]) * FOOT_M
    found = track.positions(STATED, to_finish_m).iloc[0]
    assert_published(found["x_m"] / FOOT_M, row["x_ft"])
    assert_published(found["y_m"] / FOOT_M, row["y_ft"])
    assert found["part"] == row["part"]
    pole = {pole.name: pole for pole in track.poles(MILE_M, MILE_M / 16)}[row["name"]]
    assert pole.colour == row["colour"]
    assert math.isclose(pole.to_finish_m, to_finish_m, rel_tol=1e-12)


@pytest.mark.parametrize("lap_f", [5, 6, 7, 8, 8.5, 9, 12])
def test_places_all_around__shapely(lap_f: float) -> None:
    lap_m = lap_f * FURLONG_M
    oval = track.oval(lap_m, 0.27 * lap_m, 0.06 * lap_m)
    line = shapely_lap(oval.straight_m, oval.turn_radius_m, oval.straight_m / 2 - 0.06 * lap_m)
    to_finish = np.arange(0, lap_m, 37.0)
    found = track.positions(oval, to_finish)
    expected = [line.interpolate(lap_m - left) for left in to_finish]
    assert found["x_m"].to_numpy() == pytest.approx([p.x for p in expected], abs=2e-4)
    assert found["y_m"].to_numpy() == pytest.approx([p.y for p in expected], abs=2e-4)


def test_heading_is_the_direction_of_the_line__shapely() -> None:
    line = shapely_lap(STATED.straight_m, STATED.turn_radius_m, 574.5 * FOOT_M)
    for left in (100.0, 400.0, 700.0, 1000.0, 1300.0):
        run_m = MILE_M - left
        behind, ahead = line.interpolate(run_m - 0.5), line.interpolate(run_m + 0.5)
        heading = math.degrees(math.atan2(ahead.y - behind.y, ahead.x - behind.x)) % 360
        assert track.positions(STATED, left)["heading_deg"].iloc[0] == pytest.approx(
            heading, abs=0.01
        )


def test_offsets_are_distances_from_the_line__shapely() -> None:
    ring = shapely.LineString([(-STATED.straight_m / 2, 0), (STATED.straight_m / 2, 0)])
    rng = np.random.default_rng(1)
    x, y = rng.uniform(-330, 330, 200), rng.uniform(-129, 129, 200)
    _, out = track.along(STATED, x, y)
    inside = shapely.distance(shapely.points(x, y), ring)
    assert out == pytest.approx(inside - STATED.turn_radius_m, abs=1e-6)


@pytest.mark.parametrize("row", published_table("wide_running.csv"), ids=lambda row: row["out_ft"])
def test_extra_ground__shapely(row: dict[str, str]) -> None:
    out_m = float(row["out_ft"]) * FOOT_M
    lap = track.extra_m(STATED, out_m, MILE_M, 0.0) / FOOT_M
    assert_published(lap, row["extra_per_lap_ft"])
    far_turn = track.extra_m(STATED, out_m, 2640 * FOOT_M, 660 * FOOT_M) / FOOT_M
    assert_published(far_turn, row["extra_per_turn_ft"])
    straight, radius = STATED.straight_m, STATED.turn_radius_m + out_m
    measured = shapely_lap(straight, radius, 0.0).length - MILE_M
    assert lap * FOOT_M == pytest.approx(measured, abs=2e-4)


def test_time_of_three_feet_wide_around_one_turn_at_twelve_seconds_a_furlong() -> None:
    extra_m = track.extra_m(STATED, 3 * FOOT_M, 2640 * FOOT_M, 660 * FOOT_M)
    assert_published(extra_m / (FURLONG_M / 12), "0.171360", error=1e-6)


def test_a_furlong_of_the_turn_twenty_feet_out() -> None:
    furlong = FURLONG_M + track.extra_m(STATED, 20 * FOOT_M, 1980 * FOOT_M, 1320 * FOOT_M)
    assert_published(furlong / FOOT_M, "691.415927")


@pytest.mark.parametrize("row", published_table("neutral_bank.csv"))
def test_neutral_bank__physics(row: dict[str, str]) -> None:
    speed = FURLONG_M / float(row["seconds_per_furlong"])
    slope = track.neutral_bank(speed, float(row["radius_m"]))
    assert_published(math.degrees(math.atan(slope)), row["degrees"])


def test_standard_gravity__scipy() -> None:
    assert scipy.constants.g == track.STANDARD_GRAVITY_M_S2


@pytest.mark.published("mile_track_1922", "turns raised 1 to 1 1/8 inch for each foot")
@pytest.mark.parametrize(
    ("inches", "speed", "pace"), [(1.0, "10.2303", "19.664"), (1.125, "10.8509", "18.539")]
)
def test_speed_for_which_a_published_bank_is_neutral(inches: float, speed: str, pace: str) -> None:
    radius = 128.0675264
    assert track.neutral_bank(float(speed), radius) == pytest.approx(inches / 12, abs=2e-6)
    assert_published(FURLONG_M / float(speed), pace, error=6e-4)


@pytest.mark.parametrize(("lap_f", "radius"), [
    (5, "80.042"), (6, "96.051"), (7, "112.059"), (8.5, "136.072"),
    (9, "144.076"), (10, "160.084"), (12, "192.101"),
])  # fmt: skip
def test_radius_where_straights_are_a_quarter_of_the_lap__sympy(lap_f: float, radius: str) -> None:
    lap_m = lap_f * FURLONG_M
    assert_published(track.oval(lap_m, lap_m / 4).turn_radius_m, radius)


def test_run_up_before_six_furlongs() -> None:
    assert_published(6 * FURLONG_M + 180 * FOOT_M, "1261.872", error=1e-9)
    assert_published(track.oval(MILE_M, 1320 * FOOT_M).turn_radius_m / FOOT_M, "420.169049763")
    assert_published(MILE_FT - 2 * math.pi * 3, "5261.150444")
