"""The error of a clock is the scatter that it has over many noises of a known kind."""

from dataclasses import replace

import numpy as np
import pytest

from racecalc.gps.clock import HALF_WIDTH_95, clock_errors_s, passings_s, smoothed
from racecalc.gps.smooth import (
    Noise,
    covariance,
    half_window_s,
    noise_of,
    smooth,
    weights,
)
from racecalc.track import bend_rad
from tests.gps.ride import Receiver, mile

PACE = 16.0
TIMES = np.arange(0.0, 90.0)


@pytest.mark.parametrize("lasting_s", [0.0, 10.0, 200.0])
def test_a_clock_scatters_as_its_error_says(lasting_s):
    """From the backstretch: to a place 40 m on, to mid-turn, to the home straight.

    A shift that lasts longer than the work hardly moves the first, and moves the last by twice
    itself, since the horse then runs the other way. Noise is drawn on two fixed axes.
    """
    start_m = 900.0
    places = np.array([start_m, 860.0, 516.0, 200.0])
    gone = PACE * (TIMES - 20.0)
    turned = bend_rad(mile(), start_m + 400.0, start_m - gone)
    turned -= np.interp(0.0, gone, turned)
    chance = np.random.default_rng(11)
    receiver, clocks, widths = Receiver(1.0, 1.5, lasting_s), [], []
    for _ in range(500):
        noise = receiver.errors(len(TIMES), chance)
        along = noise[:, 0] * np.cos(turned) + noise[:, 1] * np.sin(turned)
        across = noise[:, 1] * np.cos(turned) - noise[:, 0] * np.sin(turned)
        ride = smoothed(TIMES, np.column_stack([gone + along, across]), 1.0)
        passed, _ = passings_s(ride, start_m - places, 15)
        known = replace(ride, noise=Noise(1.5, lasting_s))
        clocks.append(passed - passed[0])
        widths.append(clock_errors_s(known, mile(), passed, places))
    scatter = np.std(clocks, axis=0)[1:]
    assert scatter == pytest.approx(np.mean(widths, axis=0)[1:] / HALF_WIDTH_95, rel=0.12)


def inferred(interval_s: float, lasting_s: float) -> tuple[Noise, np.ndarray]:
    """Return what is taken for the noise in a long file, and the smoothed noise."""
    times = np.arange(0.0, 3000.0, interval_s)
    half_s = half_window_s(interval_s)
    noise = Receiver(interval_s, 1.5, lasting_s).errors(len(times), np.random.default_rng(2))
    place, _ = smooth(times, noise, times, half_s)
    return noise_of(noise - place, interval_s, half_s), place


@pytest.mark.parametrize("interval_s", [0.1, 1.0])
def test_independent_noise_is_found_as_it_was_made(interval_s):
    found, _ = inferred(interval_s, 0.0)
    assert found.sigma_m == pytest.approx(1.5, rel=0.03)
    assert found.time_s < interval_s / 3


@pytest.mark.parametrize("interval_s", [0.1, 1.0])
@pytest.mark.parametrize("lasting_s", [0.5, 2.0])
def test_lasting_noise_is_taken_for_no_less_than_it_is(interval_s, lasting_s):
    """The residuals hardly tell noise of seconds from noise of half a minute; it errs upwards."""
    found, place = inferred(interval_s, lasting_s)
    times = np.arange(0.0, 60.0, interval_s)
    middle = weights(times, np.array([30.0]), half_window_s(interval_s))
    claimed = np.sqrt(covariance(times, middle, middle, found)[0])
    assert 0.95 * np.std(place) <= claimed <= 3.5 * np.std(place)


@pytest.mark.parametrize("series", [lambda t: 3 + 2 * t, lambda t: t**2 / 3 - t])
def test_a_parabola_is_smoothed_to_itself(series):
    times = np.sort(np.random.default_rng(4).uniform(0, 60, 80))
    at = np.linspace(5, 55, 21)
    place, speed = smooth(times, series(times)[:, None], at, 5.0)
    assert place[:, 0] == pytest.approx(series(at), abs=1e-8)
    slope = (series(at + 1e-4) - series(at - 1e-4)) / 2e-4
    assert speed[:, 0] == pytest.approx(slope, abs=1e-6)
