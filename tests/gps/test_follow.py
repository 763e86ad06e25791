"""A simulated work comes back from a simulated receiver: pole times, path, and what is amiss."""

from datetime import timedelta

import numpy as np
import pandas as pd
import pytest

from racecalc.errors import OutOfRangeError
from racecalc.gps import Anchor, follow
from racecalc.track import extra_m, oval
from tests.gps.ride import (
    ANCHOR,
    DAY,
    FOOT_M,
    FURLONG_M,
    Receiver,
    Ride,
    file_of,
    joined,
    mile,
    ride,
)

SIX = 6 * FURLONG_M
QUIET = Receiver(sigma_m=0.0)
SEEDS = 80


def traced(points, track=None, anchor=ANCHOR, distance_m=SIX, start_m=SIX, day=DAY):
    return follow(points, track or mile(), anchor, distance_m, start_m, day, FURLONG_M)


def true_clocks(truth: Ride, poles: pd.DataFrame) -> np.ndarray:
    passed = np.array([truth.passing_s(place) for place in poles["to_finish_m"]])
    return passed - passed[0]


def codes(trace) -> set[str]:
    return {finding.code for finding in trace.findings}


def simulated(truth: Ride, receiver: Receiver, seeds: int = SEEDS) -> tuple:
    """Errors of the six pole times of many files of one ride, and the half widths they came with.

    The ground is worked out once; noise of metres is added in degrees, to a part in a thousand.
    """
    track = mile()
    still = file_of(track, ANCHOR, truth, Receiver(receiver.interval_s, 0.0))
    degree = 111_030.0, 111_320.0 * np.cos(np.radians(ANCHOR.latitude_deg))
    errors, widths = [], []
    for seed in range(seeds):
        noise = receiver.errors(len(still), np.random.default_rng(seed))
        points = still.assign(
            latitude=still["latitude"] + noise[:, 1] / degree[0],
            longitude=still["longitude"] + noise[:, 0] / degree[1],
        )
        poles = traced(points, track).poles
        error = poles["clock_s"] - true_clocks(truth, poles)
        errors.append(error[1:7])
        widths.append(poles["error_s"][1:7])
    return np.array(errors), np.array(widths)


@pytest.mark.parametrize("furlong_s", [12.0, 15.0])
def test_pole_times_at_one_hertz_are_within_a_fifth(furlong_s):
    errors, widths = simulated(ride(SIX, SIX, furlong_s), Receiver(1.0, 1.5))
    assert np.mean(np.abs(errors) <= 0.2) >= 0.95
    assert 0.91 <= np.mean(np.abs(errors) <= widths) <= 0.99


def test_pole_times_at_ten_hertz_are_within_a_tenth():
    errors, widths = simulated(ride(SIX, SIX), Receiver(0.1, 1.5), seeds=60)
    assert np.mean(np.abs(errors) <= 0.1) >= 0.95
    assert 0.91 <= np.mean(np.abs(errors) <= widths) <= 0.99


def test_noise_that_lasts_widens_the_errors():
    """A correlation of 0.9 from second to second: the file knows that it is worse, if not fully."""
    white = simulated(ride(SIX, SIX), Receiver(1.0, 1.5))[1]
    errors, widths = simulated(ride(SIX, SIX), Receiver(1.0, 1.5, lasting_s=9.5))
    assert np.mean(widths) > 1.3 * np.mean(white)
    assert 0.85 <= np.mean(np.abs(errors) <= widths) <= 0.99


def test_a_break_off_from_a_slow_canter_costs_little():
    errors, _ = simulated(ride(SIX, SIX, canter_m_s=5.0, wave=0.08), Receiver(1.0, 1.5))
    assert np.mean(np.abs(errors) <= 0.25) >= 0.95


def test_twice_the_noise_gives_twice_the_error():
    one = simulated(ride(SIX, SIX), Receiver(1.0, 1.0), 20)[1]
    two = simulated(ride(SIX, SIX), Receiver(1.0, 2.0), 20)[1]
    assert np.mean(two) == pytest.approx(2 * np.mean(one), rel=0.05)


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize(
    "anchor",
    [
        Anchor(0.001, 179.999, 0.0),
        Anchor(-33.9, 151.2, 300.0),
        Anchor(61.0, -149.8, 181.0),
        Anchor(51.0, 0.0, 90.0),
    ],
)
def test_without_noise_a_work_comes_back_wherever_the_track_lies(hand, anchor):
    track, truth = mile(hand), ride(SIX, SIX)
    noon = 12 - anchor.longitude_deg / 15
    start = pd.Timestamp(DAY) + pd.Timedelta(hours=noon)
    points = file_of(track, anchor, truth, QUIET, out_m=2.0, start=str(start))
    trace = traced(points, track, anchor)
    expected = true_clocks(truth, trace.poles)
    # The smoothed break-off at the start costs up to 0.05 s; from pole to pole there is none.
    assert trace.poles["clock_s"].to_numpy() == pytest.approx(expected, abs=0.05)
    splits = np.diff(trace.poles["clock_s"])[1:]
    assert splits == pytest.approx(np.diff(expected)[1:], abs=0.01)
    assert trace.out_m == pytest.approx(2.0, abs=0.02)
    assert trace.findings == ()


def test_the_gallop_out_has_its_poles():
    truth = ride(SIX, SIX)
    poles = traced(file_of(mile(), ANCHOR, truth)).poles
    slow = float(np.interp(SIX, SIX - truth.to_finish_m, truth.time_s))
    speed = -np.gradient(truth.to_finish_m, truth.time_s)
    stops = truth.to_finish_m[(truth.time_s > slow) & (speed < 10)][0]
    assert list(poles["to_finish_m"][:7]) == pytest.approx(list(np.arange(6, -1, -1) * FURLONG_M))
    past = -np.arange(1, np.floor(-stops / FURLONG_M) + 1) * FURLONG_M
    assert list(poles["to_finish_m"][7:]) == pytest.approx(list(past))
    assert len(past)


def test_a_wide_path_on_the_bends_is_measured():
    track, truth = mile(), ride(SIX, SIX)

    def out(left):
        bends = np.interp(left, [315.4 - 20, 315.4, 717.8, 717.8 + 20], [1.0, 6.0, 6.0, 1.0])
        return np.where(left > 0, bends, 1.0)

    trace = traced(file_of(track, ANCHOR, truth, out_m=out), track)
    curve = trace.curve
    bend = curve[(curve["to_finish_m"] > 330) & (curve["to_finish_m"] < 700)]
    assert bend["out_m"].median() == pytest.approx(6.0, abs=0.7)
    edges = np.linspace(SIX, 0, 2000)
    true = extra_m(track, out((edges[1:] + edges[:-1]) / 2), edges[:-1], edges[1:]).sum()
    # Six metres on the whole far turn, one on the end of the first turn.
    first_rad = (SIX - 3675 * FOOT_M) / track.turn_radius_m
    assert true == pytest.approx(6 * np.pi + first_rad, abs=0.1)
    assert trace.extra_m == pytest.approx(true, abs=2.0)


def test_a_work_that_passes_the_finish_and_starts_in_mid_turn():
    start, distance = 3 * FURLONG_M + 5280 * FOOT_M, 9 * FURLONG_M
    truth = ride(start, distance)
    trace = traced(file_of(mile(), ANCHOR, truth), distance_m=distance, start_m=start)
    inside = trace.poles[trace.poles["to_finish_m"] >= start - distance - 1e-6]
    assert list(inside["to_finish_m"]) == pytest.approx(list(np.arange(11, 1, -1) * FURLONG_M))
    error = inside["clock_s"].to_numpy() - true_clocks(truth, inside)
    assert np.abs(error).max() < 0.35
    assert codes(trace) == set()


def test_a_start_and_an_end_between_poles_have_rows():
    start, distance = 1000.0, 900.0
    trace = traced(
        file_of(mile(), ANCHOR, ride(start, distance)), distance_m=distance, start_m=start
    )
    places = list(trace.poles["to_finish_m"])
    assert places[:6] == pytest.approx([1000.0, *np.arange(4, 0, -1) * FURLONG_M, 100.0])


def test_a_lap_that_is_no_multiple_of_the_spacing_counts_from_each_finish():
    track = oval(1700.0, 420.0, 90.0, width=25.0)
    truth = ride(1900.0, 1900.0)
    trace = traced(file_of(track, ANCHOR, truth), track, distance_m=1900.0, start_m=1900.0)
    places = trace.poles["to_finish_m"].to_numpy()
    assert places[:3] == pytest.approx([1900.0, 1700.0, 8 * FURLONG_M])


def test_a_jog_over_the_start_and_back_does_not_start_the_clock():
    """The horse passes its start, is turned, goes back behind it, and only then breaks off."""
    track, work = mile(), ride(SIX, SIX, jog_s=30)
    to = np.linspace(SIX + 100, SIX - 80, 4500)
    back = np.linspace(SIX - 80, work.to_finish_m[0], 6000)
    paths = (to, back)
    parts = [Ride(np.arange(len(path)) * 0.01, path) for path in paths]
    truth = joined(*parts, work)
    trace = traced(file_of(track, ANCHOR, truth), track)
    expected = [work.passing_s(place) - work.passing_s(SIX) for place in (SIX, 0.0)]
    got = trace.poles.set_index(trace.poles["to_finish_m"].round(3))["clock_s"]
    assert got[0.0] == pytest.approx(expected[1], abs=0.3)
    assert codes(trace) == set()


def test_a_pole_in_a_gap_has_no_time_and_the_others_keep_theirs():
    truth = ride(SIX, SIX)
    passed = truth.passing_s(3 * FURLONG_M)
    points = file_of(mile(), ANCHOR, truth, Receiver(drop_s=((passed - 3, passed + 3),)))
    trace = traced(points)
    missing = trace.poles[trace.poles["clock_s"].isna()]
    assert list(missing["to_finish_m"]) == pytest.approx([3 * FURLONG_M])
    assert missing["error_s"].isna().all()
    assert codes(trace) == {"gap"}
    assert "a gap of" in trace.findings[0].sentence
    kept = trace.poles.dropna()
    assert kept["clock_s"].to_numpy() == pytest.approx(true_clocks(truth, kept), abs=0.3)


def test_without_its_start_a_work_has_no_clock():
    truth = ride(SIX, SIX)
    begun = truth.passing_s(SIX)
    gap = traced(file_of(mile(), ANCHOR, truth, Receiver(drop_s=((begun - 3, begun + 3),))))
    assert gap.poles["clock_s"].isna().all()
    late = traced(file_of(mile(), ANCHOR, truth, Receiver(drop_s=((0, begun + 10),))))
    assert late.poles["clock_s"].isna().all()
    assert codes(late) == {"starts-late"}
    assert len(late.curve) > 50
    early = traced(file_of(mile(), ANCHOR, truth, Receiver(drop_s=((begun + 60, 1e9),))))
    assert codes(early) == {"ends-early"}
    assert early.poles["clock_s"].notna().sum() == 5
    both = Receiver(drop_s=((0, begun + 10), (begun + 60, 1e9)))
    assert codes(traced(file_of(mile(), ANCHOR, truth, both))) == {"starts-late", "ends-early"}


def test_the_wrong_way_round_is_said():
    """The track is entered as left-handed, with the bearing of a right-handed one."""
    track = mile(width=2 * 3 * FOOT_M)  # the anchor on the line, so that both ovals coincide
    points = file_of(track, ANCHOR, ride(SIX, SIX))
    other = oval(5280 * FOOT_M, 1320 * FOOT_M, 1035 * FOOT_M, hand="right", width=2 * 3 * FOOT_M)
    turned = Anchor(ANCHOR.latitude_deg, ANCHOR.longitude_deg, (ANCHOR.bearing_deg + 180) % 360)
    trace = traced(points, other, turned)
    assert codes(trace) == {"reversed"}
    assert trace.poles.empty
    assert list(trace.poles) == ["to_finish_m", "clock_s", "error_s"]


def test_another_track_is_said():
    points = file_of(mile(), ANCHOR, ride(SIX, SIX))
    trace = traced(points, anchor=Anchor(39.518, -86.0, 68.0))
    assert codes(trace) == {"elsewhere"}
    assert trace.curve.empty


@pytest.mark.parametrize("days", [-1, 1, 30])
def test_another_day_is_said(days):
    points = file_of(mile(), ANCHOR, ride(SIX, SIX))
    assert codes(traced(points, day=DAY + timedelta(days=days))) == {"other-day"}


@pytest.mark.parametrize("clock", ["04:00", "06:30", "11:00", "19:00"])
@pytest.mark.parametrize("ahead_h", [-2, 0, 2, 3])
def test_a_morning_by_any_clock_is_of_its_day(clock, ahead_h):
    """Clocks are ahead of the sun by up to three hours in places."""
    utc = pd.Timestamp(f"{DAY} {clock}") - pd.Timedelta(hours=ANCHOR.longitude_deg / 15 + ahead_h)
    points = file_of(mile(), ANCHOR, ride(SIX, SIX), start=str(utc))
    assert codes(traced(points)) == set()


def test_two_works_are_said_and_the_quicker_is_taken():
    first, second = ride(SIX, SIX, 12.5), ride(SIX, SIX, 12.0)
    trace = traced(file_of(mile(), ANCHOR, joined(first, second)))
    assert codes(trace) == {"two-works"}
    expected = second.passing_s(0.0) - second.passing_s(SIX)
    got = trace.poles.loc[trace.poles["to_finish_m"].abs() < 1e-6, "clock_s"].iloc[0]
    assert got == pytest.approx(expected, abs=0.3)


def test_a_second_work_over_other_ground_is_said_and_a_slow_gallop_is_not():
    truth = ride(SIX, SIX)
    other = ride(2 * FURLONG_M, 3 * FURLONG_M)
    assert codes(traced(file_of(mile(), ANCHOR, joined(truth, other)))) == {"two-works"}
    gallop = ride(SIX, SIX, 17.0)
    assert codes(traced(file_of(mile(), ANCHOR, joined(gallop, truth)))) == set()


def test_a_work_at_a_jog_is_called_slow():
    truth = ride(SIX, SIX, 40.0, canter_m_s=5.0)
    trace = traced(file_of(mile(), ANCHOR, truth))
    assert codes(trace) == {"slow"}
    assert trace.poles["clock_s"].notna().all()


def test_a_file_that_never_runs_the_work_is_not_found():
    truth = ride(6 * FURLONG_M, 2 * FURLONG_M, after_s=20, jog_s=20)
    points = file_of(mile(), ANCHOR, truth)
    trace = traced(points, start_m=2 * FURLONG_M, distance_m=2 * FURLONG_M)
    assert codes(trace) == {"not-found"}


def test_sparse_fixes_and_an_unknown_width_are_said():
    track = mile(width=None)
    trace = traced(file_of(track, ANCHOR, ride(SIX, SIX), Receiver(5.0)), track)
    assert codes(trace) == {"sparse", "no-width"}


@pytest.mark.parametrize("interval_s", [8.0, 12.0, 20.0])
def test_fixes_too_sparse_for_any_pole_give_none(interval_s):
    trace = traced(file_of(mile(), ANCHOR, ride(SIX, SIX), Receiver(interval_s)))
    assert codes(trace) & {"sparse", "too-few"}
    assert not trace.poles["clock_s"][1:].notna().any()


def test_disorder_is_put_right_and_said():
    points = file_of(mile(), ANCHOR, ride(SIX, SIX))
    plain = traced(points)
    mixed = pd.concat([points, points.iloc[[40, 41]]]).sample(frac=1, random_state=3)
    trace = traced(mixed)
    pd.testing.assert_frame_equal(trace.poles, plain.poles)
    assert codes(trace) == {"times"}
    lost = points.copy()
    lost.loc[5:7, "latitude"] = np.nan
    lost.loc[9, "time"] = pd.NaT
    assert "4 of" in traced(lost).findings[0].sentence
    assert codes(traced(lost)) == {"unusable"}


def test_one_fix_far_off_moves_nothing():
    """A fix at the eighth pole is thrown 25 m ahead, along the home straight."""
    truth = ride(SIX, SIX)
    points = file_of(mile(), ANCHOR, truth)
    plain = traced(points)
    at = int(truth.passing_s(FURLONG_M))
    heading = np.radians(ANCHOR.bearing_deg)
    thrown = points.copy()
    thrown.loc[at, "latitude"] += 25 * np.cos(heading) / 111_030
    thrown.loc[at, "longitude"] += 25 * np.sin(heading) / 85_900
    trace = traced(thrown)
    assert trace.poles["clock_s"].to_numpy() == pytest.approx(plain.poles["clock_s"], abs=0.1)


def test_times_with_a_zone_are_the_same_times():
    points = file_of(mile(), ANCHOR, ride(SIX, SIX))
    zoned = points.assign(time=points["time"].dt.tz_localize("UTC"))
    pd.testing.assert_frame_equal(traced(zoned).poles, traced(points).poles)


@pytest.mark.parametrize(
    "wrong", [{"distance_m": 0.0}, {"spacing_m": -1.0}, {"start_m": float("nan")}]
)
def test_an_impossible_length_is_refused(wrong):
    given = {"distance_m": SIX, "start_m": SIX, "spacing_m": FURLONG_M} | wrong
    points = file_of(mile(), ANCHOR, ride(SIX, SIX))
    with pytest.raises(OutOfRangeError, match="give"):
        follow(points, mile(), ANCHOR, day=DAY, **given)
