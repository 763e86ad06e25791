"""What is a clip and what is none; and how finely written seconds are known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import gait
from racecalc.errors import OutOfRangeError

STEP = 1 / 240


@pytest.mark.parametrize(
    ("contacts", "step_s", "says"),
    [
        ({"XX": []}, STEP, "XX is no foot; feet are LH, LF, RH, RF"),
        ({"lh": [(0.0, 0.1)]}, STEP, "lh is no foot"),
        ({"LH": [(0.0, 0.1)]}, 0.0, "above zero"),
        ({"LH": [(0.0, 0.1)]}, -STEP, "above zero"),
        ({"LH": [(0.0, 0.1)]}, np.nan, "above zero"),
        ({"LH": [(0.0, 0.1)]}, np.inf, "above zero"),
        ({"LH": [(np.nan, 0.1)]}, STEP, "LH: a foot lands at a time"),
        ({"RF": [(np.inf, np.nan)]}, STEP, "RF: a foot lands at a time"),
        ({"RF": [(0.0, np.inf)]}, STEP, "RF: a foot lands at a time"),
        ({"LF": [(0.2, 0.1)]}, STEP, "LF: a contact ends after it began"),
        ({"LF": [(0.2, 0.2)]}, STEP, "LF: a contact ends after it began"),
        ({"LH": [(0.0, 0.3), (0.2, 0.5)]}, STEP, "LH: two contacts overlap"),
        ({"LH": [(0.2, 0.5), (0.0, 0.3)]}, STEP, "LH: two contacts overlap"),
        ({"LH": [(0.2, np.nan), (0.2, 0.5)]}, STEP, "LH: two contacts overlap"),
        ({"LH": [(0.0, 0.5), (0.2, np.nan)]}, STEP, "LH: two contacts overlap"),
    ],
)
def test_what_is_no_clip_is_refused(contacts: dict, step_s: float, says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        gait.make_clip(contacts, step_s)


def test_a_clip_puts_contacts_in_order_of_time() -> None:
    clip = gait.make_clip({"RH": [(1.0, 1.2), (0.0, np.nan), (0.5, 0.7)]}, STEP)
    assert clip.on_s["RH"].tolist() == [0.0, 0.5, 1.0]
    assert clip.stances_s("RH") == pytest.approx([np.nan, 0.2, 0.2], nan_ok=True)
    assert clip.seen == ("RH",)
    assert all(len(clip.on_s[foot]) == 0 for foot in ("LH", "LF", "RF"))


def test_a_contact_may_begin_where_the_last_ended() -> None:
    clip = gait.make_clip({"RH": [(0.0, 0.5), (0.5, 1.0)]}, STEP)
    assert len(clip.on_s["RH"]) == 2


def test_contacts_of_a_pair_come_by_time() -> None:
    clip = gait.make_clip({"RF": [(0.3, 0.4)], "LF": [(0.1, 0.2), (0.5, 0.6)]}, STEP)
    assert list(clip.of_pair("fore")) == [(0.1, "LF"), (0.3, "RF"), (0.5, "LF")]
    assert list(clip.of_pair("hind")) == []


@pytest.mark.parametrize(
    ("times", "step_s"),
    [
        ([0.1, 0.2, 0.4], 0.1),
        ([0.1, 0.24, 0.55], 0.01),
        ([0.123, 0.456, 0.789], 0.001),
        ([1, 2, 3], 1.0),
        ([0.0333, 0.1, 0.2667, 0.4333], 1 / 30),
        ([0.033, 0.100, 0.267, 0.433], 1 / 30),
        ([1 / 60, 3 / 60, 7 / 60], 1 / 60),
        ([0.12345678, 0.3, 0.7], 1e-4),
        ([1000.105, 1000.31, 1001.0], 0.001),
        ([123.4567, 124.1, 125.2], 0.0001),
    ],
)
def test_written_seconds_tell_how_finely_they_are_known(times: list, step_s: float) -> None:
    """By their last place, or by the frames on which all lie; also late in a long film."""
    assert gait.written_step_s(times) == pytest.approx(step_s)


@pytest.mark.parametrize("times", [[], [np.nan], [0.1, np.inf]])
def test_no_times_tell_nothing(times: list) -> None:
    with pytest.raises(OutOfRangeError, match="finite"):
        gait.written_step_s(times)


@given(
    st.sampled_from([24, 25, 30, 50, 60, 100, 120, 240]),
    st.lists(st.integers(0, 100_000), min_size=12, max_size=30, unique=True),
    st.sampled_from([4, 6, 12]),
)
def test_times_of_a_film_are_never_taken_for_finer(rate: int, frames: list, places: int) -> None:
    """With however many places they were written: as coarse as the frames, or coarser."""
    times = np.round(np.array(frames) / rate, places)
    assert gait.written_step_s(times) >= 1 / rate - 1e-12


@given(st.integers(0, 4), st.lists(st.integers(0, 10**6), min_size=1, max_size=20))
def test_times_are_never_taken_for_finer_than_they_were_written(places: int, units: list) -> None:
    times = np.round(np.array(units) / 10**places, places)
    assert gait.written_step_s(times) >= 10.0**-places - 1e-12


@given(st.lists(st.integers(0, 10**5), min_size=1, max_size=20), st.randoms())
def test_the_order_of_times_makes_no_difference(units: list, random) -> None:
    times = [unit / 1000 for unit in units]
    shuffled = random.sample(times, len(times))
    assert gait.written_step_s(shuffled) == gait.written_step_s(times)
