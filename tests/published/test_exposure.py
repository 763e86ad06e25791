"""Studies of ground and injury, classes of speed and usual paces, against what is in print."""

import re

import pytest

from racecalc import workload
from racecalc.words import WEEK_AGAINST_MONTH
from tests.published.compare import assert_published, published_table

WAYS = {
    "+": ("more fractures", "more injuries"),
    "-": ("fewer injuries",),
    "wins": ("more wins",),
}


@pytest.mark.published("verheyen_2006", "abstract: 1,178 horses; canter with gallop")
@pytest.mark.published("estberg_1996", "abstract: 64 and 64")
@pytest.mark.published("cohen_2000", "abstract: injured horses had less")
@pytest.mark.published("crawford_2020", "pooled odds above one; evidence weak")
@pytest.mark.published("crawford_young_2021", "hazard ratio below one")
@pytest.mark.published("hitchens_2023", "two-year-olds: more fast work, fewer injuries")
@pytest.mark.published("verheyen_2009", "more gallop and races, more wins")
def test_each_study_points_the_way_it_was_printed() -> None:
    printed = {row["study"]: row for row in published_table("exposure.csv")}
    assert {study.key for study in workload.STUDIES} == set(printed)
    for study in workload.STUDIES:
        row = printed[study.key]
        assert study.more.startswith(WAYS[row["direction"]])
        if row["population"]:
            assert int(row["population"]) == int(
                re.sub(
                    r"\D",
                    "",
                    study.horses.split()[0]
                    if study.horses[0].isdigit()
                    else study.horses.split()[2],
                )
            )


@pytest.mark.published("verheyen_2006", "abstract: 44 km of canter with 6 km of gallop")
def test_amounts_of_a_study__verheyen() -> None:
    first = workload.STUDIES[0]
    assert (first.fast_m, first.canter_m) == (6000.0, 44000.0)


def test_the_studies_disagree() -> None:
    """The page says so beside each amount: both ways must stand in the table."""
    ways = {study.more.split()[0] for study in workload.STUDIES}
    assert ways == {"more", "fewer"}


@pytest.mark.published("hitchens_2023", "the band that was tested, 15.5 to 16.7 m/s")
@pytest.mark.published("crawford_2021", "15 s and 13 s over 200 m")
def test_edges_between_classes_in_seconds_a_furlong() -> None:
    """The paces of the edges, over 201.168 m, as computed from the printed speeds."""
    edges = workload.PUBLISHED_EDGES
    assert [round(201.168 / edge, 2) for edge in edges["hitchens_2023"]] == [12.98, 12.05]
    assert [round(201.168 / edge, 2) for edge in edges["crawford_2021"]] == [15.09, 13.08]
    assert [round(201.168 / edge, 2) for edge in edges["verheyen_2006"]] == [14.37]


@pytest.mark.published("practice_usual_paces", "walk, jog, canter, gallop")
def test_usual_paces_lie_in_the_ranges_of_the_trade() -> None:
    printed = {row["activity"]: row for row in published_table("usual_paces.csv")}
    assert set(printed) == set(workload.USUAL_SPEEDS_M_S)
    for activity, speed in workload.USUAL_SPEEDS_M_S.items():
        row = printed[activity]
        assert float(row["slow_m_s"]) <= speed <= float(row["quick_m_s"])


@pytest.mark.published("munsters_2020", "odds ratios of this week and of the week before")
@pytest.mark.published("impellizzeri_2020", "c-statistics of the ratio and of the week alone")
def test_the_criticism_says_what_was_printed() -> None:
    printed = {
        (row["source"], row["what"]): float(row["value"])
        for row in published_table("week_against_month.csv")
    }
    this, before = (printed["munsters_2020", what] for what in ("this week", "week before"))
    assert this < 1 < before
    assert "opposite ways" in WEEK_AGAINST_MONTH
    ratio, week = (
        printed["impellizzeri_2020", f"c of the {what}"] for what in ("ratio", "week alone")
    )
    assert ratio - week < 0.05
    assert "hardly more" in WEEK_AGAINST_MONTH
    assert_published(workload.USUAL_SPEEDS_M_S["walk"], "1.79")
