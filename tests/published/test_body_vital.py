"""Temperature and pulse against published ranges, and the limits against a general library."""

from datetime import date

import numpy as np
import pytest
from scipy import stats

from racecalc import body
from racecalc.units import celsius, fahrenheit
from tests.published.compare import assert_published, published_table

RANGES = published_table("vital_ranges.csv")


def _rows(source: str, kind: str) -> list[dict[str, str]]:
    found = [row for row in RANGES if (row["source"], row["kind"]) == (source, kind)]
    assert found
    return found


def _flags(value: float, kind: str) -> list[str]:
    """How a single reading, without any before it, is judged by the published range."""
    return [off.side for off in body.days_off([date(2026, 5, 1)], [value], kind)]


# Computed apart from the package (LIB).
@pytest.mark.parametrize("row", published_table("temperatures.csv"), ids=lambda row: row["celsius"])
def test_degrees__separate_arithmetic(row: dict[str, str]) -> None:
    assert_published(celsius(float(row["fahrenheit"])), row["celsius"])
    # Half the last digit of the Celsius is nine tenths as much in Fahrenheit.
    assert_published(fahrenheit(float(row["celsius"])), row["fahrenheit"], error=0.0091)


@pytest.mark.published("hall_2019", "abstract: 36.0 to 38.0 degrees C")
def test_temperature__hall() -> None:
    (row,) = _rows("hall_2019", "temperature")
    assert_published(body.PUBLISHED_RANGES["temperature"].low, row["low"])
    assert _flags(float(row["low"]), "temperature") == []
    assert _flags(float(row["low"]) - 0.1, "temperature") == ["below"]
    # The narrower upper end would call days off that vets do not.
    assert _flags(float(row["high"]), "temperature") == []


@pytest.mark.published("vital_signs_by_vets", "temperature up to 101.5 F, pulse up to 44")
def test_upper_ends__vets() -> None:
    for row in _rows("vital_signs_by_vets", "temperature"):
        to_celsius = celsius if row["unit"] == "F" else float
        assert _flags(to_celsius(float(row["low"])), "temperature") == []
        assert _flags(to_celsius(float(row["high"])), "temperature") == []
        assert_published(body.PUBLISHED_RANGES["temperature"].high, "38.6")
    for row in _rows("vital_signs_by_vets", "pulse"):
        assert _flags(float(row["low"]), "pulse") == _flags(float(row["high"]), "pulse") == []
    assert _flags(celsius(101.7), "temperature") == _flags(45, "pulse") == ["above"]
    highest = max(float(row["high"]) for row in _rows("vital_signs_by_vets", "pulse"))
    assert body.PUBLISHED_RANGES["pulse"].high == highest


@pytest.mark.published("fit_racehorse_pulse", "a fit racehorse may have 28 or fewer")
def test_no_pulse_is_low__fit_racehorse() -> None:
    (row,) = _rows("fit_racehorse_pulse", "pulse")
    assert_published(body.PUBLISHED_RANGES["pulse"].low, row["low"])
    assert _flags(28, "pulse") == _flags(20, "pulse") == []


@pytest.mark.published("r_mad", "details: the default constant")
def test_limits_are_three_and_a_half_deviations_off__r() -> None:
    pulses = 40.0 + 10 * np.array([1, 2, 3, 4, 5, 6, 7, 8, 9, 1, 9])
    found = body.usual(pulses, "pulse")
    assert found.high is not None
    assert found.low is not None
    assert found.median == 90
    # The median of the distances from 90 is 30.
    assert_published((found.high - 90) / 3.5 / 30, "1.4826")
    assert_published((90 - found.low) / 3.5 / 30, "1.4826")


def test_limits__scipy() -> None:
    readings = np.random.default_rng(7).normal(37.5, 0.3, 101)
    found = body.usual(readings, "temperature")
    assert found.high is not None
    assert found.median is not None
    deviation = stats.median_abs_deviation(readings, scale="normal")
    assert found.high - found.median == pytest.approx(3.5 * deviation, rel=1e-5)
