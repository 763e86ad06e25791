"""Whatever a file holds, following it ends, and says something about it."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from racecalc.gps import Trace, follow
from tests.gps.ride import ANCHOR, DAY, FURLONG_M, Receiver, file_of, mile, on_the_ground, ride

BEGAN = pd.Timestamp("2026-10-06T11:30:00").value


def points_of(seconds, latitude, longitude) -> pd.DataFrame:
    stamps = BEGAN + np.asarray(seconds, dtype=np.float64) * 1e9
    return pd.DataFrame(
        {
            "time": pd.to_datetime(stamps.astype(np.int64)).astype("datetime64[ns]"),
            "latitude": np.asarray(latitude, dtype=np.float64),
            "longitude": np.asarray(longitude, dtype=np.float64),
        }
    )


def traced(points: pd.DataFrame, width_m: float | None = 24.0) -> Trace:
    trace = follow(
        points, mile(width=width_m), ANCHOR, 6 * FURLONG_M, 6 * FURLONG_M, DAY, FURLONG_M
    )
    assert list(trace.poles) == ["to_finish_m", "clock_s", "error_s"]
    assert list(trace.curve) == ["time_s", "to_finish_m", "speed_m_s", "out_m"]
    assert len(trace.poles) or trace.findings
    assert all(finding.sentence.endswith(".") for finding in trace.findings)
    assert not np.isinf(trace.poles.to_numpy()).any()
    assert trace.curve.notna().all().all()
    return trace


def code(trace: Trace) -> str:
    return trace.findings[0].code


def test_no_fix_one_fix_and_nothing_known():
    assert code(traced(points_of([], [], []))) == "too-few"
    assert code(traced(points_of([0], [39.5], [-86.0]))) == "too-few"
    nan = np.full(50, np.nan)
    trace = traced(points_of(np.arange(50), nan, nan))
    assert {finding.code for finding in trace.findings} == {"too-few", "unusable"}


def test_a_horse_that_stands_and_a_clock_that_stands():
    still = np.full(500, 39.5), np.full(500, -86.0)
    assert code(traced(points_of(np.arange(500), *still))) == "not-found"
    assert code(traced(points_of(np.zeros(500), *still))) == "too-few"


def test_a_hundred_thousand_fixes_of_noise_end():
    chance = np.random.default_rng(5)
    count = 100_000
    for step in (0.001, 0.1, 1.0, 40.0):
        where = chance.normal(0, 0.01, (2, count))
        traced(points_of(np.arange(count) * step, 39.5 + where[0], -86 + where[1]))


def test_a_hundred_thousand_fixes_round_and_round_end():
    track = mile()
    for pace in (16.0, -16.0, 300.0):
        left = -np.arange(100_000) * 0.05 * pace
        east, north = on_the_ground(track, ANCHOR, left, 1.0)
        metres = 111_030.0, 111_320.0 * np.cos(np.radians(39.5))
        points = points_of(
            np.arange(100_000) * 0.05, 39.5 + north / metres[0], -86 + east / metres[1]
        )
        traced(points)


finite = st.floats(-5000, 5000)
coordinate = st.one_of(
    st.floats(-0.02, 0.02), st.floats(allow_nan=True, allow_infinity=True), st.just(0.0)
)


@settings(deadline=None, max_examples=150)
@given(rows=st.lists(st.tuples(finite, coordinate, coordinate), max_size=60))
def test_any_fixes(rows):
    seconds, north, east = zip(*rows, strict=True) if rows else ((), (), ())
    traced(points_of(seconds, 39.5 + np.array(north), -86.0 + np.array(east)), None)


@settings(deadline=None, max_examples=120)
@given(data=st.data(), seed=st.integers(0, 2**32 - 1))
def test_a_work_with_anything_taken_out_or_moved(data, seed):
    """Fixes are dropped, thrown about, repeated and mixed up."""
    points = WORK.copy()
    chance = np.random.default_rng(seed)
    keep = data.draw(st.floats(0.02, 1.0))
    points = points[chance.random(len(points)) < keep]
    thrown = chance.random(len(points)) < data.draw(st.floats(0, 0.5))
    points.loc[thrown, "latitude"] += chance.normal(0, 0.003, int(thrown.sum()))
    late = chance.random(len(points)) < data.draw(st.floats(0, 0.3))
    points.loc[late, "time"] += pd.to_timedelta(chance.integers(-90, 90, int(late.sum())), "s")
    first = traced(points.sample(frac=1.2, replace=True, random_state=seed % 2**31))
    again = traced(points.sample(frac=1.2, replace=True, random_state=seed % 2**31))
    pd.testing.assert_frame_equal(first.poles, again.poles)
    assert first.findings == again.findings


WORK = file_of(mile(), ANCHOR, ride(6 * FURLONG_M, 6 * FURLONG_M), Receiver(1.0, 2.0))


@pytest.mark.parametrize("count", [8, 10, 15, 30])
def test_a_file_cut_short(count):
    traced(WORK.iloc[60 : 60 + count])
