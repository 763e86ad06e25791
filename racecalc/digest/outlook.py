"""The footing to expect at a track: its log, the weather that came, and the forecast."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import takewhile
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import surface, weather
from racecalc.daybook import HorseBook
from racecalc.digest.number import Number
from racecalc.digest.outlook_model import Air, Outlook, OutlookDay
from racecalc.digest.rows import rows_of
from racecalc.digest.track_water import TrackWater, refused_words

__all__ = ["outlook"]

FloatArray = npt.NDArray[np.float64]

# An older forecast is none.
_FORECAST_GOOD_DAYS = 3
# A word that stood longer ago says nothing of this evening.
_WORD_GOOD_DAYS = 2
_WARM_C = 20.0
# A word of the log that the weather makes rarer than this is believed before the weather.
_UNLIKELY = 0.05
_LEAST_CHANCE = 1e-9
# How much of what tells one day from the usual is still there on the next. A choice.
_KEPT_A_DAY = 0.7
# So many days are one season.
_LOG_DAYS, _FEWEST_ENTRIES = 90, 20
# Rain if it rains, where neither the forecast nor twenty wet days on record say how much. A choice.
_USUAL_RAIN_MM, _FEWEST_WET_DAYS = 5.0, 20
# What a forecast has to tell of a day; the rest has defaults.
_NEEDED = ("rain_chance_pct", "tmin_c", "tmax_c")
_MADE_BY = "racecalc.surface.word_chances"
_SOURCES = ("fao56", "mccullagh_1980", "richardson_1981", "rain_shapes")


def outlook(record: HorseBook, found: TrackWater, last: date, count: int) -> Outlook:
    """Return the footing to expect on the days after a day.

    Parameters
    ----------
    record : HorseBook
        A slice of the daybook.
    found : TrackWater
        As `water_of` returns it for the same day.
    last : date
        The last day that is known.
    count : int
        How many days.
    """
    track, log = found.about["track"], record.tables["surface"]
    log = log[log["date"] <= pd.Timestamp(last)]
    state = surface.state_on(log, track, last)
    issued, rows = _forecast(record.tables["forecast"], track, last)
    days = [last + timedelta(days=n) for n in range(1, count + 1)]
    begin = _begin(found, state, last, rows)
    chances = _chances(record, found, rows, begin, days)
    shares = _shares(log, record, found, last)
    refused = np.array(refused_words(record, found))
    foretold = chances.mean(axis=0)
    told = tuple(
        _day(day, rows.get(day), _known(foretold, shares, at), refused, found)
        for at, day in enumerate(days)
    )
    return Outlook(
        track=track,
        name=found.about["name"],
        surface=found.about["surface"],
        issued=issued,
        state=state.state if state else None,
        state_day=state.day if state else None,
        begins=begin.by,
        learned=found.curves.entries,
        days=told,
        if_wet=_if_wet(chances, refused),
        lacks=_lacks(record, found, issued, begin, rows, days),
    )


@dataclass(frozen=True)
class _Begin:
    """The evening from which the water is followed on, and what it is known by.

    ``by`` is ``weather``, ``word``, ``frozen`` or ``none``; ``disagree`` says that today's word is
    not what the weather would make of the track.
    """

    evening: date
    start_mm: FloatArray | None
    by: str
    disagree: bool = False


@dataclass(frozen=True)
class _Known:
    """The chance of each word on one day, of a word outside their order, and what they are from."""

    basis: str
    words: FloatArray | None
    outside: float = 0.0


def _known(foretold: FloatArray, shares: "_Known | None", at: int) -> _Known:
    """Return the chances of a day: by the forecast, and after its end as the log has them.

    What a track is goes on into the next days: the chances of the last day foretold fade into those
    of the log, so that no day looks better for not being told of.
    """
    told = len(foretold)
    if at < told:
        return _Known("forecast", foretold[at])
    if shares is None or shares.words is None:
        return _Known("none", None)
    if not told:
        return shares
    kept = _KEPT_A_DAY ** (at - told + 1)
    words = kept * foretold[-1] + (1 - kept) * shares.words
    return _Known("log", words, (1 - kept) * shares.outside)


def _chances(
    record: HorseBook,
    found: TrackWater,
    rows: Mapping[date, Mapping[Any, Any]],
    begin: _Begin,
    days: list[date],
) -> FloatArray:
    """Return the chance of each word in each draw on each day that the forecast reaches."""
    words = len(surface.DRYING_ORDER[found.about["surface"]])
    if begin.start_mm is None:
        return np.zeros((1, 0, words))
    # Days that no weather tells of yet, the newest among them, are the forecast's as well.
    before = (days[0] - begin.evening).days - 1
    ahead = [days[0] - timedelta(days=n) for n in range(before, 0, -1)] + days
    run = _unbroken(found, record, rows, ahead)
    if len(run) <= before:
        return np.zeros((1, 0, words))
    depletion = surface.mornings(begin.start_mm, run, found.layer, found.curves.before_work)
    index = weather.drying_index(depletion, found.layer)
    return found.curves.chances(index[:, before:])


def _if_wet(chances: FloatArray, refused: npt.NDArray[np.bool_]) -> tuple[tuple[float, ...], ...]:
    """Return the chance of a bad morning on each day, of the draws in which another one was bad."""
    bad = np.zeros(chances.shape[:2])
    for rank in np.flatnonzero(refused):
        bad += chances[:, :, rank]
    both = bad.T @ bad / len(bad)
    alone = np.maximum(bad.mean(axis=0), _LEAST_CHANCE)
    return tuple(tuple(row) for row in (both / alone[:, None]).tolist())


def _forecast(
    table: pd.DataFrame, track: str, last: date
) -> tuple[date | None, dict[date, dict[Any, Any]]]:
    """Return when the newest forecast was issued, and its rows by day; none where it is old."""
    moment = pd.Timestamp(last)
    own = table[(table["track"] == track) & (table["issued"] <= moment)]
    own = own[own["issued"] >= moment - pd.Timedelta(days=_FORECAST_GOOD_DAYS)]
    if own.empty:
        return None, {}
    newest = own[own["issued"] == own["issued"].max()]
    rows = {row["date"].date(): row for row in rows_of(newest)}
    return newest["issued"].iloc[0].date(), rows


def _begin(
    found: TrackWater,
    state: surface.StateOn | None,
    last: date,
    rows: Mapping[date, Mapping[Any, Any]],
) -> _Begin:
    """Return where the water is followed on from: the weather, else the word of today.

    A word that the weather makes unlikely goes before the weather: the track has had water, or
    shade, that nobody wrote down.
    """
    words = surface.DRYING_ORDER[found.about["surface"]]
    fresh = state is not None and state.days_old <= _WORD_GOOD_DAYS
    if fresh and state is not None and state.state in surface.OUTSIDE_ORDER:
        return _Begin(last, None, "frozen")
    settled = found.water[found.water["settled"]]
    newest = settled["date"].max()
    rank = words.index(state.state) if state and fresh and state.state in words else None
    near = pd.notna(newest) and _reached(newest.date(), last, rows)
    if near and (rank is None or state is None or _likely(found, state.day, rank)):
        depletion = settled["depletion_mm"].iloc[-1]
        return _Begin(newest.date(), np.asarray(float(depletion)), "weather")
    if rank is None:
        return _Begin(last, None, "none")
    start = surface.start_from_word(rank, found.curves, found.layer)
    return _Begin(last, start, "word", disagree=near)


def _reached(newest: date, last: date, rows: Mapping[date, Mapping[Any, Any]]) -> bool:
    """Return whether the forecast tells of the few days that no weather tells of."""
    days = (last - newest).days
    told = (not _leaves_out(rows.get(last - timedelta(days=ago))) for ago in range(days))
    return days <= _WORD_GOOD_DAYS and all(told)


def _likely(found: TrackWater, day: date, rank: int) -> bool:
    """Return whether a word is one that the weather could make of the track on a morning."""
    index = found.index.get(pd.Timestamp(day))
    if index is None or np.isnan(index):
        return True
    wet = found.wet.get(pd.Timestamp(day), index)
    return bool(found.curves.morning_chances(index, wet)[rank] >= _UNLIKELY)


def _unbroken(
    found: TrackWater, record: HorseBook, rows: Mapping[date, Mapping[Any, Any]], days: list[date]
) -> list[surface.ForecastDay]:
    """Return the forecast from the first day on, up to the first day that it does not tell of."""
    fell = record.tables["weather"]
    usual = _usual_rain(fell[fell["date"] < pd.Timestamp(days[0])], found.about["track"])
    told = list(takewhile(lambda row: not _leaves_out(row), map(rows.get, days)))
    if not told:
        return []
    table = pd.DataFrame(told)
    et = surface.evapotranspiration(table, float(found.about["latitude_deg"]))
    rain = table["rain_mm"].fillna(usual)
    run = zip(table["rain_chance_pct"] / 100, rain, et.tolist(), strict=True)
    return [surface.ForecastDay(*day) for day in takewhile(lambda day: not np.isnan(day[2]), run)]


def _leaves_out(row: Mapping[Any, Any] | None) -> bool:
    """Return whether the forecast does not tell enough of a day to follow the water through it."""
    return row is None or any(np.isnan(row[column]) for column in _NEEDED)


def _usual_rain(table: pd.DataFrame, track: str) -> float:
    fell = table.loc[(table["track"] == track) & (table["rain_mm"] > 0), "rain_mm"]
    return float(fell.mean()) if len(fell) >= _FEWEST_WET_DAYS else _USUAL_RAIN_MM


def _shares(log: pd.DataFrame, record: HorseBook, found: TrackWater, last: date) -> _Known | None:
    """Return how often each word stood in the log of the season; none of too few entries."""
    words = surface.DRYING_ORDER[found.about["surface"]]
    first = last - timedelta(days=_LOG_DAYS - 1)
    entries = surface.log(log, found.about["track"], first, last).drop_duplicates("date")
    states = entries["state"].dropna()
    if len(states) < _FEWEST_ENTRIES:
        return None
    shares = np.array([float((states == word).mean()) for word in words])
    refused = [word for word in surface.OUTSIDE_ORDER if word in record.barn.no_work_states]
    return _Known("log", shares, float(states.isin(refused).mean()))


def _day(
    day: date,
    row: Mapping[Any, Any] | None,
    known: _Known,
    refused: npt.NDArray[np.bool_],
    found: TrackWater,
) -> OutlookDay:
    name = f"outlook.{found.about['track']}.{day.isoformat()}"
    forecast, read = known.basis == "forecast", "racecalc.daybook.read"
    made_by = _MADE_BY if forecast else "racecalc.surface.log"
    sources = _SOURCES if forecast else ()

    def chance(key: str, share: float) -> Number:
        return Number(f"{name}.{key}", 100 * float(share), "chance", made_by, 1, sources)

    def cell(key: str, column: str, kind: str) -> Number | None:
        value = row[column] if row is not None else np.nan
        return None if np.isnan(value) else Number(f"{name}.{key}", float(value), kind, read, 1)

    words, shares = surface.DRYING_ORDER[found.about["surface"]], known.words
    bad = None
    if shares is not None and refused.any():
        bad = chance("bad", float(shares[refused].sum()) + known.outside)
    return OutlookDay(
        day=day,
        basis=known.basis,
        words={} if shares is None else dict(zip(words, shares.tolist(), strict=True)),
        bad=bad,
        driest=None if shares is None else chance("driest", float(shares[0])),
        rain_chance=cell("rain_chance", "rain_chance_pct", "chance"),
        rain=cell("rain", "rain_mm", "rain"),
        coldest=cell("coldest", "tmin_c", "air"),
        warmest=cell("warmest", "tmax_c", "air"),
        rh_min_pct=np.nan if row is None else row["rh_min_pct"],
        rh_max_pct=np.nan if row is None else row["rh_max_pct"],
        air=_air(name, row),
    )


def _air(name: str, row: Mapping[Any, Any] | None) -> Air:
    if row is None:
        return Air(None, None, None, None, None)
    warm, dry = float(row["tmax_c"]), float(row["rh_min_pct"])
    cold, wind = float(row["tmin_c"]), float(row["wind_m_s"])
    # Below this no figure of heat says anything.
    dry = dry if warm >= _WARM_C else np.nan

    def number(
        key: str, value: FloatArray, kind: str, made_by: str, *sources: str
    ) -> Number | None:
        if np.isnan(value):
            return None
        made = f"racecalc.weather.{made_by}"
        return Number(f"{name}.{key}", float(value), kind, made, 1, sources)

    return Air(
        sum_of_heat=number(
            "heat_sum", weather.sum_of_heat(warm, dry), "count", "sum_of_heat", "aaep_heat_sum"
        ),
        heat_index=number(
            "heat_index", weather.heat_index_c(warm, dry), "air", "heat_index_c", "nws_heat_index"
        ),
        wbgt_shade=number(
            "wbgt_shade", weather.wbgt_shade_c(warm, dry), "air", "wbgt_shade_c",
            "stull_2011", "iso_7243",
        ),
        wbgt_sun=number(
            "wbgt_sun", weather.wbgt_sun_c(warm, dry), "air", "wbgt_sun_c", "abm_wbgt"
        ),
        wind_chill=number(
            "wind_chill", weather.wind_chill_c(cold, wind), "air", "wind_chill_c", "nws_wind_chill"
        ),
    )  # fmt: skip


def _lacks(
    record: HorseBook,
    found: TrackWater,
    issued: date | None,
    begin: _Begin,
    rows: Mapping[date, Mapping[Any, Any]],
    days: list[date],
) -> tuple[str, ...]:
    """Name what was missing for the chances of the footing."""
    table, lacks = record.tables["forecast"], []
    if issued is None:
        # One that was issued later than the day asked for is none yet.
        old = table["issued"] < pd.Timestamp(days[0])
        known = (old & (table["track"] == found.about["track"])).any()
        lacks.append("old_forecast" if known else "forecast")
    elif any(_leaves_out(rows.get(day)) for day in days if day <= max(*rows, days[0])):
        lacks.append("forecast_days")
    elif max(rows) < days[-1]:
        lacks.append("forecast_ends")
    placed = not np.isnan(found.about["latitude_deg"])
    if begin.disagree:
        lacks.append("disagree")
    elif begin.by == "frozen":
        lacks.append("frozen")
    elif begin.by != "weather" and placed:
        # Without a latitude the weather is of no use, however much of it is on record.
        lacks.append("weather")
    if not placed:
        lacks.append("latitude")
    if not found.curves.entries:
        lacks.append("learned")
    return tuple(lacks)
