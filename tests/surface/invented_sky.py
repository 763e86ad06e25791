"""An invented sky over invented tracks whose truth is known: what tests and benchmarks share.

Wet and dry days follow one another by a chain, amounts on wet days are gamma; a track is wetted and
dried by them, and its word is drawn from true curves by its water at the morning's work.
"""

from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import surface
from racecalc.surface import DRYING_ORDER, ForecastDay, WordCurves
from racecalc.weather import Layer, dry_day, drying_index

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]

FIRST = date(2024, 1, 1)
LATITUDE = 38.0
SAND = Layer(11.0, 5.0, 6.0, 4.0)
TRUE_CURVES = WordCurves("dirt", (0.60, 0.45, 0.25, 0.12, 0.02, -0.20), 0.07, 0)
REFUSED = tuple(word in ("heavy", "muddy", "sloppy") for word in DRYING_ORDER["dirt"])
AHEAD = 7


@dataclass(frozen=True)
class Sky:
    """How often it becomes wet and stays wet, how much falls, and how uneven amounts are."""

    begins: float = 0.25
    stays: float = 0.50
    mean_mm: float = 7.0
    shape: float = surface.RAIN_SHAPE
    before_work: float = surface.BEFORE_WORK

    @property
    def wet(self) -> float:
        """Return how often it is wet in the long run."""
        return self.begins / (1 + self.begins - self.stays)

    def chances(self, wet_today: bool, count: int = AHEAD) -> FloatArray:
        """Return the true chances of rain on the days after a day: a calibrated forecast."""
        memory = (self.stays - self.begins) ** np.arange(1, count + 1)
        return self.wet + (float(wet_today) - self.wet) * memory


@dataclass(frozen=True)
class Days:
    """Days as they came: weather, the water at work and at the end, and the word of the morning."""

    rain_mm: FloatArray
    et_mm: FloatArray
    evening_mm: FloatArray
    ranks: IntArray
    weather: pd.DataFrame
    log: pd.DataFrame


def words_at(chance: np.random.Generator, depletion_mm: npt.ArrayLike) -> IntArray:
    """Draw the word, as its rank, of a track so short of water."""
    shares = TRUE_CURVES.chances(drying_index(depletion_mm, SAND))
    lots = chance.random(shares.shape[:-1])
    return (lots[..., None] > shares.cumsum(axis=-1)).sum(axis=-1)


def days_of(sky: Sky, count: int, seed: int) -> Days:
    """Let it rain for so many days on one track, and keep its log every morning."""
    chance = np.random.default_rng(seed)
    dates = pd.date_range(FIRST, periods=count)
    weather = _weather(chance, dates)
    et = surface.evapotranspiration(weather, LATITUDE)
    rain, evenings, works = np.zeros(count), np.zeros(count), np.zeros(count)
    water, wet = SAND.total_mm / 2, False
    for at in range(count):
        wet = bool(chance.random() < (sky.stays if wet else sky.begins))
        rain[at] = chance.gamma(sky.shape, sky.mean_mm / sky.shape) if wet else 0.0
        early = rain[at] if chance.random() < sky.before_work else 0.0
        works[at] = float(dry_day(water, early, 0.0, SAND)[0])
        water = float(dry_day(water, rain[at], et[at], SAND)[1])
        evenings[at] = water
    ranks = words_at(chance, works)
    log = pd.DataFrame(
        {
            "date": dates,
            "track": "main",
            "state": np.array(DRYING_ORDER["dirt"], dtype=object)[ranks],
            "upkeep": None,
        }
    )
    return Days(rain, et, evenings, ranks, weather.assign(rain_mm=rain), log)


def _weather(chance: np.random.Generator, dates: pd.DatetimeIndex) -> pd.DataFrame:
    """Return temperatures through the year, with a spread from day to day; no more is known."""
    season = -np.cos(2 * np.pi * dates.day_of_year.to_numpy() / 365)
    mean_c = 14 + 11 * season + chance.normal(0, 3, len(dates))
    unknown = np.full(len(dates), np.nan)
    return pd.DataFrame(
        {
            "date": dates,
            "track": "main",
            "tmin_c": mean_c - 5,
            "tmax_c": mean_c + 5,
            "rh_min_pct": unknown,
            "rh_max_pct": unknown,
            "wind_m_s": unknown,
            "sun_mj_m2": unknown,
        }
    )


@dataclass(frozen=True)
class Told:
    """Chances that were stated of mornings to come, and what came; one row a morning."""

    stated: FloatArray
    came: npt.NDArray[np.bool_]
    lead: IntArray

    def reliability(self) -> surface.Reliability:
        """Return them as the package tells of such chances."""
        return surface.Reliability(self.stated, self.came, 0)


def independent(count: int, seed: int, draws: int = surface.DRAWS) -> Told:
    """State chances of one morning each for so many forecasts that tell the truth.

    Rain comes on independent days by the forecast's chance, in its amounts; the evening before and
    the meaning of words are known. Nothing is left to err but the draws.
    """
    chance = np.random.default_rng(seed)
    rain_chance = chance.choice([0.0, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0], (count, AHEAD))
    mean_mm, et = chance.uniform(1, 15, (count, AHEAD)), chance.uniform(1, 7, (count, AHEAD))
    start = chance.uniform(-SAND.above_mm, SAND.total_mm, count)
    lead = chance.integers(1, AHEAD + 1, count)
    shape = surface.RAIN_SHAPE
    fell = (chance.random(rain_chance.shape) < rain_chance) * chance.gamma(shape, mean_mm / shape)
    water, works = start, np.zeros(fell.shape)
    for day in range(AHEAD):
        early = np.where(chance.random(count) < surface.BEFORE_WORK, fell[:, day], 0.0)
        works[:, day], _ = dry_day(water, early, 0.0, SAND)
        _, water = dry_day(water, fell[:, day], et[:, day], SAND)
    on = np.arange(count), lead - 1
    came = np.array(REFUSED)[words_at(chance, works)[on]]
    stated = np.zeros(count)
    for at in range(count):
        days = [
            ForecastDay(*map(float, day))
            for day in zip(rain_chance[at], mean_mm[at], et[at], strict=True)
        ][: lead[at]]
        stated[at] = _bad(start[at], days, TRUE_CURVES, draws)
    return Told(stated, came, lead)


def _bad(start_mm: float, days: list[ForecastDay], curves: WordCurves, draws: int) -> float:
    """Return the chance of footing without work on the last of the days."""
    rain = surface.draw_rain(days, draws)
    depletion = surface.mornings(start_mm, days, SAND, curves.before_work, rain)
    return float(surface.word_chances(depletion, SAND, curves)[-1][np.array(REFUSED)].sum())


def whole_way(
    sky: Sky, learned_days: int, told_days: int, seed: int, draws: int = 1_000, when: bool = True
) -> Told:
    """State chances as reports do: words learned from a log, rain by a forecast of the chain.

    The forecast knows the chance of rain of each day, but not that one wet day makes the next one
    likelier to be wet; what it says of temperatures comes true. Without ``when`` nothing is learned
    of when rain falls, and every entry is laid to the water of the evening before it.
    """
    days = days_of(sky, learned_days + told_days, seed)
    dates = days.weather["date"]
    first, last = FIRST, dates.iloc[learned_days - 1].date()
    water = surface.daily_water(
        days.weather, days.log, "main", SAND, LATITUDE, first, dates.iloc[-1].date()
    )
    index = surface.morning_index(water, SAND)
    wet = surface.after_rain(water, SAND) if when else None
    curves = surface.learn(days.log, "main", "dirt", index, last, wet)
    evenings = water["depletion_mm"].to_numpy()
    stated, came, leads = [], [], []
    for at in range(learned_days - 1, learned_days + told_days - AHEAD - 1):
        lead = 1 + at % AHEAD
        chances = sky.chances(days.rain_mm[at] > 0, lead)
        run = [
            ForecastDay(float(chance), sky.mean_mm, float(days.et_mm[at + step]))
            for step, chance in enumerate(chances, 1)
        ]
        stated.append(_bad(float(evenings[at]), run, curves, draws))
        came.append(REFUSED[days.ranks[at + lead]])
        leads.append(lead)
    return Told(np.array(stated), np.array(came), np.array(leads))
