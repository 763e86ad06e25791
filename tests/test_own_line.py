"""The horse's own line: calibrated, robust, forwards in time; never six furlongs with 1200 m."""

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from racecalc.errors import OutOfRangeError
from racecalc.own_line import (
    FEWEST_WORKS,
    WINDOW_DAYS,
    expectation,
    expectations,
    fit,
    state_effects,
)
from racecalc.units import FURLONG_M
from tests.invented_string import LAST, NOISE, STATES, String, foretold

SIX = {"date": LAST, "track": "oval", "distance_m": 6 * FURLONG_M, "state": "fast"}


def six_furlongs(times: list[float], horse: object = "other", **change: object) -> pd.DataFrame:
    """Works of six furlongs a few days before `LAST`, all alike but for their times."""
    days = [LAST - pd.Timedelta(days=1 + number) for number in range(len(times))]
    return pd.DataFrame({**SIX, "date": days, "horse": horse, "time_s": times, **change})


def split(works: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    mine = works["horse"] == 0
    return works[mine], works[~mine]


@pytest.mark.parametrize(
    ("works", "mistimed", "wider"),
    [(30, 0.0, 2.3), (100, 0.0, 1.3), (300, 0.0, 1.1), (100, 0.03, 1.5), (300, 0.03, 1.4)],
)
def test_95_of_100_works_fall_inside_and_the_interval_is_not_just_wide(works, mistimed, wider):
    """Against one who knows every effect and the noise, and needs 1.96 deviations of it."""
    told = pd.concat([foretold(String(seed), works, mistimed=mistimed) for seed in range(40)])
    told = told[told["expected_s"].notna()]
    assert len(told) > 900
    most = 0.975 if works >= 100 else 0.985
    assert 0.925 <= (told["verdict"] == "as expected").mean() <= most
    half_width = (told["high_s"] - told["low_s"]) / 2
    knowing = 1.96 * NOISE * told["middle_s"]
    assert 1 <= (half_width / knowing).mean() < wider


def test_works_left_out_of_a_string_fall_inside():
    works = String(5).works(150, mistimed=0.03)
    inside = []
    for place, row in enumerate(works.to_dict("records")):
        rest = works.drop(index=place)
        mine = rest["horse"] == row["horse"]
        told = expectation(row | {"date": LAST}, rest[mine], rest[~mine], 0.0)
        if told is not None:
            inside.append(told.low_s <= row["time_s"] <= told.high_s)
    assert len(inside) > 140
    assert 0.9 <= np.mean(inside) <= 0.99


@pytest.mark.parametrize("seed", range(5))
def test_the_direction_of_a_wet_track_is_learned_track_by_track(seed):
    effects = state_effects(fit(String(seed).works(300))).set_index(["track", "state"])
    assert effects.loc[("clay", "muddy"), "low"] > 1
    assert effects.loc[("sand", "muddy"), "high"] < 1
    for (track, state), row in effects.iterrows():
        assert row["low"] - 0.004 < math.exp(STATES[track][state]) < row["high"] + 0.004
        assert row["against"] == "fast"


def test_a_horse_moves_from_its_string_to_its_own_mean_as_its_works_add_up():
    string = pd.concat(
        six_furlongs([73.0 + 0.3 * horse, 73.2 + 0.3 * horse, 73.4 + 0.3 * horse], horse)
        for horse in range(-3, 4)
    )
    told = [
        expectation(SIX, six_furlongs([70.0 + 0.1 * (k % 3) for k in range(works)]), string, 0.0)
        for works in (0, 1, 2, 5, 20)
    ]
    times = [one.time_s for one in told]
    assert times[0] == pytest.approx(73.2, abs=0.1)
    assert times == sorted(times, reverse=True)
    assert times[-1] == pytest.approx(70.1, abs=0.3)
    assert [one.own for one in told] == [0, 1, 2, 5, 20] == [one.own_alike for one in told]
    assert {one.string for one in told} == {21}
    assert told[-1].high_s - told[-1].low_s < told[0].high_s - told[0].low_s


def test_a_horse_whose_form_has_changed_is_expected_to_run_as_of_late():
    string = pd.concat(six_furlongs([73.0, 73.4] * 20, horse) for horse in range(4))
    ago = [*range(1, 13), *range(200, 260, 5)]
    times = [71.0, 71.4] * 6 + [73.0, 73.4] * 6
    days = [LAST - pd.Timedelta(days=days) for days in ago]
    told = expectation(SIX, six_furlongs(times).assign(date=days), string, 0.0)
    assert 71.0 < told.time_s < 71.8
    turned = expectation(SIX, six_furlongs(times[::-1]).assign(date=days), string, 0.0)
    assert 72.6 < turned.time_s < 73.4


@pytest.mark.parametrize("wrong_s", [-5.0, 5.0, 60.0])
def test_one_mistimed_work_moves_the_line_little(wrong_s):
    works = String(3).works(200)
    asked = String(3).works(1, last_day=True, horse=0).iloc[0]
    right = expectation(asked, *split(works), 0.0)
    place = works.index[works["horse"] == 0][-1]
    works.loc[place, "time_s"] += wrong_s
    wrong = expectation(asked, *split(works), 0.0)
    assert abs(wrong.time_s - right.time_s) < 0.15
    assert (wrong.high_s - wrong.low_s) < 1.3 * (right.high_s - right.low_s)


def test_six_furlongs_and_1200_m_are_two_distances():
    own = six_furlongs([73.0] * 3)
    metric = six_furlongs([72.0 + 0.1 * k for k in range(20)], distance_m=1200.0)
    asked = SIX | {"distance_m": 1200.0}
    assert expectation(SIX, own.iloc[:0], metric, 0.0) is None
    assert expectation(asked, own, metric.iloc[:0], 0.0) is None
    told = expectation(SIX, own, metric, 0.0)
    assert (told.own, told.own_alike, told.string) == (3, 3, 20)
    assert expectation(asked, own, metric, 0.0).own_alike == 0
    assert fit(pd.concat([own, metric])).learned.levels[2].keys() == {
        ("oval", 2414.0),
        ("oval", 2400.0),
    }


def test_only_earlier_works_of_the_year_before_count():
    works = six_furlongs([73.0 + 0.1 * k for k in range(12)])
    told = expectation(SIX, works.iloc[:4], works.iloc[4:], 0.0)
    late = six_furlongs([60.0] * 3).assign(date=[LAST, LAST + pd.Timedelta(days=1), pd.NaT])
    old = six_furlongs([60.0]).assign(date=LAST - pd.Timedelta(days=WINDOW_DAYS + 1))
    beside = pd.concat([late, old], ignore_index=True)
    own, string = works.iloc[:4], works.iloc[4:]
    assert expectation(SIX, pd.concat([own, beside]), string, 0.0) == told
    assert expectation(SIX, own, pd.concat([string, beside]), 0.0) == told
    edge = six_furlongs([72.0]).assign(date=LAST - pd.Timedelta(days=WINDOW_DAYS))
    with_edge = expectation(SIX, pd.concat([own, edge]), string, 0.0)
    assert with_edge.own == 5
    assert with_edge.time_s < told.time_s


def test_too_little_to_go_by_says_nothing():
    works = six_furlongs([73.0 + 0.1 * k for k in range(FEWEST_WORKS)])
    none = works.iloc[:0]
    assert expectation(SIX, none, works, 0.0) is not None
    assert expectation(SIX, works.iloc[1:], none, 0.0) is None
    assert expectation(SIX | {"track": "elsewhere"}, none, works, 0.0) is None
    assert expectation(SIX | {"distance_m": None}, none, works, 0.0) is None
    assert expectation(SIX | {"date": None}, none, works, 0.0) is None
    assert expectation(SIX, none, works.assign(time_s=[np.nan, *works["time_s"][1:]]), 0.0) is None


def test_what_was_never_seen_widens_the_interval():
    works = String(8).works(200)
    asked = String(8).works(1, last_day=True, horse=0).iloc[0].to_dict() | {"state": "fast"}
    told = expectation(asked, *split(works), 0.0)
    strange = expectation(asked | {"state": "frozen"}, *split(works), 0.0)
    new_horse = expectation(asked, works.iloc[:0], split(works)[1], 0.0)
    for other in (strange, new_horse):
        assert other.high_s / other.low_s > 1.01 * told.high_s / told.low_s


def test_times_are_never_trusted_beyond_the_clock():
    works = six_furlongs([73.2] * 60)
    exact, clocked = (expectation(SIX, works, works.iloc[:0], error) for error in (0.0, 1.5))
    assert clocked.time_s == exact.time_s == pytest.approx(73.2, abs=0.01)
    assert exact.high_s - exact.low_s < 1
    assert (clocked.high_s - clocked.low_s) / 2 == pytest.approx(1.5, rel=0.1)


def test_missing_words_are_a_label_of_their_own():
    works = String(2).works(120).drop(columns=["manner"])
    own, string = split(works.assign(effort=None, from_gate=pd.NA))
    told = expectation(own.iloc[0].to_dict() | {"date": LAST}, own, string, 0.0)
    categories = {name: pd.CategoricalDtype() for name in ("track", "state")}
    asked = {name: own.iloc[0][name] for name in ("track", "distance_m", "state")} | {"date": LAST}
    again = expectation(asked, own.astype(categories), string.astype({"track": "string"}), 0.0)
    assert told == again
    effects = state_effects(fit(works.assign(state=None)))
    assert effects.empty


def test_many_works_are_compared_as_one_by_one():
    works = String(4).works(150)
    own, string = split(works)
    own = own.sort_values("date").reset_index(drop=True)
    own.loc[len(own) - 1, "time_s"] = np.nan
    own.loc[len(own) - 2, "time_s"] *= 0.9
    own.loc[len(own) - 3, "time_s"] *= 1.1
    asked = own["work"].tolist()[::-1]
    told = expectations(own, string, 0.1, asked)
    assert told["work"].tolist() == asked
    assert told["verdict"].tolist()[:3] == [None, "quicker", "slower"]
    assert "as expected" in set(told["verdict"])
    for row in told.itertuples():
        place = own[own["work"] == row.work].iloc[0]
        alone = expectation(place, own, string, 0.1)
        if alone is None:
            assert row.verdict is None
            assert math.isnan(row.expected_s)
        else:
            assert (row.expected_s, row.low_s, row.high_s) == pytest.approx(
                (alone.time_s, alone.low_s, alone.high_s)
            )
            assert (row.own, row.own_alike, row.string) == (
                alone.own,
                alone.own_alike,
                alone.string,
            )
    assert expectations(own, string, 0.1, []).columns.tolist() == told.columns.tolist()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"time_s": 0.0}, "time_s of a work: 0 found; give a value above zero"),
        ({"distance_m": -1.0}, "distance_m of a work: -1 found; give a value above zero"),
    ],
)
def test_an_impossible_work_is_refused(change, says):
    works = six_furlongs([73.0] * 9, **change)
    with pytest.raises(OutOfRangeError, match=says):
        fit(works)


def test_an_impossible_clock_or_an_unknown_work_is_refused():
    works = six_furlongs([73.0] * 9, work=[f"w{k}" for k in range(9)])
    for error_s in (-0.1, math.nan, math.inf):
        with pytest.raises(OutOfRangeError, match="clock error"):
            expectation(SIX, works, works.iloc[:0], error_s)
    with pytest.raises(OutOfRangeError, match="work 'w9' is there 0 times"):
        expectations(works, works.iloc[:0], 0.1, ["w9"])


@settings(max_examples=15)
@given(seed=st.integers(0, 10**6), scale=st.floats(0.5, 2.0), works=st.integers(10, 80))
def test_no_unit_of_time_no_order_of_rows_and_no_other_horse_changes_what_is_its_own(
    seed, scale, works
):
    string = String(seed, horses=4)
    table = string.works(works)
    asked = string.works(1, last_day=True, horse=0).iloc[0].to_dict()
    told = expectation(asked, *split(table), 0.0)
    shuffled = table.sample(frac=1, random_state=seed)
    again = expectation(asked, *split(shuffled), 0.0)
    scaled = expectation(asked, *split(table.assign(time_s=table["time_s"] * scale)), 0.0)
    more = pd.concat([table, string.works(5, horse=3)])
    joined = expectation(asked, *split(more), 0.0)
    if told is None:
        assert again is None
        assert scaled is None
        return
    times = np.array([told.time_s, told.low_s, told.high_s])
    assert [again.time_s, again.low_s, again.high_s] == pytest.approx(times, rel=1e-6)
    assert [scaled.time_s, scaled.low_s, scaled.high_s] == pytest.approx(times * scale, rel=1e-6)
    assert (joined.own, joined.own_alike) == (told.own, told.own_alike)
    assert joined.string == told.string + 5
    assert told.low_s < told.time_s < told.high_s
