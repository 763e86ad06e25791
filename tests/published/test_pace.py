"""Speeds and sections against printed times."""

from fractions import Fraction

import numpy as np
import pytest

from racecalc import pace
from racecalc.notation import read_clock, write_clock
from racecalc.units import FURLONG_M, MILE_M, kilometres_per_hour, miles_per_hour
from tests.published.compare import assert_published, published_table


@pytest.mark.published("sleuth3_ex0920", "Time and Speed over 1 1/4 miles")
@pytest.mark.parametrize("row", published_table("winning_speeds.csv"))
def test_speed__winning_times(row: dict[str, str]) -> None:
    speed = pace.speed_m_s(1.25 * MILE_M, float(row["time_s"]))
    assert_published(float(miles_per_hour(speed)), row["miles_per_hour"])
    # The same speed through the seconds of a furlong, of which 450 to the hour make a mile an hour.
    per_furlong = float(pace.seconds_per_furlong(1.25 * MILE_M, float(row["time_s"])))
    assert_published(450 / per_furlong, row["miles_per_hour"])


@pytest.mark.published("crawford_2021", "three-quarter pace")
@pytest.mark.parametrize("row", published_table("queensland_paces.csv"))
def test_speed__queensland_paces(row: dict[str, str]) -> None:
    speed = pace.speed_m_s(float(row["metres"]), float(row["seconds"]))
    assert_published(float(kilometres_per_hour(speed)), row["kilometres_per_hour"])
    assert_published(float(speed) * 60, row["metres_per_minute"])
    per_200m = pace.seconds_per_200m(10 * float(row["metres"]), 10 * float(row["seconds"]))
    assert_published(float(per_200m), row["seconds"])


@pytest.mark.published("derby_quarters_2008", "quarters, running sum, 1:59 2/5")
def test_sections__quarters_of_a_mile_and_a_quarter() -> None:
    rows = published_table("derby_splits.csv")
    places = np.array([float(row["to_finish_quarters"]) for row in rows]) * MILE_M / 4
    clocks = np.array([float(row["running_s"]) for row in rows])
    cut = pace.sections(1.25 * MILE_M, None, places, clocks)
    for row, time_s in zip(rows, cut["time_s"], strict=True):
        assert_published(time_s, row["quarter_s"])
    assert write_clock(float(cut["time_s"].sum()), "fifths") == "1:59 2/5"
    assert_published(float(pace.seconds_per_furlong(10 * FURLONG_M, 119.4)), "11.94")


@pytest.mark.published("derby_quarters_2008", "running sum of the quarters, and 1:59 2/5")
def test_fractions__quarters_of_a_mile_and_a_quarter() -> None:
    rows = published_table("derby_splits.csv")
    places = np.array([float(row["to_finish_quarters"]) for row in rows]) * MILE_M / 4
    clocks = np.array([float(row["running_s"]) for row in rows])
    found = pace.fractions(1.25 * MILE_M, None, places, clocks)
    for row, clock_s in zip(rows, found["clock_s"], strict=True):
        assert_published(clock_s, row["running_s"])
    assert found["written"].tolist() == [":25 1/5", ":49 1/5", "1:13", "1:36 2/5", "1:59 2/5"]
    one_s = pace.clock_error_s("fifths")
    cut = pace.sections(1.25 * MILE_M, None, places, clocks, one_s=one_s)
    assert pace.evenness(cut, one_s).verdict == "uneven"
    assert pace.finish_against_start(cut, one_s).verdict == "quickened"
    # Furlong by furlong its ten furlongs take what the five quarters took.
    by_furlong = pace.furlongs(1.25 * MILE_M, None, places, clocks)
    assert len(by_furlong) == 10
    assert by_furlong["interpolated"].all()
    assert_published(by_furlong["time_s"].sum(), "119.4")


@pytest.mark.published("chicago_tribune_1989", "1:10.39 is printed 1:10 1/5")
def test_clock_error__fifths_round_down() -> None:
    losses = [
        float(row["hundredths_s"]) - float(row["fifths_s"])
        for row in published_table("hand_times.csv")
    ]
    assert_published(max(losses), f"{pace.CLOCK_ERROR_S['fifths']}")


@pytest.mark.published("chicago_tribune_1989", "rounded down, error up to 0.19 s")
def test_clock_error__no_hundredth_loses_more() -> None:
    """In fractions, over every hundredth of a second: 70.59 is 1:10 2/5, as 70.40 is."""
    times = [Fraction(hundredths, 100) for hundredths in range(7000, 7100)]
    printed = [write_clock(Fraction(time * 5 // 1, 5)) for time in times]
    assert [printed[at] for at in (39, 40, 59)] == ["1:10 1/5", "1:10 2/5", "1:10 2/5"]
    losses = [time - read_clock(text) for time, text in zip(times, printed, strict=True)]
    assert_published(float(max(losses)), f"{pace.CLOCK_ERROR_S['fifths']}")


@pytest.mark.published("mann_2015", "abstract: 0.22 +/- 0.07 s between hand and electronic time")
def test_clock_error__hand() -> None:
    assert_published(pace.CLOCK_ERROR_S["hundredths"] / 1.96, "0.07")
