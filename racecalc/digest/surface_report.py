"""One track over time: its log, how it dried, what that has meant there, and the days to come."""

from datetime import date, timedelta

import numpy as np
import pandas as pd

from racecalc import planning, surface, weather
from racecalc.daybook import HorseBook
from racecalc.digest.model import Month
from racecalc.digest.number import Number
from racecalc.digest.outlook import outlook
from racecalc.digest.outlook_model import Outlook
from racecalc.digest.settings import bad_footing_days, last_day, limit
from racecalc.digest.surface_model import Ahead, Checked, SurfaceReport, WaterDay, WordEdge, WordRow
from racecalc.digest.track_water import TrackWater, check_of, water_of
from racecalc.digest.tracks import track_logs
from racecalc.errors import OutOfRangeError

__all__ = ["build_surface"]

_DAYS = 60
_AHEAD = 7
# A word is shown where its chance is at least this on any day.
_SOME_WEIGHT = 0.025
_SOIL = ("soil", "holds_mm", "gives_mm", "drains_mm")
_LEARNED = "racecalc.surface.learn"
_CHECKED = "racecalc.surface.checked"
_LEARNED_SOURCES = ("mccullagh_1980",)


def build_surface(record: HorseBook, track: str, until: str = "") -> SurfaceReport:
    """Return the report on a track.

    Parameters
    ----------
    record : HorseBook
        A slice of the daybook, of a horse or of none.
    track : str
        Id of the track.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for the newest of the track logs.

    Raises
    ------
    OutOfRangeError
        If the book has no such track, or the text is no day.
    """
    known = record.tables["tracks"]["track"].tolist()
    if track not in known:
        raise OutOfRangeError(
            f"no track has the id “{track}”, or its row was refused (racecalc check tells); there "
            f"are {', '.join(known) or 'none'}"
        )
    last = last_day(record, until, ("surface", "weather"))
    first = last - timedelta(days=_DAYS - 1)
    found = water_of(record, track, last)
    log = record.tables["surface"]
    log = log[log["date"] <= pd.Timestamp(last)]
    span = Month("", first, last)
    ahead = outlook(record, found, last, _AHEAD)
    barn, layer = record.barn, found.layer
    return SurfaceReport(
        barn=barn,
        horse=None,
        track=track,
        name=found.about["name"],
        surface=found.about["surface"],
        first=first,
        last=last,
        tracks=track_logs(record, [track], span),
        water=_water(found, log, first, last),
        **_layer(track, layer),
        own_soil=any(pd.notna(found.about[column]) for column in _SOIL),
        learned=_learned(found),
        edges=_edges(found, log),
        checked=_checked(record, found),
        bad_footing=limit("care.bad_footing_days", bad_footing_days(barn), "wait"),
        outlook=ahead,
        ahead=_ahead(ahead),
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )


def _layer(track: str, layer: weather.Layer) -> dict[str, Number]:
    """Return the numbers of a track's top."""
    sizes = {
        "holds": layer.total_mm,
        "gives": layer.ready_mm,
        "stands": layer.above_mm,
        "drains": layer.drains_mm,
    }
    return {
        name: Number(f"water.{track}.{name}", mm, "rain", "racecalc.weather.layer_of", 0)
        for name, mm in sizes.items()
    }


def _learned(found: TrackWater) -> Number:
    name, entries = f"water.{found.about['track']}.learned", found.curves.entries
    return Number(name, float(entries), "count", _LEARNED, entries, _LEARNED_SOURCES)


def _ahead(told: Outlook) -> tuple[Ahead, ...]:
    """Return the chances of the words that are of some weight on any day."""
    heavy = {
        word for day in told.days for word, chance in day.words.items() if chance >= _SOME_WEIGHT
    }
    made = {"forecast": "racecalc.surface.word_chances", "log": "racecalc.surface.log"}
    return tuple(
        Ahead(
            day.day,
            {
                word: Number(
                    f"outlook.{told.track}.{day.day.isoformat()}.state.{word}",
                    100 * chance,
                    "chance",
                    made[day.basis],
                    1,
                )
                for word, chance in day.words.items()
                if word in heavy
            },
        )
        for day in told.days
    )


def _water(found: TrackWater, log: pd.DataFrame, first: date, last: date) -> tuple[WaterDay, ...]:
    track = found.about["track"]
    rain = found.water.set_index("date")["rain_mm"]
    # Of several entries of a day the first is the morning's, and words are learned from it.
    entries = surface.log(log, track, first, last).drop_duplicates("date")
    states = dict(zip(entries["date"], entries["state"], strict=True))
    days = []
    for moment in pd.date_range(first, last):
        name = f"water.{track}.{moment:%Y-%m-%d}"
        index, fell = found.index.get(moment, np.nan), rain.get(moment, np.nan)
        days.append(
            WaterDay(
                day=moment.date(),
                index=None
                if np.isnan(index)
                else Number(
                    f"{name}.index", float(index), "ratio", "racecalc.surface.morning_index", 1,
                    ("fao56",),
                ),
                state=states.get(moment) or None,
                rain=None
                if np.isnan(fell)
                else Number(f"{name}.rain", float(fell), "rain", "racecalc.daybook.read", 1),
            )
        )  # fmt: skip
    return tuple(days)


def _edges(found: TrackWater, log: pd.DataFrame) -> tuple[WordEdge, ...]:
    track, kind = found.about["track"], found.about["surface"]
    states = log.loc[log["track"] == track, "state"]
    default = surface.default_curves(kind)
    rows = zip(surface.DRYING_ORDER[kind][1:], found.curves.cuts, default.cuts, strict=True)
    return tuple(
        WordEdge(
            word=word,
            learned=Number(
                f"water.{track}.edge.{word}", cut, "ratio", _LEARNED, found.curves.entries,
                _LEARNED_SOURCES,
            ),
            default=Number(
                f"water.{track}.default.{word}", own, "ratio", "racecalc.surface.default_curves", 0
            ),
            entries=Number(
                f"water.{track}.entries.{word}", float((states == word).sum()), "count",
                "racecalc.daybook.read", 1,
            ),
        )
        for word, cut, own in rows
        if (states == word).any()
    )  # fmt: skip


def _checked(record: HorseBook, found: TrackWater) -> Checked | None:
    track, result = found.about["track"], check_of(record, found)
    if result is None:
        return None

    def number(key: str, value: float, form: str) -> Number:
        return Number(f"water.{track}.check.{key}", value, form, _CHECKED, result.days)

    rows = []
    for row in result.table().to_dict("records"):
        low, high = round(100 * row["low"]), round(100 * row["high"])
        rows.append(
            WordRow(
                low=low,
                high=high,
                days=number(f"{low}.days", float(row["days"]), "count"),
                stated=number(f"{low}.stated", 100 * row["stated"], "percent"),
                came=number(f"{low}.came", 100 * row["came"], "percent"),
            )
        )
    return Checked(
        days=number("days", float(result.days), "count"),
        likeliest=number("likeliest", float(result.likeliest), "count"),
        brier=number("brier", result.brier, "ratio"),
        brier_of_base_rate=number("brier_of_base_rate", result.brier_of_base_rate, "ratio"),
        rows=tuple(rows),
        value=_value(record, result, track),
        lean=result.middling().lean,
    )


def _value(record: HorseBook, result: surface.Reliability, track: str) -> Number | None:
    """Return what heeding the chances would have saved, of what foreknowledge would have."""
    bad_days = bad_footing_days(record.barn)
    if bad_days <= 1 or not 0 < result.came.mean() < 1:
        return None
    ratio = 1 / bad_days
    warned = np.array([planning.pays_to_wait(chance, 1.0, bad_days) for chance in result.stated])
    value = planning.relative_value(
        float(warned[result.came].mean()),
        float(warned[~result.came].mean()),
        float(result.came.mean()),
        ratio,
    )
    name, made_by = f"water.{track}.check.value", "racecalc.planning.relative_value"
    return Number(name, 100 * value, "percent", made_by, result.days, ("cost_loss",))
