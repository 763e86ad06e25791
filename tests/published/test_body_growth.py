"""Growth against published shares of mature weight and height, and separate arithmetic."""

import math

import pytest

from racecalc import body
from tests.published.compare import assert_published, published_table

SHARES = published_table("growth_shares.csv")
# Shares are printed in whole per cent.
HALF_POINT = 0.5


def _shares(source: str, what: str) -> list[dict[str, str]]:
    found = [row for row in SHARES if (row["source"], row["what"]) == (source, what)]
    assert found
    return found


def _assert_height_within_course(source: str) -> None:
    """Each printed share lies within the course, rounding apart."""
    for row in _shares(source, "height"):
        low, high = body.mature_height_fraction(float(row["months"]))
        assert 100 * float(low) - HALF_POINT <= float(row["pct"]) <= 100 * float(high) + HALF_POINT


# The equation evaluated apart from the package (LIB).
@pytest.mark.parametrize("row", published_table("growth_curve.csv"), ids=lambda row: row["months"])
def test_curve_of_weight__separate_arithmetic(row: dict[str, str]) -> None:
    months = float(row["months"])
    share = float(body.mature_weight_fraction(months))
    assert_published(100 * share, row["pct"])
    assert_published(500 * share, row["kg"])
    assert_published(float(body.average_daily_gain(500, months)), row["kg_per_day"])


@pytest.mark.published("brown_douglas_growth", "10, 43 and 61 % of mature weight")
def test_curve_of_weight__brown_douglas() -> None:
    birth, six, twelve = _shares("brown_douglas_growth", "weight")
    for row in (birth, six):
        assert_published(100 * float(body.mature_weight_fraction(float(row["months"]))), row["pct"])
    # At 12 months Thoroughbreds are known to weigh less than the equation gives.
    ahead = 100 * float(body.mature_weight_fraction(12)) - float(twelve["pct"])
    assert 2.5 < ahead < 3.5
    assert [one.most_kg for one in body.DEPARTURES if one.from_month <= 12 <= one.to_month] == [0]


@pytest.mark.published("pagan_2015", "85 % of mature weight and 95 % of mature height at two years")
def test_two_year_olds__pagan() -> None:
    (weight,) = _shares("pagan_2015", "weight")
    assert_published(100 * float(body.mature_weight_fraction(24)), weight["pct"], error=1.0)
    (height,) = _shares("pagan_2015", "height")
    assert_published(100 * float(body.mature_height_fraction(24)[0]), height["pct"])


@pytest.mark.published("nrc_growth_check", "abstract: within 3 kg, low by up to 10 kg and so on")
def test_departures__885_thoroughbreds() -> None:
    rows = published_table("growth_departures.csv")
    assert len(body.DEPARTURES) == len(rows)
    for one, row in zip(body.DEPARTURES, rows, strict=True):
        kg = float(row["by_kg"])
        assert (one.from_month, one.to_month) == (float(row["from_month"]), float(row["to_month"]))
        # An equation that is low says that horses weigh more.
        ends = {"within": (-kg, kg), "low": (0.0, kg), "high": (-kg, 0.0)}[row["equation"]]
        assert (one.least_kg, one.most_kg) == ends


@pytest.mark.published("extension_height", "73, 82, 89, 95 and 97 % of mature height")
def test_course_of_height__extension() -> None:
    _assert_height_within_course("extension_height")
    three, six, twelve, *_, last = _shares("extension_height", "height")
    for row in (six, twelve):
        assert_published(
            100 * float(body.mature_height_fraction(float(row["months"]))[0]), row["pct"]
        )
    assert_published(100 * float(body.mature_height_fraction(24)[1]), last["pct"])
    low, high = body.mature_height_fraction(3)
    assert_published(50 * float(low + high), three["pct"])


@pytest.mark.published("extension_cannon", "84, 92 and 95 % of mature size")
def test_course_of_height__extension_2006() -> None:
    for row in _shares("extension_cannon", "height"):
        assert_published(
            100 * float(body.mature_height_fraction(float(row["months"]))[1]), row["pct"]
        )


@pytest.mark.published("brown_douglas_growth", "83 and 92 % of mature height")
def test_course_of_height__brown_douglas() -> None:
    _assert_height_within_course("brown_douglas_growth")


@pytest.mark.published("green_heights", "abstract: 148 cm at 18 months, 156 cm at 36")
def test_course_of_height__148_of_156_cm() -> None:
    (row,) = _shares("green_heights", "height")
    at_18, at_36 = (float(body.mature_height_fraction(age)[0]) for age in (18, 36))
    assert_published(100 * at_18 / at_36, row["pct"])
    assert_published(100 * 148 / 156, row["pct"])


# 155.3 cm at 17 months by the share of 18 months: computed apart from the package (LIB).
def test_predicted_height__separate_arithmetic() -> None:
    assert_published(155.3 / float(body.mature_height_fraction(18)[1]), "163.5")
    found = body.predicted_mature_height(1.553, 17, 0.0)
    assert found.low_m < 1.635 < found.high_m
    assert math.isclose(found.middle_m, 1.635, abs_tol=0.04)
