"""Twenty-five worked checks of the trainer's arithmetic, from notation in to number out."""

import math
from collections.abc import Callable

import pint
import pytest

from racecalc import pace, track, units
from racecalc.notation import read_clock, read_distance, read_height, read_mass, read_speed
from racecalc.units import FOOT_M, FURLONG_M, INCH_M, MILE_M, YARD_M
from tests.published.compare import assert_published, published_table

MILE = track.oval(MILE_M, 1320 * FOOT_M)
STATED = track.oval(MILE_M, 1320 * FOOT_M, 85.5 * FOOT_M)
QUARTERS = ("25 1/5", "24", "23 4/5", "23 2/5", "23")


def quarters_s() -> float:
    return float(sum(read_clock(text) for text in QUARTERS))


def pole_ft(to_finish_ft: float, axis: str) -> float:
    return float(track.positions(STATED, to_finish_ft * FOOT_M)[axis].iloc[0]) / FOOT_M


def in_fifths(time_s: float) -> float:
    """What a sheet in fifths says of a sheet's time: the watch as `racecalc.words` writes it."""
    from racecalc.daybook import Barn
    from racecalc.digest import Number
    from racecalc.words import written

    return float(read_clock(written(Number("x", time_s, "watch", "test", 0), Barn())))


CHECKS: dict[str, Callable[[], float]] = {
    "1": lambda: float(read_distance("1 f")),
    "2": lambda: (pint.UnitRegistry().Quantity(1, "furlong").to("m").magnitude - FURLONG_M) * 1000,
    "3": lambda: float(units.miles(8 * FURLONG_M)),
    "4": lambda: float(units.seconds_per_furlong(float(read_speed("35 mph")))),
    "5a": lambda: float(units.miles_per_hour(float(read_speed("12 s/f")))),
    "5b": lambda: float(read_speed("12 s/f")),
    "6": lambda: float(read_distance("6f") / read_speed("12.2 s/f")),
    "7": lambda: float(read_clock("1:13 2/5")),
    "8a": lambda: float(read_clock("1:13.2", clock="fifths")),
    "8b": lambda: float(read_clock("1:13.2", clock="hundredths")),
    "9a": quarters_s,
    "9b": lambda: float(pace.seconds_per_furlong(10 * FURLONG_M, quarters_s())),
    "9c": lambda: float(units.miles_per_hour(pace.speed_m_s(10 * FURLONG_M, quarters_s()))),
    "10a": lambda: in_fifths(70.39),
    "10b": lambda: in_fifths(70.40),
    "10c": lambda: in_fifths(70.59),
    "11a": lambda: float(read_distance("1 mi 70 yd")) / YARD_M,
    "11b": lambda: float(read_distance("1 mi 70 yd")),
    "11c": lambda: float(units.furlongs(float(read_distance("1 mi 70 yd")))),
    "12a": lambda: float(units.furlongs(float(read_distance("1 1/16 mi")))),
    "12b": lambda: float(read_distance("1 1/16 mi")),
    "13": lambda: float(units.furlongs(float(read_distance("2400 m")))),
    "14a": lambda: float(read_height("16.2")) / INCH_M,
    "14b": lambda: float(read_height("16.2")) * 100,
    "15a": lambda: float(read_height("16.2 3/4")) / INCH_M,
    "15b": lambda: float(read_height("16.2 3/4")) * 100,
    "16": lambda: float(units.inches(float(read_height("148 cm")))),
    "17a": lambda: float(pace.lengths(14.25, 4)),
    "17b": lambda: float(pace.lengths(14.25, 5)),
    "18": lambda: MILE.turn_radius_m / FOOT_M,
    "19": lambda: track.lap_at_m(MILE, -MILE.rail_offset_m) / FOOT_M,
    "20": lambda: float(track.extra_m(STATED, 20 * FOOT_M, MILE_M, 0.0)) / FOOT_M,
    "21a": lambda: pole_ft(1320, "x_m"),
    "21b": lambda: pole_ft(1320, "y_m"),
    "22a": lambda: pole_ft(2640, "x_m"),
    "22b": lambda: pole_ft(2640, "y_m"),
    "23a": lambda: float(track.neutral_bank(float(read_speed("12 s/f")), 128.0675264)),
    "23b": lambda: math.degrees(math.atan(track.neutral_bank(16.764, 128.0675264))),
    "24": lambda: float(read_distance("6 f") + read_distance("180 ft")),
    "25a": lambda: float(read_mass("126 lb")),
    "25b": lambda: float(read_mass("1100 lb")),
}
ROWS = published_table("worked_checks.csv")


@pytest.mark.published("lengths_2018", "14.25 s at four and at five lengths a second")
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["number"])
def test_worked_check(row: dict[str, str]) -> None:
    error = float(row["error"]) if row["error"] else None
    assert_published(CHECKS[row["number"]](), row["printed"], error=error)


def test_every_check_has_its_row() -> None:
    assert [row["number"] for row in ROWS] == list(CHECKS)
    assert len({row["number"].rstrip("abc") for row in ROWS}) == 25
