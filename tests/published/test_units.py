"""Units against the tables that define them."""

from fractions import Fraction

import pytest

from racecalc import units
from tests.published.compare import assert_published, published_table


@pytest.mark.published("nist_us_survey_foot", "table of revised factors")
@pytest.mark.parametrize("row", published_table("units_nist.csv"))
def test_lengths__nist(row: dict[str, str]) -> None:
    # The definitions are exact. A survey foot is 2e-6 longer: 0.4 mm a furlong would show.
    one = units.magnitude(1 * units.registry()(row["unit"]), "metre", row["unit"])
    assert one == pytest.approx(float(row["metres"]), rel=1e-12)
    if row["unit"] in units.EXACT_M:
        assert units.EXACT_M[row["unit"]] == Fraction(row["metres"])


@pytest.mark.published("yard_pound_1959", "yard and avoirdupois pound")
@pytest.mark.parametrize("row", published_table("units_1959.csv"))
def test_yard_and_pound__1959(row: dict[str, str]) -> None:
    exact = {**units.EXACT_M, **units.EXACT_KG}[row["unit"]]
    assert exact == Fraction(row["si"])
    one = units.magnitude(1 * units.registry()(row["unit"]), row["si_unit"], row["unit"])
    assert one == pytest.approx(float(row["si"]), rel=1e-12)


@pytest.mark.published("training_pace_2014", "two-minute lick: a mile in 2:00, 15 s/f, 30 mph")
def test_two_minute_lick__farm_2014() -> None:
    speed_m_s = units.MILE_M / 120
    assert_published(units.seconds_per_furlong(speed_m_s), "15.0")
    assert_published(units.miles_per_hour(speed_m_s), "30.0")
