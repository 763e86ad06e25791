"""What counts as fast, against the studies that the rule follows."""

from typing import Any

import pandas as pd
import pytest

from racecalc import workload
from racecalc.units import FURLONG_M
from tests.published.compare import assert_published, published_table

NO_WORKS = pd.DataFrame(columns=["work", "date", "horse", "distance_m", "time_s", "from_pole_m"])
NO_SPLITS = pd.DataFrame(columns=["work", "to_finish_m", "clock_s"])


def _ledger(activity: str, distance_m: float, time_s: float) -> pd.DataFrame:
    row: dict[str, Any] = {
        "date": pd.Timestamp("2026-10-05"),
        "horse": "H1",
        "activity": activity,
        "distance_m": distance_m,
        "time_s": time_s,
    }
    return workload.ledger(pd.DataFrame([row]), NO_WORKS, NO_SPLITS)


@pytest.mark.published("verheyen_2006", "abstract: canter up to 14 m/s, gallop above")
def test_fast_speed__verheyen() -> None:
    edges = {row["activity"]: row for row in published_table("loading_distances.csv")}
    assert_published(workload.FAST_SPEED_M_S, edges["gallop"]["from_m_s"])
    assert_published(workload.FAST_SPEED_M_S, edges["canter"]["to_m_s"])
    metres = 1400.0
    gallop = _ledger("gallop", metres, metres / (float(edges["gallop"]["from_m_s"]) + 0.01))
    canter = _ledger("canter", metres, metres / (float(edges["canter"]["to_m_s"]) - 0.01))
    assert gallop["speed_class"].tolist() == ["fast"]
    assert canter["speed_class"].tolist() == ["slower"]


@pytest.mark.published("estberg_1996", "abstract: race and timed-work furlongs added up")
def test_race_without_a_time_is_fast__estberg() -> None:
    race = _ledger("race", 6 * FURLONG_M, float("nan"))
    day = race["date"].iloc[0].date()
    assert workload.by_speed(race, day, day) == {
        "fast": 6 * FURLONG_M,
        "slower": 0.0,
        "untimed": 0.0,
    }
