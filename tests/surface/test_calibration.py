"""Chances of footing in simulation: of mornings told 30 % bad, about 30 of 100 are."""

import numpy as np
import pytest

from racecalc import surface
from tests.surface import invented_sky
from tests.surface.invented_sky import Sky, Told

FEWEST_CASES = 25
DRAWS = 2_000


@pytest.fixture(scope="module")
def told() -> Told:
    """Chances of two thousand mornings, of forecasts that tell the truth."""
    return invented_sky.independent(2_000, seed=1, draws=DRAWS)


def binomial_error(stated: np.ndarray) -> float:
    """Return the standard error of how often it comes, where each chance is true."""
    return float(np.sqrt((stated * (1 - stated)).sum()) / len(stated))


def test_stated_chances_come_true_class_by_class(told: Told) -> None:
    table = told.reliability().table()
    assert table["days"].sum() == len(told.stated)
    checked = 0
    for row in table.to_dict("records"):
        inside = told.stated[(told.stated >= row["low"]) & (told.stated < row["high"])]
        if row["days"] < FEWEST_CASES:
            continue
        checked += 1
        # The draws have an error too, which all forecasts share.
        error = np.hypot(binomial_error(inside), 0.5 / np.sqrt(DRAWS))
        assert row["came"] == pytest.approx(row["stated"], abs=3 * error), row
    assert checked >= 5


@pytest.mark.parametrize("lead", [1, 4, 7])
def test_stated_chances_come_true_however_far_ahead(told: Told, lead: int) -> None:
    on = told.lead == lead
    error = np.hypot(binomial_error(told.stated[on]), 0.5 / np.sqrt(DRAWS))
    assert told.came[on].mean() == pytest.approx(told.stated[on].mean(), abs=3 * error)


def test_stated_chances_are_worth_more_than_how_often_it_comes(told: Told) -> None:
    found = told.reliability()
    assert found.brier < 0.75 * found.brier_of_base_rate


def test_a_chance_turned_round_would_be_seen(told: Told) -> None:
    """The check can fail: the same mornings, with chances moved a tenth towards the wet."""
    moved = Told(np.clip(told.stated + 0.1, 0, 1), told.came, told.lead)
    table = moved.reliability().table()
    off = (table["stated"] - table["came"]) * np.sqrt(table["days"]) / 0.5
    assert (off > 3).any()


@pytest.mark.parametrize("sky", [Sky(), Sky(0.2, 0.7)], ids=["showers", "wet spells"])
def test_the_whole_way_from_a_log_to_chances_beats_the_base_rate(sky: Sky) -> None:
    """Words learned from two years of a log, and a forecast that knows no spells of rain."""
    found = invented_sky.whole_way(sky, 730, 1_000, seed=5, draws=500)
    assert found.reliability().brier < 0.93 * found.reliability().brier_of_base_rate
    assert found.stated.mean() == pytest.approx(found.came.mean(), abs=0.03)
    assert np.corrcoef(found.stated, found.came)[0, 1] > 0.3


# Rain of one day says nothing of the next: here the forecast knows all that there is to know.
EVEN = 1 / 3


@pytest.mark.parametrize("before_work", [0.0, 0.5], ids=["rain by day", "rain at any hour"])
def test_the_whole_way_is_calibrated_whenever_the_rain_falls(before_work: float) -> None:
    """Words and the hour of the rain are learned from the log; then chances come true."""
    found = invented_sky.whole_way(Sky(EVEN, EVEN, before_work=before_work), 730, 1_500, 5, 500)
    assert found.stated.mean() == pytest.approx(
        found.came.mean(), abs=3 * binomial_error(found.stated)
    )
    reliability = found.reliability()
    assert (reliability.lean, reliability.middling().lean) == (None, None)
    checked = 0
    for row in reliability.table().to_dict("records"):
        inside = found.stated[(found.stated >= row["low"]) & (found.stated < row["high"])]
        if row["days"] < FEWEST_CASES:
            continue
        checked += 1
        assert row["came"] == pytest.approx(row["stated"], abs=3 * binomial_error(inside)), row
    assert checked >= 3


def test_rain_that_is_counted_twice_would_be_seen() -> None:
    """The check can fail: all rain falls after the work, and nothing is learned of that."""
    sky = Sky(EVEN, EVEN, before_work=0.0)
    found = invented_sky.whole_way(sky, 730, 1_500, 5, 500, when=False)
    off = found.stated.mean() - found.came.mean()
    assert off > 5 * binomial_error(found.stated)
    assert found.reliability().middling().lean == "high"


def test_a_forecast_of_the_chain_is_calibrated() -> None:
    """What the simulation takes for a true forecast is one: the chance of rain by the day."""
    sky = Sky(0.2, 0.7)
    wet = invented_sky.days_of(sky, 4_000, seed=2).rain_mm > 0
    for lead in (1, 3):
        stated = np.where(wet[:-lead], *(sky.chances(today, lead)[-1] for today in (True, False)))
        for today in (True, False):
            on = wet[:-lead] == today
            # Days of one spell are alike: fewer of them count.
            error = binomial_error(stated[on]) * np.sqrt(2)
            assert wet[lead:][on].mean() == pytest.approx(stated[on][0], abs=3 * error)
    assert sky.shape == surface.RAIN_SHAPE
