"""Measuring errors against what was printed of them."""

import math
from datetime import date

import pytest

from racecalc import body
from tests.published.compare import assert_published, published_table


def _series(what: str, method: str, first: float, last: float, by: str | None) -> body.Series:
    readings = (
        body.Reading(date(2026, 1, 1), first, by),
        body.Reading(date(2026, 2, 1), last, by),
    )
    return body.Series(what, method, None, "", readings)


def _noise(readings: body.Series) -> float:
    limit, _ = body.noise(readings, *readings.readings)
    assert limit is not None
    return limit


@pytest.mark.published("lamas_2007", "abstract")
@pytest.mark.parametrize("row", published_table("height_spread.csv"))
def test_height_noise__lamas(row: dict[str, str]) -> None:
    person = "A" if row["one_person"] == "yes" else None
    noise_m = _noise(_series("height", "stick", 1.62, 1.63, person))
    assert_published(100 * noise_m / math.sqrt(2), row["spread_cm"])


@pytest.mark.published("coleman_2002", "abstract: 0.19 +/- 0.63 % before warm-up, no drug")
def test_weight_noise_on_scales__coleman() -> None:
    noise_kg = _noise(_series("weight", "scale", 490.0, 500.0, None))
    assert_published(100 * noise_kg / 500 / (1.96 * math.sqrt(2)), "0.63")


@pytest.mark.published("ellis_hollands_1998", "abstract: 15 hands and more")
@pytest.mark.parametrize("method", ["tape", "estimate"])
def test_weight_noise_without_scales__ellis_and_hollands(method: str) -> None:
    rows = [row for row in published_table("weight_estimates.csv") if row["method"] == method]
    largest = max((row["sd_pct"] for row in rows), key=float)
    noise_kg = _noise(_series("weight", method, 490.0, 500.0, None))
    assert_published(100 * noise_kg / 500 / (1.96 * math.sqrt(2)), largest)


@pytest.mark.published("jasn_repeatability", "row ECW: residual mean square 1.64, SDD 3.55")
def test_smallest_detectable_change__jasn() -> None:
    assert_published(body.smallest_detectable_change(math.sqrt(1.64)), "3.55")


@pytest.mark.published("practice_condition_half_points", "common practice, no source")
@pytest.mark.parametrize(("last", "real"), [(5.0, False), (5.5, False), (6.0, True), (4.0, True)])
def test_condition_changes_by_a_whole_point__practice(last: float, real: bool) -> None:
    found = body.change(_series("condition", "", 5.0, last, "A"))
    assert found is not None
    assert found.real is real


@pytest.mark.published("practice_racing_age", "common practice, no source")
@pytest.mark.parametrize(
    ("on", "age"), [(date(2025, 12, 31), 1), (date(2026, 1, 1), 2), (date(2026, 12, 31), 2)]
)
def test_age_changes_on_new_years_day__practice(on: date, age: int) -> None:
    assert body.age_years(date(2024, 5, 20), None, on) == age
