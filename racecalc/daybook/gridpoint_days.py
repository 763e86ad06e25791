"""Layers of a forecast added up for local days: what each day's row of the forecast table holds."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = [
    "AIR",
    "AMOUNT",
    "CHANCE",
    "DAY_S",
    "HIGH",
    "HUMIDITY",
    "LOW",
    "MOST_DAYS",
    "WIND",
    "Floats",
    "Layer",
    "daily",
]

Floats = npt.NDArray[np.float64]
Days = npt.NDArray[np.int64]

DAY_S = 86_400
MOST_DAYS = 31
"""Days told of from the day of issue on; a forecast has about eight."""

CHANCE = "probabilityOfPrecipitation"
AMOUNT = "quantitativePrecipitation"
WIND = "windSpeed"
HUMIDITY = "relativeHumidity"
AIR = "temperature"
LOW = "minTemperature"
HIGH = "maxTemperature"

# A day is told of where a layer covers three quarters of it: files begin and end within one.
_COVERED_S = 18 * 3600
# The night's low lies from the evening before to the morning, and counts for the morning. Three
# quarters through are in it even where the local day of the longitude is two hours off the clock.
_INTO = 0.75
# A chance of rain is one of at least 0.01 in, which is what a gauge can measure.
_MEASURABLE_MM = 0.254


@dataclass(frozen=True)
class Layer:
    """The known values of a layer in order of time; ``begins`` and ``ends`` in local seconds."""

    begins: Floats
    ends: Floats
    values: Floats


@dataclass(frozen=True)
class _OverDays:
    """A layer over days: ``seconds[i, k]`` of piece ``i`` are in day ``k``."""

    seconds: Floats
    lengths: Floats
    values: Floats

    def _known(self, daily: Floats) -> Floats:
        """Keep the days of which enough is covered."""
        return np.where(self.seconds.sum(axis=0) >= _COVERED_S, daily, np.nan)

    def highest(self) -> Floats:
        held = np.where(self.seconds > 0, self.values, -np.inf)
        return self._known(held.max(axis=0, initial=-np.inf))

    def lowest(self) -> Floats:
        held = np.where(self.seconds > 0, self.values, np.inf)
        return self._known(held.min(axis=0, initial=np.inf))

    def total(self) -> Floats:
        return self._known((self.values * self.seconds / self.lengths).sum(axis=0))

    def mean(self) -> Floats:
        covered = np.maximum(self.seconds.sum(axis=0), 1)
        return self._known((self.values * self.seconds).sum(axis=0) / covered)


def daily(layers: Mapping[str, Layer], first: int) -> pd.DataFrame:
    """Add the layers up for the days from the first on, which is the day of issue.

    Parameters
    ----------
    layers : mapping of str to Layer
        All that have a name here; one that a file does not have is without values.
    first : int
        The local day of issue, counted from the first of 1970.

    Returns
    -------
    DataFrame
        The columns of `racecalc.daybook.read_gridpoint.Gridpoint`; only days of which the chance
        or the amount of rain is known.
    """
    days = first + np.arange(MOST_DAYS)
    over = {name: _over(layer, days) for name, layer in layers.items()}
    chance, amount = over[CHANCE].highest(), over[AMOUNT].total()
    rows = pd.DataFrame(
        {
            "issued": _dates(np.full(MOST_DAYS, first)),
            "date": _dates(days),
            "rain_chance_pct": chance,
            "rain_mm": _if_it_rains(amount, chance),
            "tmin_c": _of_days(layers[LOW], days, np.min, over[AIR].lowest()),
            "tmax_c": _of_days(layers[HIGH], days, np.max, over[AIR].highest()),
            "wind_m_s": over[WIND].mean(),
            "rh_min_pct": over[HUMIDITY].lowest(),
            "rh_max_pct": over[HUMIDITY].highest(),
        }
    )
    return rows[~(np.isnan(chance) & np.isnan(amount))].reset_index(drop=True)


def _over(layer: Layer, days: Days) -> _OverDays:
    begins, ends = layer.begins[:, None], layer.ends[:, None]
    seconds = np.minimum(ends, (days + 1) * DAY_S) - np.maximum(begins, days * DAY_S)
    return _OverDays(np.maximum(seconds, 0), ends - begins, layer.values[:, None])


def _dates(days: Days) -> "npt.NDArray[np.datetime64]":
    return days.astype("datetime64[D]").astype("datetime64[ns]")


def _if_it_rains(amount: Floats, chance: Floats) -> Floats:
    """Return the amount if it rains, from the amount expected with or without rain."""
    with np.errstate(all="ignore"):
        given = amount / np.where(chance > 0, chance / 100, np.nan)
    # A negative amount stays one, and is refused as impossible where the table is checked.
    return np.where(amount < 0, amount, np.maximum(given, _MEASURABLE_MM))


def _of_days(
    layer: Layer,
    days: Days,
    choose: Callable[[Floats], float],
    otherwise: Floats,
) -> Floats:
    """Return the low or high of each day; where the layer has none, what is given for it."""
    at = (layer.begins + _INTO * (layer.ends - layer.begins)) // DAY_S
    return np.array(
        [
            choose(layer.values[at == day]) if (at == day).any() else other
            for day, other in zip(days, otherwise, strict=True)
        ]
    )
