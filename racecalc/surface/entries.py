"""The log of a track's surface: what it was on a day, and the rain that fell on it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = ["Rain", "StateOn", "log", "rain_between", "state_on"]


@dataclass(frozen=True)
class StateOn:
    """The state last written down on or before a day, and how many days old that is."""

    state: str
    day: date
    days_old: int


@dataclass(frozen=True)
class Rain:
    """Rain added up over entries of a log.

    ``rain_mm`` is None where no entry tells of rain. An entry's rain is what fell since the entry
    before it, so the sum begins after ``since``, the day of the entry before the first one (None if
    there is none). ``silent`` counts the entries that say nothing of rain.
    """

    rain_mm: float | None
    entries: int
    silent: int
    since: date | None


def log(surface: pd.DataFrame, track: str, first_day: date, last_day: date) -> pd.DataFrame:
    """Return the entries of one track from the first day to the last, both included, oldest first.

    Parameters
    ----------
    surface : DataFrame
        The surface table: ``date``, ``track``, ``state``, ``rain_mm`` and more; with ``row``,
        several entries of one day stay in the order in which they were written.
    track : str
        Id of the track.
    first_day, last_day : date
        First and last day.
    """
    days = surface["date"].to_numpy()
    inside = (days >= np.datetime64(first_day)) & (days <= np.datetime64(last_day))
    own = np.flatnonzero(inside & (surface["track"] == track).to_numpy(dtype=np.bool_))
    return surface.iloc[own[_order(surface, own)]].reset_index(drop=True)


def state_on(surface: pd.DataFrame, track: str, day: date) -> StateOn | None:
    """Return the newest state of a track that was written down on or before a day.

    Nothing is made up between entries: an old state is returned with its age, and whether it still
    says anything is for the reader to judge.

    Returns
    -------
    StateOn or None
        None when no state had been written down by then.
    """
    until = (surface["track"] == track) & (surface["date"] <= pd.Timestamp(day))
    known = np.flatnonzero(until & _filled(surface["state"]))
    if not known.size:
        return None
    newest = surface.iloc[known[_order(surface, known)[-1]]]
    on = newest["date"].date()
    return StateOn(state=str(newest["state"]), day=on, days_old=(day - on).days)


def rain_between(surface: pd.DataFrame, track: str, first_day: date, last_day: date) -> Rain:
    """Add up the rain of a track's entries from the first day to the last, both included.

    Parameters
    ----------
    surface, track, first_day, last_day
        As in `log`.
    """
    inside = log(surface, track, first_day, last_day)
    earlier = (surface["track"] == track) & (surface["date"] < pd.Timestamp(first_day))
    before = surface["date"][earlier]
    told = inside["rain_mm"].dropna()
    return Rain(
        rain_mm=float(told.sum()) if len(told) else None,
        entries=len(inside),
        silent=len(inside) - len(told),
        since=before.max().date() if len(before) else None,
    )


def _order(surface: pd.DataFrame, places: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Return the order of the entries at some places, the oldest first."""
    # The last key counts first.
    keys = ("row", "date") if "row" in surface else ("date",)
    return np.lexsort([surface[key].to_numpy()[places] for key in keys])


def _filled(values: "pd.Series[Any]") -> "pd.Series[bool]":
    return values.notna() & (values != "")
