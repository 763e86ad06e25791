"""Measuring errors against what was printed of them."""

import math
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import theilslopes

from racecalc import body
from tests.published.compare import assert_published, published_table


def _series(what: str, method: str, first: float, last: float, by: str | None) -> body.Series:
    readings = (
        body.Reading(date(2026, 1, 1), first, by),
        body.Reading(date(2026, 2, 1), last, by),
    )
    return body.Series(what, method, None, "", readings)


def _noise(readings: body.Series) -> float:
    limit = body.noise(readings, *readings.readings).limit
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


@pytest.mark.published("fei_pony_height", "148 cm without shoes, 149 cm with shoes")
def test_shoes_add_a_centimetre__fei_pony_rule() -> None:
    readings = (body.Reading(date(2026, 1, 1), 1.49),)
    (found,) = body.barefoot([body.Series("height", "stick", True, "m", readings)])
    assert_published(100 * found.last.value, "148")
    assert found.last.adjusted


@pytest.mark.published("practice_shoe_allowance", "common practice, no source: 1/4 to 1/2 inch")
@pytest.mark.parametrize("inches", [0.25, 0.5])
def test_what_shoes_add_by_practice_is_within_the_error_of_the_allowance(inches: float) -> None:
    assert abs(inches * 0.0254 - body.SHOE_ALLOWANCE_M) <= body.SHOE_ERROR_M


@pytest.mark.published("gasser_1986", "as the manual of twostageTE computes it, unequal spacing")
def test_own_error__gasser() -> None:
    """The weights a, b of the neighbours and 1 / (a² + b² + 1) of each squared residual."""
    days, values = [0.0, 5.0, 14.0, 21.0, 33.0], [500.0, 503.0, 499.0, 504.0, 502.0]
    squares = []
    for before, at, after in zip(range(3), range(1, 4), range(2, 5), strict=True):
        a = (days[after] - days[at]) / (days[after] - days[before])
        b = (days[at] - days[before]) / (days[after] - days[before])
        residual = a * values[before] + b * values[after] - values[at]
        squares.append(residual**2 / (a * a + b * b + 1))
    found = body.own_error(days, values, 365)
    assert found is not None
    assert found.standard_error == pytest.approx(math.sqrt(sum(squares) / 3))


@pytest.mark.published("altman_paulson", "abstract: (n-2)/3 is conservative, (n-2)/2 for many")
@pytest.mark.parametrize("n", [5, 12, 30, 80])
def test_freedom_of_own_error__altman_and_paulson(n: int) -> None:
    even = body.own_error([7.0 * day for day in range(n)], [float(day % 3) for day in range(n)], 99)
    rng = np.random.default_rng(n)
    odd = body.own_error(np.cumsum(rng.integers(1, 15, n)).astype(float), rng.normal(size=n), 99)
    assert even is not None
    assert odd is not None
    assert (n - 2) / 2 <= even.freedom <= n - 2
    assert (n - 2) / 3 <= odd.freedom <= n - 2


@pytest.mark.published("sen_1968", "its example: slope 4, 93 % interval 3.71 to 4.38")
def test_slope_of_a_trend__sen() -> None:
    rows = published_table("sen.csv")
    x, y = [float(row["x"]) for row in rows], [float(row["y"]) for row in rows]
    for alpha in (0.93, 0.07, 0.95):
        found = theilslopes(y, x, alpha=alpha, method="joint")
        assert_published(found.low_slope, "3.71")
        assert_published(found.high_slope, "4.38")
    assert (theilslopes(y, x, method="separate").intercept, found.intercept) == (4.0, 6.0)
    # The example's days, ten times as far apart: a trend asks for four weeks.
    days = [date(2026, 1, 1) + timedelta(days=10 * int(one)) for one in x]
    wide = tuple(body.Reading(day, one) for day, one in zip(days, y, strict=True))
    trend = body.trend(body.Series("weight", "scale", None, "kg", wide), days[0], days[-1])
    assert trend is not None
    assert trend.slope == pytest.approx(0.4)
    assert_published(10 * trend.low, "3.71")
    assert_published(10 * trend.high, "4.38")
    # The line passes the first reading at x = 1: 6 + 4 * 1, by the joint intercept.
    assert trend.at(days[0]) == pytest.approx(10.0)


@pytest.mark.published("chuckwagon_2002", "abstract: loss 3.5 kg a race")
@pytest.mark.published("japan_race_weights_2017", "seasonal swing 7, 8, 6 kg")
@pytest.mark.published("hodges_1986", "abstract: +1.75 cm after a trot")
@pytest.mark.published("curtis_2010", "abstract: -0.48 cm in 20 minutes")
def test_swings_that_are_no_change_of_the_horse() -> None:
    for name, scale, printed in (
        ("race_loss", 1, "3.5"),
        ("season_low", 1, "6"),
        ("season_high", 1, "8"),
        ("trot_rise", 100, "1.75"),
        ("standing_fall", 100, "0.48"),
    ):
        assert_published(scale * body.published_swing(name)[0], printed)
