"""The footing of the days to come: a forecast's rain drawn many times, and the track dried by it.

On each day it rains by the forecast's chance, and if it does, an amount from a gamma distribution
with the forecast's mean (Richardson's generator of weather, with a forecast in place of a
climate). Days are drawn independently. The draws are seeded: the same forecast gives the same
chances, and a wetter forecast never drier ones.

Sources: ``richardson_1981``; ``rain_shapes`` (the shape of the amounts).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.special import gammaincinv

from racecalc.errors import OutOfRangeError
from racecalc.surface.learned import BEFORE_WORK, WordCurves
from racecalc.weather import Layer, dry_day, drying_index

__all__ = [
    "DRAWS",
    "RAIN_SHAPE",
    "ForecastDay",
    "draw_rain",
    "mornings",
    "start_from_word",
    "word_chances",
]

FloatArray = npt.NDArray[np.float64]

RAIN_SHAPE = 0.8
"""The shape of rain amounts on wet days: 0.76 in Innsbruck, 0.96 in the United Kingdom."""

DRAWS = 10_000
"""How often each forecast is drawn: chances are good to half a percent."""

_SEED = 56
# The index from which a word may have come, where only the word is known.
_DRIEST, _STEPS = 1.0, 400


@dataclass(frozen=True)
class ForecastDay:
    """One day of a forecast: the chance of rain (0 to 1), the mean amount if it rains, the ET."""

    rain_chance: float
    rain_mm: float
    et_mm: float

    def __post_init__(self) -> None:
        if not 0 <= self.rain_chance <= 1:
            raise OutOfRangeError(f"rain chance: {self.rain_chance:g} found; give 0 to 1")
        if not (self.rain_mm >= 0 and self.et_mm >= 0):
            raise OutOfRangeError(
                f"rain {self.rain_mm:g} mm, evapotranspiration {self.et_mm:g} mm found; give zero "
                "or more"
            )


def draw_rain(
    days: Sequence[ForecastDay], draws: int = DRAWS, shape: float = RAIN_SHAPE, seed: int = _SEED
) -> FloatArray:
    """Draw the rain of each day, in mm: one row a draw, one column a day.

    References
    ----------
    richardson_1981; rain_shapes.

    Examples
    --------
    >>> rain = draw_rain([ForecastDay(0.7, 8.0, 4.0)], 100_000, shape=1.0)
    >>> bool(abs((rain > 2.5).mean() - 0.7 * np.exp(-2.5 / 8)) < 0.005)
    True
    """
    found = np.empty((draws, len(days)))
    sizes = _sizes(draws, shape)
    for at, day in enumerate(days):
        # All days have their numbers, wet or dry: no day's forecast moves another day, and how many
        # days are told of makes no difference.
        wet = _even(draws, seed, at, 0) < day.rain_chance
        amounts = sizes[_order(draws, seed, at, 1)] * day.rain_mm
        found[:, at] = np.where(wet, amounts, 0.0)
    return found


@cache
def _sizes(draws: int, shape: float) -> FloatArray:
    """Return amounts of rain with the mean one, the smallest first."""
    return _fixed(gammaincinv(shape, (np.arange(draws) + 0.5) / draws) / shape)


def _fixed(numbers: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """Return numbers that are kept for every forecast, safe from being changed."""
    numbers.setflags(write=False)
    return numbers


def _even(draws: int, *stream: int) -> FloatArray:
    """Return evenly spread numbers between 0 and 1 in an order by chance, one for each draw."""
    return (_order(draws, *stream) + 0.5) / draws


@cache
def _order(draws: int, *stream: int) -> npt.NDArray[np.int64]:
    """Return the numbers of the draws in an order by chance, another one for each stream."""
    return _fixed(np.random.default_rng(stream).permutation(draws))


def mornings(
    start_mm: npt.ArrayLike,
    days: Sequence[ForecastDay],
    layer: Layer,
    before_work: float = BEFORE_WORK,
    rain: FloatArray | None = None,
) -> FloatArray:
    """Return the depletion of a track at the morning's work of each day, in mm.

    Parameters
    ----------
    start_mm : float or array
        Depletion in the evening before the first day: one, or one for each draw.
    days : sequence of ForecastDay
        The days, one after another.
    layer : Layer
        The top of the track.
    before_work : float
        How often the rain of a day falls before its work, as `WordCurves` has it.
    rain : array, optional
        As `draw_rain` returns it; drawn where not given.

    Returns
    -------
    array
        One row a draw, one column a day.
    """
    fell = draw_rain(days) if rain is None else rain
    water = np.broadcast_to(np.asarray(start_mm, dtype=np.float64), fell.shape[:1])
    found = np.empty(fell.shape)
    for at, day in enumerate(days):
        before = _even(fell.shape[0], _SEED, at, 2) < before_work
        early = np.where(before, fell[:, at], 0.0)
        found[:, at], _ = dry_day(water, early, 0.0, layer)
        _, water = dry_day(water, fell[:, at], day.et_mm, layer)
    return found


def start_from_word(
    word_rank: int, curves: WordCurves, layer: Layer, draws: int = DRAWS
) -> FloatArray:
    """Return depletions that a track may have, where only its word is known, in mm.

    Every index between soaked and dry is taken to be as likely as any other before the word.
    """
    wettest = -layer.above_mm / layer.total_mm
    grid = np.linspace(wettest, _DRIEST, _STEPS)
    weights = curves.chances(grid)[:, word_rank]
    heights = np.cumsum(weights) / weights.sum()
    even = (np.arange(draws) + 0.5) / draws
    drawn = np.random.default_rng(_SEED + 2).permutation(np.interp(even, heights, grid))
    return drawn * layer.total_mm


def word_chances(depletion_mm: FloatArray, layer: Layer, curves: WordCurves) -> FloatArray:
    """Return the chance of each word, from dry to wet, on each day: one row a day.

    Parameters
    ----------
    depletion_mm : array
        As `mornings` returns it.
    """
    return np.asarray(curves.chances(drying_index(depletion_mm, layer)).mean(axis=0))
