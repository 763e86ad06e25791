"""Load over days, sessions and strides, against the examples in print."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from racecalc import workload
from racecalc.units import FURLONG_M
from tests.published.compare import assert_published, published_table


def _three_people() -> dict[str, np.ndarray]:
    rows = published_table("three_months.csv")
    people = sorted({row["person"] for row in rows})
    return {
        one: np.array([float(row["load"]) for row in rows if row["person"] == one])
        for one in people
    }


@pytest.mark.published("williams_2017", "the printed ratios of day 28")
@pytest.mark.parametrize("row", published_table("three_ratios.csv"), ids=lambda row: row["person"])
def test_week_against_month__williams(row: dict[str, str]) -> None:
    loads = _three_people()[row["person"]]
    assert_published(workload.weighted_ratio(loads)[-1], row["weighted"])
    assert_published(workload.coupled_ratio(loads)[-1], row["rolling"])
    assert_published(workload.ewma(loads, 7)[-1], row["week"])
    assert_published(workload.ewma(loads, 28)[-1], row["month"])


@pytest.mark.published("williams_2017", "the ratio of the first person by the day")
def test_the_weighted_ratio_peaks_before_the_week_is_over__williams() -> None:
    """Day 22 to 28 as computed with pandas 3.1."""
    found = workload.weighted_ratio(_three_people()["1"])[21:]
    printed = ["1.1154", "1.1863", "1.2275", "1.2488", "1.2568", "1.2560", "1.2497"]
    for value, text in zip(found, printed, strict=True):
        assert_published(value, text)


@pytest.mark.published("williams_2017", "the seed: the first day is the first load")
def test_weighting_is_that_of_pandas_without_adjustment() -> None:
    for loads in _three_people().values():
        series = pd.Series(loads)
        for days in (7, 28):
            plain = series.ewm(span=days, adjust=False).mean()
            assert workload.ewma(loads, days) == pytest.approx(plain.to_numpy())
    first = pd.Series(_three_people()["1"])
    week, month = (first.ewm(span=days, adjust=True).mean().iloc[-1] for days in (7, 28))
    assert_published(week / month, "1.2105")


@pytest.mark.published("lolli_2019", "a week against the weeks before it; r about 0.5 by coupling")
def test_uncoupled__lolli() -> None:
    for loads in _three_people().values():
        uncoupled = workload.uncoupled_ratio(loads)[-1]
        assert_published(uncoupled, "1.6667")
        coupled = workload.coupled_from_uncoupled(uncoupled)
        assert float(coupled) == pytest.approx(workload.coupled_ratio(loads)[-1])
    printed = {0.5: "0.5714", 1.0: "1", 5 / 3: "1.4286", 2.0: "1.6"}
    for ratio, text in printed.items():
        assert_published(float(workload.coupled_from_uncoupled(ratio)), text)
    random = np.random.default_rng(20).gamma(4.0, 10.0, (28, 4000))
    week, month = random[-7:].mean(axis=0), random.mean(axis=0)
    before = random[:-7].mean(axis=0)
    assert np.corrcoef(week, month)[0, 1] == pytest.approx(0.5, abs=0.03)
    assert np.corrcoef(week, before)[0, 1] == pytest.approx(0.0, abs=0.05)


def _week() -> tuple[list[float], list[float]]:
    """Return the printed session loads, and those of the days."""
    rows = published_table("sessions_week.csv")
    days = list(dict.fromkeys(row["day"] for row in rows))
    sessions = [float(row["load"]) for row in rows]
    return sessions, [sum(float(r["load"]) for r in rows if r["day"] == day) for day in days]


@pytest.mark.published("foster_2001", "table 5: load 3,400, monotony 1.26, strain 4,284")
def test_monotony_and_strain__foster() -> None:
    """The print comes out of the nine sessions with the population's deviation."""
    sessions, _ = _week()
    assert sum(sessions) == 3400
    assert_published(float(workload.monotony(sessions)), "1.26")
    assert_published(float(workload.monotony(sessions)), "1.2646")
    assert_published(float(workload.monotony(sessions, spread="sample")), "1.1923")
    # Printed as 3,400 times the rounded 1.26.
    assert_published(3400 * round(float(workload.monotony(sessions)), 2), "4,284")
    assert float(workload.strain(sessions)) == pytest.approx(3400 * 1.26462, rel=1e-5)


@pytest.mark.published("foster_2001", "the same week by days")
def test_monotony_of_days__foster() -> None:
    _, days = _week()
    assert_published(float(workload.monotony(days)), "1.2116")
    assert_published(float(workload.monotony(days, spread="sample")), "1.1217")
    second = [50, 0, 100, 50, 0, 150, 0]
    assert_published(float(workload.monotony(second)), "0.9354")


@pytest.mark.published("foster_2001", "table 5 and figure 2: effort times minutes; five zones")
def test_sessions_and_zones__foster() -> None:
    agree = [
        row
        for row in published_table("sessions_week.csv")
        if float(workload.session_load(int(row["effort"]), int(row["minutes"]))) == int(row["load"])
    ]
    assert len(agree) == 6
    assert workload.zone_score([10, 10, 5, 3, 2]) == 67


@pytest.mark.published("banister_trimp", "worked examples")
@pytest.mark.parametrize(
    "row", published_table("training_impulse.csv"), ids=lambda row: row["score"]
)
def test_training_impulse__banister(row: dict[str, str]) -> None:
    beats = [float(row[name]) for name in ("minutes", "heart_rate", "resting", "peak")]
    score = workload.training_impulse(*beats, workload.TRIMP_WEIGHTS[row["weights"]])
    assert_published(score, row["score"])


@pytest.mark.published("banister_trimp", "the weights of women, of the second example")
def test_training_impulse_with_the_other_weights__banister() -> None:
    score = workload.training_impulse(60, 155, 55, 190, workload.TRIMP_WEIGHTS["women"])
    assert_published(score, "131.69")


def _tests_of_power(lag: int) -> tuple[np.ndarray, np.ndarray]:
    rows = published_table("cycling_load.csv")
    loads = [float(row["load"]) for row in rows]
    found = workload.impulse_response(loads, 262, (0.18, 0.23), (36, 21), lag=lag)
    tested = [number for number, row in enumerate(rows) if row["power_w"]]
    return found[tested], np.array([float(rows[number]["power_w"]) for number in tested])


@pytest.mark.published("clarke_skiba_2013", "p0 262 W, k 0.18 and 0.23, tau 36 and 21 d: R2 0.979")
def test_impulse_response__clarke_skiba() -> None:
    """With the rounded parameters in print R2 is 0.978; a lag of a day spoils it."""
    told, power = _tests_of_power(lag=0)
    printed = [273.0, 274.9, 279.6, 289.9, 292.1, 295.9, 299.1, 294.7, 304.9]
    assert told == pytest.approx(printed, abs=0.05)
    spread = ((power - power.mean()) ** 2).sum()
    assert_published(1 - ((told - power) ** 2).sum() / spread, "0.978")
    late, _ = _tests_of_power(lag=1)
    assert_published(1 - ((late - power) ** 2).sum() / spread, "0.802")


@pytest.mark.published("clarke_skiba_2013", "45 days, and one load alone")
def test_sums_that_forget__clarke_skiba() -> None:
    loads = [float(row["load"]) for row in published_table("cycling_load.csv")][:45]
    assert_published(workload.decaying_sum(loads, 36)[-1], "843.1179")
    assert_published(workload.decaying_sum(loads, 21)[-1], "611.9769")
    one = [100.0] + [0.0] * 42
    for days, printed in ((42, "84.648 71.653 51.342 36.788"), (7, "36.788 13.534 1.832 0.248")):
        sums = workload.decaying_sum(one, days)
        for after, text in zip((7, 14, 28, 42), printed.split(), strict=True):
            assert_published(sums[after], text)
    assert_published(workload.break_even_day((1, 2), (45, 15)), "15.60")
    assert_published(workload.best_day((1, 2), (45, 15)), "40.31")
    assert_published(workload.break_even_day((1, 2), (42, 7)), "5.82")
    assert_published(workload.best_day((1, 2), (42, 7)), "20.87")


@pytest.mark.published("witte_2006", "fore stance and protraction: 131 + 364 ms, 77 + 342 ms")
def test_stride_rate__witte() -> None:
    slow, quick = workload.stride_rate_hz([9.0, 17.0])
    assert_published(1000 / slow, "495")
    assert_published(1000 / quick, "419")
    assert_published(9.0 / slow, "4.455")
    assert_published(17.0 / quick, "7.123")


@pytest.mark.published("verheyen_2006", "44 km and 7,700 cycles, 6 km and 880 cycles")
def test_metres_to_a_cycle__verheyen() -> None:
    assert_published(workload.METRES_A_CYCLE["canter"], "5.714")
    assert_published(workload.METRES_A_CYCLE["gallop"], "6.818")
    assert_published(FURLONG_M / workload.METRES_A_CYCLE["canter"], "35.2")
    assert_published(FURLONG_M / workload.METRES_A_CYCLE["gallop"], "29.5")


@pytest.mark.published("vergara_2022", "winners: 2.34 strides a second")
def test_strides_of_a_furlong_hold_the_published_ways() -> None:
    """A furlong in 12 s: 28.1 by the rate of winners, 29.5 by cycles, and Witte's between."""
    low, likeliest, high = workload.strides(FURLONG_M, FURLONG_M / 12)
    assert_published(float(low), "28.1")
    assert_published(float(high), "29.5")
    assert low < likeliest < high


@pytest.mark.published("morrice_west_2022", "force on a fore limb at 9 to 18 m/s")
def test_force_on_a_fore_limb__morrice_west() -> None:
    printed = {9: "17.683", 12: "20.725", 14: "22.218", 15: "22.804", 17: "23.656", 18: "23.921"}
    for speed, text in printed.items():
        assert_published(workload.fore_force_n_per_kg([speed])[0], text)


def test_metres_of_days_and_horses() -> None:
    rows = [
        ("2026-10-01", "b", 400.0),
        ("2026-10-03", "a", 100.0),
        ("2026-10-03", "a", 50.0),
        ("2026-10-02", None, 500.0),
    ]
    ground = pd.DataFrame(rows, columns=["date", "horse", "distance_m"])
    ground["date"] = pd.to_datetime(ground["date"])
    days, horses, metres = workload.daily(ground, date(2026, 10, 1), date(2026, 10, 3))
    assert (len(days), list(horses)) == (3, ["a", "b"])
    assert metres.tolist() == [[0.0, 400.0], [0.0, 0.0], [150.0, 0.0]]
