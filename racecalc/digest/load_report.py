"""The load of a horse up to a day, against its own past and the rest of the barn."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import workload
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.ground import usual_fast
from racecalc.digest.load import ground_of, load
from racecalc.digest.load_model import Load
from racecalc.digest.model import Horse, Month
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import horse_of, last_day, limit

__all__ = ["LoadReport", "Smoothed", "Usual", "build_load"]

# Activities whose ground counts as load: jogging, walking and swimming are left out.
_LOADING = ("canter", "gallop", "work", "gallop_out", "race")

_WEEK, _MONTH = 7, 28
_WEEKS, _POINTS = 26, 53
# A habit is told from so many weeks before, at most and at least.
_PAST_WEEKS, _FEWEST_WEEKS = 52, 12
# Eight weeks of ten lie between these.
_USUAL_PERCENTILES = (10, 90)
_BARN_DAYS, _GAP_DAYS = 60, 180
_FEWEST_HORSES = 4
_QUARTILES = (25, 75)
# Fewer points are no line.
_FEWEST_SMOOTHED = 4
_BARN = "racecalc.digest.build_load"
_RATIO_SOURCES = ("williams_2017", "lolli_2019", "impellizzeri_2020", "munsters_2020")

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Usual:
    """A figure of the last day, against the horse's own past and the rest of the barn.

    ``low`` and ``high`` hold eight of ten weeks of the year before in which there was any load, and
    ``barn`` the middle half of the barn's other horses; each is missing where there is too little
    to tell.
    """

    what: str
    now: Number
    low: Number | None
    high: Number | None
    barn: tuple[Number, Number] | None


@dataclass(frozen=True)
class Smoothed:
    """The load of a day, smoothed over a week and over four."""

    day: date
    week: Number
    month: Number


@dataclass(frozen=True)
class LoadReport:
    """The load of one horse up to a day.

    ``others`` counts the horses of the barn that it is compared with.
    """

    barn: Barn
    horse: Horse
    first: date
    last: date
    load: Load | None
    usual_fast: tuple[Number, Number] | None
    usuals: tuple[Usual, ...]
    others: Number | None
    smoothed: tuple[Smoothed, ...]
    since_race: Number | None
    to_race: Number | None
    fast_speed: Number
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    @property
    def recorded(self) -> bool:
        """Whether any ground is on record."""
        return self.load is not None

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_load(record: HorseBook, until: str = "") -> LoadReport:
    """Return the report on a horse's load.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for the newest day of its record.

    Raises
    ------
    OutOfRangeError
        If the text is no day.
    """
    last = last_day(record, until, ("exercise", "works"))
    first = last - timedelta(days=_WEEK * _WEEKS - 1)
    barn, horse = record.barn, horse_of(record)
    ground = ground_of(record, last)
    told = not workload.between_days(ground, first, last).empty
    month = Month(f"{last:%Y-%m}", *workload.month_bounds(f"{last:%Y-%m}"))
    daily = _daily(ground, last)
    others, barn_usuals = _of_the_barn(record, last)
    return LoadReport(
        barn=barn,
        horse=horse,
        first=first,
        last=last,
        load=load(record, ground, last, _WEEKS, _POINTS) if told else None,
        usual_fast=usual_fast(ground, month),
        usuals=(*_usuals(daily), *barn_usuals) if told else (),
        others=others if told else None,
        smoothed=_smoothed(daily, last) if told else (),
        since_race=_since_race(record, last),
        to_race=_to_race(record, last),
        fast_speed=limit("care.fast_speed", barn.fast_speed_m_s, "threshold"),
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )


def _since_race(record: HorseBook, last: date) -> Number | None:
    exercise = record.tables["exercise"]
    raced = exercise.loc[exercise["activity"] == "race", "date"]
    before = raced[raced <= pd.Timestamp(last)]
    return _days("load.since_race", pd.Timestamp(last) - before.max()) if len(before) else None


def _to_race(record: HorseBook, last: date) -> Number | None:
    aimed = record.tables["targets"]["date"]
    ahead = aimed[aimed > pd.Timestamp(last)]
    return _days("load.to_race", ahead.min() - pd.Timestamp(last)) if len(ahead) else None


def _days(name: str, apart: pd.Timedelta) -> Number:
    return Number(name, float(apart.days), "count", "racecalc.daybook.read", 1)


def _daily(ground: pd.DataFrame, last: date) -> FloatArray:
    """Return the metres at canter and quicker of each day from the first of the record on."""
    loading = ground[ground["activity"].isin(_LOADING) & ground["distance_m"].notna()]
    first = ground["date"].min().date() if len(ground) else last
    _, _, metres = workload.daily(loading, first, last)
    return np.asarray(metres.sum(axis=1))


def _usuals(daily: FloatArray) -> tuple[Usual, ...]:
    """Return each figure of the last day with what it was at the ends of the weeks before."""
    week, month = (workload.rolling_load(daily, days) for days in (_WEEK, _MONTH))
    windows = np.lib.stride_tricks.sliding_window_view(daily, _WEEK).T if daily.size >= 7 else None
    missing = np.full(daily.shape, np.nan)
    monotony, strain = missing.copy(), missing.copy()
    if windows is not None:
        monotony[_WEEK - 1 :] = workload.monotony(windows)
        strain[_WEEK - 1 :] = workload.strain(windows)
    rows = {
        "week": (week * _WEEK, "ground", "rolling_load", ()),
        "four_weeks": (month * _WEEK, "ground", "rolling_load", ()),
        "coupled": (workload.coupled_ratio(daily), "ratio", "coupled_ratio", _RATIO_SOURCES),
        "uncoupled": (workload.uncoupled_ratio(daily), "ratio", "uncoupled_ratio", _RATIO_SOURCES),
        "weighted": (
            _settled(workload.weighted_ratio(daily)),
            "ratio",
            "weighted_ratio",
            _RATIO_SOURCES,
        ),
        "monotony": (monotony, "ratio", "monotony", ("foster_2001",)),
        "strain": (strain, "ground", "strain", ("foster_2001",)),
        "quick_sum": (_summed(daily, 7.0), "ground", "decaying_sum", ("clarke_skiba_2013",)),
        "slow_sum": (_summed(daily, 42.0), "ground", "decaying_sum", ("clarke_skiba_2013",)),
    }
    trained = np.nan_to_num(week) > 0
    found = (_usual(what, *row, trained) for what, row in rows.items())
    return tuple(usual for usual in found if usual)


def _settled(values: FloatArray) -> FloatArray:
    """Return weighted means without those that the first day of the record still sways."""
    settled = values.copy()
    settled[: 2 * _MONTH] = np.nan
    return settled


def _summed(daily: FloatArray, days: float) -> FloatArray:
    """Return all days added up, each fading over so many days, once they have had time to."""
    sums = workload.decaying_sum(daily, days)
    sums[: round(2 * days)] = np.nan
    return sums


def _usual(
    what: str,
    values: FloatArray,
    kind: str,
    made_by: str,
    sources: tuple[str, ...],
    trained: npt.NDArray[np.bool_],
) -> Usual | None:
    """Return a figure of now and of the weeks before in which the horse was in training."""
    now = values[-1]
    if not np.isfinite(now):
        return None
    past = np.where(trained, values, np.nan)[-1 - _WEEK :: -_WEEK][:_PAST_WEEKS]
    past = past[np.isfinite(past)]

    def number(key: str, value: float) -> Number:
        made = f"racecalc.workload.{made_by}"
        return Number(f"load.{what}{key}", float(value), kind, made, values.size, sources)

    if past.size < _FEWEST_WEEKS:
        return Usual(what, number("", now), None, None, None)
    low, high = np.percentile(past, _USUAL_PERCENTILES)
    return Usual(what, number("", now), number(".low", low), number(".high", high), None)


def _of_the_barn(record: HorseBook, last: date) -> tuple[Number | None, tuple[Usual, ...]]:
    """Return how many other horses worked of late, and the works of this one against theirs."""
    own = _works_until(record.tables["works"], last)
    others = _works_until(record.tables["string"], last)
    far_own = _timed_metres(own, last)
    if far_own.empty:
        return None, ()
    far, gaps = _timed_metres(others, last), _gaps(others, last)
    gap = _gaps(own, last)
    now = {
        "works": (far_own.iloc[0], "fast_ground"),
        "gap": (None if gap.empty else gap.iloc[0], "count"),
    }
    found = []
    for what, values in (("works", far), ("gap", gaps)):
        value, kind = now[what]
        if value is not None:
            found.append(_against_the_barn(what, float(value), values, kind))
    count = Number("load.barn.horses", float(len(far)), "count", _BARN, len(others))
    return (count if len(far) >= _FEWEST_HORSES else None), tuple(found)


def _works_until(works: pd.DataFrame, last: date) -> pd.DataFrame:
    return works[(works["date"] <= pd.Timestamp(last)) & works["time_s"].notna()]


def _timed_metres(works: pd.DataFrame, last: date) -> "pd.Series[float]":
    """Return the metres that each horse worked against the watch in the last two months."""
    recent = workload.between_days(works, *workload.last_days(last, _BARN_DAYS))
    sums: pd.Series[float] = recent.groupby("horse")["distance_m"].sum()
    return sums


def _gaps(works: pd.DataFrame, last: date) -> "pd.Series[float]":
    """Return the middle number of days from one timed work of a horse to its next."""
    recent = workload.between_days(works, *workload.last_days(last, _GAP_DAYS))
    days = recent[["horse", "date"]].drop_duplicates().sort_values(["horse", "date"])
    apart = days.groupby("horse")["date"].diff().dt.days
    middles: pd.Series[float] = apart.groupby(days["horse"]).median().dropna()
    return middles


def _against_the_barn(what: str, now: float, values: "pd.Series[float]", kind: str) -> Usual:
    def number(key: str, value: float, n: int) -> Number:
        return Number(f"load.{what}{key}", value, kind, _BARN, n)

    barn = None
    if len(values) >= _FEWEST_HORSES:
        low, high = np.percentile(values, _QUARTILES)
        barn = (
            number(".barn.low", float(low), len(values)),
            number(".barn.high", float(high), len(values)),
        )
    return Usual(what, number("", now, 1), None, None, barn)


def _smoothed(daily: FloatArray, last: date) -> tuple[Smoothed, ...]:
    """Return the smoothed load at the end of each week, the newest last."""
    week, month = (workload.ewma(daily, days) for days in (_WEEK, _MONTH))
    found = []
    whole = (daily.size - 2 * _MONTH - 1) // _WEEK + 1
    if whole < _FEWEST_SMOOTHED:
        return ()
    for ago in reversed(range(min(_WEEKS, whole))):
        day, at = last - timedelta(days=_WEEK * ago), daily.size - 1 - _WEEK * ago
        name = f"load.smoothed.{day.isoformat()}"
        numbers = (
            Number(f"{name}.{key}", float(values[at]), "day_ground", "racecalc.workload.ewma", 1)
            for key, values in (("week", week), ("month", month))
        )
        found.append(Smoothed(day, *numbers))
    return tuple(found)
