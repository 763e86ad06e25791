"""Heart rate and lactate on speed, against what is in print."""

import math

import numpy as np
import pytest

from racecalc import fitness
from racecalc.words import REPEATED_LACTATES, STEADY_REMINDER
from tests.published.compare import assert_published, published_table

SAND = (0.08, 0.33)
GRASS = (-0.87, 28.17, -211.41)
RANGE = (12.8, 16.6)


def _group() -> tuple[list[float], list[float]]:
    rows = published_table("gallop_heart_rate.csv")
    speeds = [float(row["speed_km_h"]) / 3.6 for row in rows]
    return speeds, [float(row["heart_rate_bpm"]) for row in rows]


@pytest.mark.published("gallop_heart_rate_2019", "V140, V180, V200, VHRmax of the group")
def test_group_line_of_heart_rate() -> None:
    """The four means lie on one line to 0.2 beats: no plateau is found in them."""
    found = fitness.heart_line(*_group())
    assert found is not None
    assert found.plateau_bpm is None
    assert_published(found.line.intercept, "116.533")
    assert_published(found.line.slope, "6.10335")
    for row in published_table("gallop_heart_rate.csv"):
        fitted = found.line.at(float(row["speed_km_h"]) / 3.6)
        assert_published(float(fitted), row["fitted_bpm"])
    speed = fitness.speed_at_heart_rate(found).speed_m_s
    assert speed is not None
    assert_published(speed, "13.676")
    peak = fitness.speed_at_peak(found, 214).speed_m_s
    assert peak is not None
    assert_published(peak, "15.969")


@pytest.mark.published("lindner_2010", "heart rate linear, lactate exponential, four steps or more")
def test_four_steps_are_needed_for_an_interval__lindner() -> None:
    speeds = np.array([8.0, 10.0, 12.0, 13.5, 15.0])
    wobble = np.exp([0.02, -0.02, 0.02, -0.02, 0.02])
    lactates = SAND[0] * np.exp(SAND[1] * speeds) * wobble
    four = fitness.speed_at_lactate(fitness.lactate_curve(speeds[:4], lactates[:4]))
    assert four.low_m_s is not None
    three = fitness.speed_at_lactate(fitness.lactate_curve(speeds[1:4], lactates[1:4]))
    assert three.speed_m_s is not None
    assert three.low_m_s is None
    assert fitness.speed_on_curve(fitness.lactate_curve(speeds[1:4], lactates[1:4])).why == "few"
    # An exact exponential is a straight line of the logarithm.
    exact = fitness.lactate_curve(speeds, SAND[0] * np.exp(SAND[1] * speeds))
    assert exact.line is not None
    assert exact.line.slope == pytest.approx(SAND[1])
    assert math.exp(exact.line.intercept) == pytest.approx(SAND[0])


@pytest.mark.published("davie_evans_2000", "sand: 0.08 exp(0.33 v); V4, V12")
def test_sand_curve__davie_evans() -> None:
    row = next(row for row in published_table("field_lactate.csv") if row["ground"] == "sand")
    speeds = [float(name[1:]) for name in row if name.startswith("v")]
    curve = fitness.lactate_curve(speeds, SAND[0] * np.exp(SAND[1] * np.array(speeds)))
    for speed in speeds:
        assert_published(float(curve.at(speed)), row[f"v{speed:g}"])
    for read in (fitness.speed_at_lactate, fitness.speed_on_curve):
        twelve = read(curve, 12.0).speed_m_s
        assert twelve is not None
        assert_published(twelve, "15.1837")
        # Their V4, 11.85 m/s, lies below all their data: it is refused, not extrapolated.
        assert read(curve).why == "outside"


@pytest.mark.published("davie_evans_2000", "between two points of the sand curve")
def test_between_two_steps__davie_evans() -> None:
    """Log-linear is exact on an exponential; a straight line would be 0.16 m/s too low."""
    curve = fitness.lactate_curve([11.0, 13.0], [3.0170, 5.8373])
    found = fitness.speed_at_lactate(curve).speed_m_s
    assert found is not None
    assert_published(found, "11.8546", error=0.0002)
    straight = 11 + (4 - 3.0170) / (5.8373 - 3.0170) * 2
    assert_published(straight, "11.697")


@pytest.mark.published("davie_evans_2000", "grass: -0.87 v2 + 28.17 v - 211.41, turns at 16.19 m/s")
def test_grass_parabola_has_a_guard_at_its_vertex__davie_evans() -> None:
    four = fitness.speed_on_parabola(GRASS, 4.0, RANGE)
    assert four.speed_m_s is not None
    assert_published(four.speed_m_s, "12.3808")
    assert four.outside
    vertex = -GRASS[1] / (2 * GRASS[0])
    assert_published(vertex, "16.190")
    highest = GRASS[0] * vertex**2 + GRASS[1] * vertex + GRASS[2]
    assert_published(highest, "16.621")
    # Above the vertex there is no speed; the second root, 19.998 m/s, is never the answer.
    assert fitness.speed_on_parabola(GRASS, 17.0, RANGE).why == "outside"
    row = next(row for row in published_table("field_lactate.csv") if row["ground"] == "grass")
    for speed in (13.0, 14.0, 15.0, 16.0):
        lactate = float(row[f"v{speed:g}"])
        found = fitness.speed_on_parabola(GRASS, lactate, RANGE)
        assert found.speed_m_s == pytest.approx(speed, abs=0.01)
        assert not found.outside


@pytest.mark.published("vermeulen_evans_2006", "VHRmax, V200 and HRmax repeat within 2 %")
def test_a_change_must_pass_what_repeats_leave__vermeulen_evans() -> None:
    """Two per cent as one deviation: two tests at 14 m/s must differ by 5.5 %, 0.78 m/s."""
    assert_published(100 * fitness.REPEATS_WITHIN, "2")
    found = fitness.change(fitness.Reading(14.0), fitness.Reading(14.0), fitness.REPEATS_WITHIN)
    assert found is not None
    assert found.limit_m_s == pytest.approx(1.96 * math.sqrt(2) * 0.02 * 14.0)


@pytest.mark.published("wilson_mcgowan_2019", "a minute after: below 120, 120 to 140, above 140")
def test_classes_of_recovery__wilson_mcgowan() -> None:
    assert [(one.words, one.low_bpm, one.high_bpm) for one in fitness.RECOVERY_CLASSES] == [
        ("fully fit", 0.0, 120.0),
        ("fit to race", 120.0, 140.0),
        ("unfit", 140.0, math.inf),
    ]


@pytest.mark.published("steady_lactate", "the highest steady lactate was not above v2")
def test_the_reminder_says_what_was_found() -> None:
    assert "the speed at 2 mmol/l or below" in STEADY_REMINDER


@pytest.mark.published("davie_evans_2000", "repeat difference 1.9 (SD 1.8) and 1.8 (1.7) mmol/l")
def test_the_page_says_how_far_repeated_lactates_differ__davie_evans() -> None:
    assert "1.9 mmol/l" in REPEATED_LACTATES
