"""The drying index of a track, day by day, from the weather that came; and the log against it."""

import math
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.surface.learned import WordCurves, learn_curves
from racecalc.surface.order import DRYING_ORDER
from racecalc.weather import (
    SEALED_SHEDS,
    Layer,
    dry_bare_day,
    dry_day,
    drying_index,
    reference_et_mm,
)

__all__ = [
    "Reliability",
    "after_rain",
    "checked",
    "daily_water",
    "evapotranspiration",
    "learn",
    "morning_index",
]

FloatArray = npt.NDArray[np.float64]

# After a day without weather the layer is begun anew, half dry; in so many days it has forgotten
# that. A choice: in dry weather a sandy layer dries out in three to four days, and rain fills it.
_SETTLED_DAYS = 7
# Before a month is foretold, so many entries must have been learned from.
_FEWEST_LEARNED = 30
_MIDDLING = (0.1, 0.7)
# What holds 95 of 100 sums of chances that are right.
_DEVIATIONS = 1.96
_BIN_EDGES = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)


@dataclass(frozen=True)
class Reliability:
    """How chances that were stated before the word was known compare with what came.

    Attributes
    ----------
    stated, came : array
        The chance that the barn would not work on the footing, and whether it was so.
    likeliest : int
        On how many days the word held likeliest was the word of the log.
    """

    stated: FloatArray
    came: npt.NDArray[np.bool_]
    likeliest: int

    @property
    def days(self) -> int:
        """Return on how many days."""
        return int(self.came.size)

    @property
    def brier(self) -> float:
        """Return the mean squared distance of chances from what came (0 is perfect)."""
        return float(np.mean((self.stated - self.came) ** 2))

    @property
    def brier_of_base_rate(self) -> float:
        """Return the same of a forecaster who always states how often it came."""
        share = float(np.mean(self.came))
        return share * (1 - share)

    def middling(self) -> "Reliability":
        """Return the days on which a chance between a tenth and seven tenths was stated."""
        inside = (self.stated >= _MIDDLING[0]) & (self.stated < _MIDDLING[1])
        return Reliability(self.stated[inside], self.came[inside], 0)

    @property
    def lean(self) -> str | None:
        """Return ``low`` or ``high`` where the chances were, beyond chance; None where not."""
        spread = float(np.sqrt(np.sum(self.stated * (1 - self.stated))))
        apart = float(np.sum(self.came) - np.sum(self.stated))
        if abs(apart) <= _DEVIATIONS * spread:
            return None
        return "low" if apart > 0 else "high"

    def table(self) -> pd.DataFrame:
        """Return classes of stated chances: ``low``, ``high``, ``days``, ``stated``, ``came``."""
        edges = np.array(_BIN_EDGES)
        place = np.clip(np.searchsorted(edges, self.stated, side="right") - 1, 0, edges.size - 2)
        rows = [
            (
                edges[at],
                edges[at + 1],
                int((place == at).sum()),
                float(self.stated[place == at].mean()),
                float(self.came[place == at].mean()),
            )
            for at in range(edges.size - 1)
            if (place == at).any()
        ]
        return pd.DataFrame(rows, columns=["low", "high", "days", "stated", "came"])


def evapotranspiration(weather: pd.DataFrame, latitude_deg: float) -> FloatArray:
    """Return the reference evapotranspiration of each row, NaN where temperatures are unknown.

    Parameters
    ----------
    weather : DataFrame
        ``date``, ``tmin_c``, ``tmax_c``, ``rh_min_pct``, ``rh_max_pct``, ``wind_m_s`` and, where it
        was measured, ``sun_mj_m2``.
    latitude_deg : float
        NaN where unknown: nothing is known then.
    """
    sun = weather["sun_mj_m2"] if "sun_mj_m2" in weather else np.full(len(weather), np.nan)
    return reference_et_mm(
        weather["tmin_c"],
        weather["tmax_c"],
        weather["rh_min_pct"],
        weather["rh_max_pct"],
        weather["wind_m_s"],
        sun,
        latitude_deg,
        weather["date"].dt.day_of_year,
    )


def daily_water(
    weather: pd.DataFrame,
    log: pd.DataFrame,
    track: str,
    layer: Layer,
    latitude_deg: float,
    first_day: date,
    last_day: date,
) -> pd.DataFrame:
    """Follow the water in the top of a track from day to day.

    Parameters
    ----------
    weather, log : DataFrame
        The daybook's tables ``weather`` and ``surface``.
    track : str
        Id of the track.
    layer : Layer
        Its top.
    latitude_deg : float
        NaN where unknown.
    first_day, last_day : date
        First and last day.

    Returns
    -------
    DataFrame
        One row a day: ``date``, ``rain_mm``, ``et_mm``, ``depletion_mm`` (at the end of the day),
        ``sealed`` and ``settled``: whether the weather of the week before is known too. NaN where
        it is not.
    """
    own = weather[weather["track"] == track].drop_duplicates("date", keep="last")
    days = pd.date_range(first_day, last_day)
    known = own.set_index("date").reindex(days).rename_axis("date").reset_index()
    rain = known["rain_mm"].to_numpy(dtype=np.float64)
    et = evapotranspiration(known, latitude_deg)
    sealed = _sealed(log, track, days)
    depletion, settled = np.full(len(days), np.nan), np.zeros(len(days), dtype=np.bool_)
    water, run = layer.total_mm / 2, 0
    told = zip(rain.tolist(), et.tolist(), sealed.tolist(), strict=True)
    for at, (fell_mm, et_mm, shed) in enumerate(told):
        if math.isnan(fell_mm) or math.isnan(et_mm):
            water, run = layer.total_mm / 2, 0
            continue
        water, run = dry_bare_day(water, fell_mm, et_mm, layer, shed), run + 1
        depletion[at], settled[at] = water, run >= _SETTLED_DAYS
    return pd.DataFrame(
        {
            "date": days,
            "rain_mm": rain,
            "et_mm": et,
            "depletion_mm": depletion,
            "sealed": sealed,
            "settled": settled,
        }
    )


def _sealed(log: pd.DataFrame, track: str, days: pd.DatetimeIndex) -> npt.NDArray[np.bool_]:
    on = log.loc[(log["track"] == track) & (log["upkeep"] == "sealed"), "date"]
    return np.isin(days.to_numpy(), on.to_numpy())


def morning_index(water: pd.DataFrame, layer: Layer) -> "pd.Series[float]":
    """Return the drying index of each morning, by its day: what the evening before had left.

    The rain of the day itself is not in it: whether it fell before the entry is not known.
    """
    evenings = water[water["settled"]]
    mornings = pd.DatetimeIndex(evenings["date"]) + pd.Timedelta(days=1)
    return pd.Series(drying_index(evenings["depletion_mm"].to_numpy(), layer), index=mornings)


def after_rain(water: pd.DataFrame, layer: Layer) -> "pd.Series[float]":
    """Return the index of `morning_index` with the rain of the day itself on top, where known."""
    evenings = water[water["settled"]]
    mornings = pd.DatetimeIndex(evenings["date"]) + pd.Timedelta(days=1)
    # Each row is one day later than the row before; of the day after the last nothing is known.
    today = np.flatnonzero(water["settled"]) + 1
    sealed, rain = (np.append(water[name].to_numpy(), 0)[today] for name in ("sealed", "rain_mm"))
    enters = np.nan_to_num(rain) * np.where(sealed, 1 - SEALED_SHEDS, 1.0)
    wet, _ = dry_day(evenings["depletion_mm"].to_numpy(), enters, 0.0, layer)
    return pd.Series(drying_index(wet, layer), index=mornings)


def _entries(
    log: pd.DataFrame,
    track: str,
    surface: str,
    index: "pd.Series[float]",
    wet: "pd.Series[float] | None",
) -> pd.DataFrame:
    """Return the entries of the log that have a word of the order and an index."""
    ranks = {word: rank for rank, word in enumerate(DRYING_ORDER[surface])}
    own = log.loc[log["track"] == track, ["date", "state"]]
    own = own[own["state"].isin(list(ranks))]
    own = own.drop_duplicates("date", keep="first").sort_values("date")
    found = own.assign(rank=own["state"].map(ranks), index=index.reindex(own["date"]).to_numpy())
    found["wet"] = found["index"] if wet is None else wet.reindex(own["date"]).to_numpy()
    return found[found["index"].notna()]


def learn(
    log: pd.DataFrame,
    track: str,
    surface: str,
    index: "pd.Series[float]",
    last_day: date,
    wet: "pd.Series[float] | None" = None,
) -> WordCurves:
    """Learn what the index has meant at a track, from the entries up to a day.

    Parameters
    ----------
    log : DataFrame
        The daybook's table ``surface``; of several entries of a day the first counts.
    track, surface : str
        Id of the track, and what it is made of.
    index : Series
        As `morning_index` returns it.
    last_day : date
        The last day whose entry is used.
    wet : Series, optional
        As `after_rain` returns it; without it nothing is learned of when rain falls.
    """
    found = _entries(log, track, surface, index, wet)
    found = found[found["date"] <= pd.Timestamp(last_day)]
    return learn_curves(surface, found["index"], found["rank"], found["wet"])


def checked(
    log: pd.DataFrame,
    track: str,
    surface: str,
    index: "pd.Series[float]",
    refused: tuple[bool, ...],
    months: int = 6,
    wet: "pd.Series[float] | None" = None,
) -> Reliability | None:
    """Check the learned words on days that were not learned from.

    Each of the last months is foretold from the entries before it, with the weather that came.

    Parameters
    ----------
    log, track, surface, index
        As `learn`.
    refused : tuple of bool
        For each word, from dry to wet, whether the barn does not work on it.
    months : int
        How many months are foretold.
    wet : Series, optional
        As for `learn`.

    Returns
    -------
    Reliability or None
        None where fewer than 30 entries precede the last month.
    """
    found = _entries(log, track, surface, index, wet)
    if found.empty:
        return None
    month = found["date"].dt.to_period("M")
    stated, came, likeliest = [], [], 0
    for this in sorted(month.unique())[-months:]:
        before, now = found[month < this], found[month == this]
        if len(before) < _FEWEST_LEARNED:
            continue
        curves = learn_curves(surface, before["index"], before["rank"], before["wet"])
        chances = curves.morning_chances(now["index"], now["wet"])
        ranks = now["rank"].to_numpy(dtype=np.intp)
        stated.append(chances[:, np.array(refused)].sum(axis=1))
        came.append(np.array(refused)[ranks])
        likeliest += int((chances.argmax(axis=1) == ranks).sum())
    if not stated:
        return None
    return Reliability(np.concatenate(stated), np.concatenate(came), likeliest)
