"""The error of the watch: published, or set by the barn; and what it makes of differences."""

import math

import numpy as np
import pytest

from racecalc import pace
from racecalc.errors import OutOfRangeError
from racecalc.sources import SOURCES

FIFTHS, HUNDREDTHS = (pace.clock_error_s(clock) for clock in ("fifths", "hundredths"))


@pytest.mark.parametrize(
    ("a_s", "b_s", "one_s", "differ"),
    [
        (73.4, 73.4, FIFTHS, False),
        (73.4, 73.2, FIFTHS, False),
        (73.4, 73.0, FIFTHS, True),
        (73.0, 73.4, FIFTHS, True),
        (73.41, 73.30, HUNDREDTHS, False),
        (73.41, 73.20, HUNDREDTHS, True),
        (73.4, 73.2, 0.1, True),
        (73.4, 73.0, 0.3, False),
    ],
)
def test_a_difference_must_pass_the_error(
    a_s: float, b_s: float, one_s: float, differ: bool
) -> None:
    assert pace.is_difference(a_s, b_s, one_s) is differ


def test_a_time_that_is_not_known_is_never_different() -> None:
    assert not pace.is_difference(math.nan, 73.4, FIFTHS)


def test_every_clock_error_names_its_source() -> None:
    assert pace.CLOCK_SOURCES.keys() == pace.CLOCK_ERROR_S.keys()
    for clock, key in pace.CLOCK_SOURCES.items():
        assert pace.clock_sources(clock) == (key,)
        assert key in SOURCES


@pytest.mark.parametrize("clock", pace.CLOCK_ERROR_S)
def test_what_the_barn_set_goes_before_and_has_no_source(clock: str) -> None:
    assert pace.clock_error_s(clock, 0.25) == 0.25
    assert pace.clock_sources(clock, 0.25) == ()


@pytest.mark.parametrize("own_s", [None, 0.2])
def test_an_unknown_clock_is_refused(own_s: float | None) -> None:
    for asked in (pace.clock_error_s, pace.clock_sources):
        with pytest.raises(OutOfRangeError, match="'sundial': write fifths or hundredths"):
            asked("sundial", own_s)


@pytest.mark.parametrize("one_s", [0.0, -0.2, math.inf, math.nan])
def test_an_error_that_is_none_is_refused(one_s: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"error of one time: .* give seconds above"):
        pace.difference_error_s(one_s)
    with pytest.raises(OutOfRangeError, match="give seconds above zero"):
        pace.clock_error_s("fifths", one_s)


@pytest.mark.parametrize("clock", pace.CLOCK_ERROR_S)
def test_two_times_of_one_thing_are_rarely_called_different(clock: str) -> None:
    """Simulated: rounded down to fifths, or with a normal hand; at most 5 in 100 are called so."""
    chance = np.random.default_rng(7)
    true_s = chance.uniform(60, 80, 100_000)
    one_s = pace.clock_error_s(clock)

    def by_hand() -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        if clock == "fifths":
            # Taken with another start of the fifth each time.
            return np.floor((true_s + chance.uniform(0, 0.2, true_s.size)) * 5) / 5
        return true_s + chance.normal(0, one_s / 1.96, true_s.size)

    apart = np.abs(by_hand() - by_hand())
    assert np.mean(apart > pace.difference_error_s(one_s)) <= 0.051
