"""What studies found of the lead that horses prefer; they disagree."""

import pytest

from racecalc.digest import LEAD_STUDIES
from tests.published.compare import assert_published, published_table


def check(key: str) -> None:
    [row] = [row for row in published_table("lead_preference.csv") if row["source"] == key]
    [study] = [study for study in LEAD_STUDIES if study.key == key]
    assert_published(study.right_pct, row["right"])
    assert_published(100 - study.right_pct, row["left"])


@pytest.mark.published("williams_norris_2007", "abstract")
def test_lead_preferred__williams_norris_2007() -> None:
    check("williams_norris_2007")


@pytest.mark.published("cully_2018", "abstract")
def test_lead_at_the_start__cully_2018() -> None:
    check("cully_2018")


def test_the_studies_disagree() -> None:
    """One found nine in ten on the right lead, the other no bias: the page says both."""
    high, low = (study.right_pct for study in LEAD_STUDIES)
    assert high > 80 > 55 > low
