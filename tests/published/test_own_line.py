"""Partial pooling against printed fits, and a line tried on published times of one course."""

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from racecalc import own_line
from racecalc.pooling import foretell, pool
from racecalc.units import FOOT_M, MILE_M
from tests.published.compare import assert_published, published_table


def read(data: str) -> tuple[list[float], list[list[str]]]:
    """Readings and labels of one of the two printed sets."""
    rows = published_table(f"{data}.csv")
    if data == "dyestuff":
        return [float(row["yield"]) for row in rows], [[row["batch"] for row in rows]]
    cells = [(row["plate"], sample, float(row[sample])) for row in rows for sample in "ABCDEF"]
    return [cell[2] for cell in cells], [[cell[0] for cell in cells], [cell[1] for cell in cells]]


def races() -> pd.DataFrame:
    """Winners over a mile and a quarter, as if they were one horse."""
    rows = pd.DataFrame(published_table("derby_conditions.csv"))
    distance_m = 1.25 * MILE_M
    return pd.DataFrame(
        {
            "date": pd.Timestamp("2000-01-01"),
            "track": "the course",
            "distance_m": distance_m,
            "time_s": distance_m / (rows["feet_per_second"].astype(float) * FOOT_M),
            "state": rows["condition"],
        }
    )


@pytest.mark.published("bates_lme4", "fits of Dyestuff and Penicillin by REML")
@pytest.mark.parametrize("row", published_table("mixed_models.csv"), ids=lambda row: row["data"])
def test_pool__spreads_by_restricted_maximum_likelihood(row: dict[str, str]) -> None:
    readings, labels = read(row["data"])
    learned = pool(readings, labels, guess=float(np.std(readings)), weight=0.0, tails=np.inf)
    assert_published(learned.effects[0], row["mean"])
    mean_alone = np.eye(1, len(learned.effects))[0]
    assert_published(learned.covariance.of(mean_alone) ** 0.5, row["mean_error"])
    printed = [row["first_spread"], row["second_spread"]][: len(labels)]
    for spread, text in zip(learned.spreads, printed, strict=True):
        assert_published(spread, text)
    assert_published(learned.noise, row["residual"])


@pytest.mark.published("lange_1989", "the t distribution with given degrees of freedom")
@pytest.mark.parametrize("degrees", [3.0, 4.0, 10.0])
def test_pool__noise_of_the_t_distribution(degrees: float) -> None:
    """A general-purpose library's maximum likelihood; ours spends one reading on the mean."""
    readings = np.log(races()["time_s"].to_numpy())
    _, middle, scale = stats.t.fit(readings, fdf=degrees)
    learned = pool(readings, [], guess=0.01, weight=0.0, tails=degrees)
    assert learned.effects[0] == pytest.approx(middle, abs=0.02 * scale)
    assert learned.noise == pytest.approx(scale, rel=1.5 / len(readings))


@pytest.mark.published("roback_legler_2021", "condition and speed, 1960 to 2017")
def test_state_effects__a_slow_track() -> None:
    """Slow was slower there, and nothing in the model says so beforehand."""
    works = races()
    effects = own_line.state_effects(own_line.fit(works)).set_index("state")
    assert set(effects["against"]) == {"fast"}
    assert effects.loc["slow", "low"] > 1
    means = np.log(works["time_s"]).groupby(works["state"]).mean()
    plain = float(np.exp(means["slow"] - means["fast"]))
    assert 1 < effects.loc["slow", "ratio"] < plain, "shrunk towards no effect"
    assert effects.loc["slow", "low"] < plain < effects.loc["slow", "high"]


@pytest.mark.published("roback_legler_2021", "condition and speed, 1960 to 2017")
def test_expectation__each_year_left_out() -> None:
    works = races()
    inside = []
    for place in range(len(works)):
        asked = works.iloc[place].to_dict() | {"date": pd.Timestamp("2000-01-02")}
        told = own_line.expectation(asked, works.drop(index=place), works.iloc[:0], 0.0)
        assert told is not None
        inside.append(told.low_s <= asked["time_s"] <= told.high_s)
    assert 0.91 <= np.mean(inside) <= 0.99


@pytest.mark.published("lange_1989", "one reading far off pulls little")
def test_foretell__one_reading_far_off() -> None:
    """Thirty seconds misread in one race of 58 move the line by less than a tenth of a second."""
    readings = np.log(races()["time_s"].to_numpy())
    spoiled = readings.copy()
    spoiled[7] = np.log(np.exp(spoiled[7]) + 30)
    told, moved = (foretell(pool(values, [], guess=0.01), []) for values in (readings, spoiled))
    assert abs(np.exp(moved.middle) - np.exp(told.middle)) < 0.1
