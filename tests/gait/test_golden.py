"""Schedules of this project's own design, whose values follow by exact arithmetic."""

from itertools import pairwise

import pytest

from racecalc import gait
from racecalc.errors import OutOfRangeError
from racecalc.gait.support import support_over_time
from tests.gait.schedules import FINE_S, GOLDEN, MIRRORED, Schedule, clip_of


@pytest.fixture(params=GOLDEN)
def golden(request: pytest.FixtureRequest) -> Schedule:
    return GOLDEN[request.param]


def cycle_of(golden: Schedule) -> gait.Cycle:
    cycle = gait.read_clip(clip_of(golden)).cycle
    assert cycle is not None
    return cycle


def test_each_has_its_name_and_its_leads(golden: Schedule) -> None:
    reading = gait.read_clip(clip_of(golden))
    assert reading.gait == gait.Gait(golden.gait)
    assert reading.leads == golden.leads
    assert reading.changes == ()


def test_strides_are_counted_and_timed(golden: Schedule) -> None:
    reading = gait.read_clip(clip_of(golden, strides=5, stride_s=0.42))
    assert len(reading.strides) == 5
    assert reading.averaged == 5
    assert reading.stride is not None
    assert reading.stride.mean_s == pytest.approx(0.42)
    assert (reading.stride.feet, reading.stride.strides) == (4, 16)
    assert reading.stride.agree
    times = [one.time_s for one in reading.strides]
    assert times == pytest.approx([0.42] * 4 + [None])


def test_the_feet_that_are_down_add_up_to_a_stride(golden: Schedule) -> None:
    shares = gait.support_shares(cycle_of(golden))
    expected = [golden.support.get(feet, 0.0) for feet in range(5)]
    assert shares == pytest.approx(expected, abs=1e-9)
    assert sum(shares) == pytest.approx(1)


def test_flights_lie_where_they_should(golden: Schedule) -> None:
    found = [share for pair in gait.flights(cycle_of(golden)) for share in pair]
    assert found == pytest.approx([share for pair in golden.flights for share in pair], abs=1e-9)


def test_beats_are_heard(golden: Schedule) -> None:
    assert gait.beats(cycle_of(golden), FINE_S, 1.0) == (golden.beats, golden.even)


@pytest.mark.parametrize("name", [name for name, one in GOLDEN.items() if one.lag is not None])
def test_fore_feet_follow_hind_feet(name: str) -> None:
    lag = GOLDEN[name].lag
    lags = gait.fore_lag(cycle_of(GOLDEN[name]))
    assert lags == pytest.approx({"left": lag, "right": lag}, abs=1e-9)


def test_disunited_strides_are_those_whose_leads_differ(golden: Schedule) -> None:
    hind, fore = golden.leads
    reading = gait.read_clip(clip_of(golden, strides=3))
    assert reading.disunited == ((1, 2, 3) if hind != fore else ())


def test_a_racing_gallop_covers_its_ground_and_flies_for_78_ms() -> None:
    reading = gait.read_clip(clip_of(GOLDEN["gallop 17 m/s"], stride_s=0.42))
    assert reading.stride is not None
    assert reading.cycle is not None
    assert float(gait.stride_length_m(17.0, reading.stride.mean_s)) == pytest.approx(7.14)
    assert 0.42 * gait.support_shares(reading.cycle)[0] == pytest.approx(0.078)


def test_a_flight_across_the_beginning_of_a_stride_is_one() -> None:
    """A pace begun while in flight: its flight is not cut in two."""
    on = {foot: (at + 0.05) % 1 for foot, at in GOLDEN["pace"].on.items()}
    cycle = gait.Cycle(on, GOLDEN["pace"].duty, dict.fromkeys(on, 1))
    found = [share for pair in gait.flights(cycle) for share in pair]
    assert found == pytest.approx([0.45, 0.55, 0.95, 1.05])


def test_a_foot_that_is_always_down_is_counted_once() -> None:
    standing = gait.Cycle(GOLDEN["walk"].on, dict.fromkeys(gait.FEET, 1.0), {})
    assert gait.support_shares(standing) == (0, 0, 0, 0, 1)


def test_left_and_right_golden_schedules_are_mirrors() -> None:
    for name in ("canter", "gallop"):
        right, left = GOLDEN[f"{name} right"], GOLDEN[f"{name} left"]
        assert {MIRRORED[foot]: at for foot, at in right.on.items()} == left.on
        assert (right.leads, left.leads) == (("right", "right"), ("left", "left"))


def test_support_is_refused_where_a_foot_is_unknown() -> None:
    lame = gait.Cycle({"LH": 0.0}, {"LH": 0.5}, {"LH": 1})
    assert not lame.whole
    with pytest.raises(OutOfRangeError, match="all four feet"):
        gait.support_shares(lame)
    assert gait.beats(lame, 0.01, 1.0) is None


@pytest.mark.parametrize("strides", [2, 3])
def test_support_over_time_is_that_of_the_mean_stride(golden: Schedule, strides: int) -> None:
    """Between the first stride and the last, moment by moment."""
    pieces = support_over_time(clip_of(golden, strides + 2), 1.0)
    shares = [0.0] * 5
    for low, high, feet in pieces:
        shares[feet] += max(0.0, min(high, 1 + strides) - max(low, 1.0)) / strides
    expected = [golden.support.get(feet, 0.0) for feet in range(5)]
    assert shares == pytest.approx(expected, abs=1e-9)
    assert all(one[1] == two[0] and one[2] != two[2] for one, two in pairwise(pieces))
