"""What a clip tells does not depend on how it was cut, shifted, slowed, ordered or mirrored."""

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from racecalc import gait
from tests.gait.schedules import GOLDEN, MIRRORED, Contacts, Horse, contacts, filmed, renamed

RATES = (30, 60, 120, 240)
SIDES = {"left": "right", "right": "left", None: None}


@st.composite
def films(draw: st.DrawFn) -> tuple[Contacts, float]:
    """Draw a film of a horse that is no machine, some landings missing, and its frame rate."""
    schedule = GOLDEN[draw(st.sampled_from(sorted(GOLDEN)))]
    rate = draw(st.sampled_from(RATES))
    rng = np.random.default_rng(draw(st.integers(0, 2**20)))
    horse = Horse(schedule, draw(st.floats(0.4, 1.2)), rng)
    film = filmed(horse.runs(draw(st.integers(1, 6))), rate)
    share = draw(st.sampled_from([0.0, 0.2]))
    return {
        foot: [pair for pair in pairs if rng.random() >= share] for foot, pairs in film.items()
    }, float(rate)


def told(reading: gait.ClipReading) -> dict[str, object]:
    """Return what a reading tells, without when."""
    cycle = reading.cycle
    begin = reading.strides[0].start_s if reading.strides else 0.0
    scale = reading.stride.mean_s if reading.stride else 1.0
    return {
        "gait": reading.gait,
        "leads": reading.leads,
        "averaged": reading.averaged,
        "strides": [one.leads for one in reading.strides],
        "starts": [(one.start_s - begin) / scale for one in reading.strides],
        "changes": [(c.stride, c.lead, c.first, c.between, c.whole) for c in reading.changes],
        "disunited": reading.disunited,
        "agree": reading.stride.agree if reading.stride else None,
        "duty": dict(cycle.duty) if cycle else None,
        "lag": gait.fore_lag(cycle) if cycle else None,
        "beats": gait.beats(cycle, reading.clip.step_s, scale) if cycle else None,
    }


def assert_same(one: dict[str, object], other: dict[str, object]) -> None:
    """Fail unless two readings tell the same, but for the rounding of floats."""
    floats = ("starts", "duty", "lag")
    assert {k: v for k, v in one.items() if k not in floats} == {
        k: v for k, v in other.items() if k not in floats
    }
    for key in floats:
        assert one[key] == (None if other[key] is None else pytest.approx(other[key], abs=1e-9))


def read(film: Contacts, step_s: float) -> dict[str, object]:
    return told(gait.read_clip(gait.make_clip(film, step_s)))


def moved(film: Contacts, scale: float, shift: float) -> Contacts:
    return {
        foot: [(on * scale + shift, off * scale + shift) for on, off in pairs]
        for foot, pairs in film.items()
    }


@given(films(), st.floats(-100, 100))
def test_when_it_begins_makes_no_difference(drawn: tuple[Contacts, float], shift: float) -> None:
    film, rate = drawn
    assert_same(read(moved(film, 1.0, shift), 1 / rate), read(film, 1 / rate))


@given(films(), st.floats(0.25, 4.0))
def test_how_fast_it_is_played_makes_no_difference(
    drawn: tuple[Contacts, float], scale: float
) -> None:
    """With the time between two frames, that is: a horse twice as slow, filmed at half the rate."""
    film, rate = drawn
    assert_same(read(moved(film, scale, 0.0), scale / rate), read(film, 1 / rate))


@given(films(), st.randoms(use_true_random=False))
def test_the_order_of_rows_makes_no_difference(
    drawn: tuple[Contacts, float], random: Random
) -> None:
    film, rate = drawn
    feet = list(film)
    random.shuffle(feet)
    shuffled = {foot: random.sample(film[foot], len(film[foot])) for foot in feet}
    assert_same(read(shuffled, 1 / rate), read(film, 1 / rate))


@given(films())
def test_a_mirror_exchanges_leads_and_nothing_else(drawn: tuple[Contacts, float]) -> None:
    film, rate = drawn
    one = gait.read_clip(gait.make_clip(film, 1 / rate))
    other = gait.read_clip(gait.make_clip(renamed(film, MIRRORED), 1 / rate))
    assert other.gait == one.gait
    assert other.averaged == one.averaged or one.leads == (None, None)
    assert other.leads == tuple(SIDES[lead] for lead in one.leads)
    assert other.disunited == one.disunited
    assert [c.lead for c in other.changes] == [SIDES[c.lead] for c in one.changes]
    assert [(c.stride, c.first, c.between, c.whole) for c in other.changes] == [
        (c.stride, c.first, c.between, c.whole) for c in one.changes
    ]
    if one.gait.name in gait.GAITS and one.leads != (None, None):
        assert one.cycle is not None
        assert other.cycle is not None
        mirrored = {MIRRORED[foot]: share for foot, share in other.cycle.duty.items()}
        assert mirrored == pytest.approx(dict(one.cycle.duty))


@settings(max_examples=200)
@given(
    st.sampled_from(sorted(GOLDEN)),
    st.integers(0, 20),
    st.integers(0, 20),
    st.integers(2, 4),
)
def test_a_film_may_begin_and_end_anywhere(name: str, cut: int, more: int, strides: int) -> None:
    """Landings before the first picture and after the last are not there: the gait is the same.

    Of a stride or two that are cut, a gait with couplets may lack what tells it.
    """
    golden = GOLDEN[name]
    begin, end = 1 + cut / 21 + 0.001, 2 + strides + more / 21 + 0.002
    film = {
        foot: [pair for pair in pairs if begin <= pair[0] < end]
        for foot, pairs in contacts(golden, strides + 4).items()
    }
    reading = gait.read_clip(gait.make_clip(film, 1e-6))
    assert reading.gait == gait.Gait(golden.gait)
    assert reading.leads == golden.leads
    assert len(reading.strides) - strides in (0, 1, 2)
    assert reading.cycle is not None
    expected = [golden.support.get(feet, 0.0) for feet in range(5)]
    assert gait.support_shares(reading.cycle) == pytest.approx(expected, abs=1e-6)


@given(films())
def test_reading_alters_nothing_and_repeats(drawn: tuple[Contacts, float]) -> None:
    film, rate = drawn
    clip = gait.make_clip(film, 1 / rate)
    before = {foot: clip.on_s[foot].copy() for foot in gait.FEET}
    assert_same(told(gait.read_clip(clip)), told(gait.read_clip(clip)))
    for foot in gait.FEET:
        assert np.array_equal(before[foot], clip.on_s[foot])


@given(films())
def test_a_name_is_one_of_those_listed_or_has_a_reason(drawn: tuple[Contacts, float]) -> None:
    film, rate = drawn
    found = gait.read_clip(gait.make_clip(film, 1 / rate)).gait
    if found.name == gait.UNCLEAR:
        assert found.why in gait.REASONS
        assert (len(found.between) > 1) == (found.why == "between")
    else:
        assert found.name in gait.GAITS
        assert (found.why, found.between) == (None, ())
