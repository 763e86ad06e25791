"""The ledger of ground covered: by activity, by speed, and the days off."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import pace
from racecalc.errors import OutOfRangeError

__all__ = [
    "FAST_SPEED_M_S",
    "LEDGER_COLUMNS",
    "DaysOff",
    "between_days",
    "by_speed",
    "days_off",
    "last_days",
    "ledger",
    "month_bounds",
    "totals",
    "unmeasured",
]

# The speed that parts gallop from canter in a study of distance and fracture (verheyen_2006).
FAST_SPEED_M_S = 14.0

LEDGER_COLUMNS = (
    "date",
    "horse",
    "activity",
    "distance_m",
    "time_s",
    "speed_m_s",
    "speed_class",
    "work",
)

# Nothing is covered at rest, and nobody measures what a horse walks in its paddock.
_NO_GROUND = ("rest", "turnout")
_SPEED_CLASSES = ("fast", "slower", "untimed")

# Tables count days in nanoseconds, which reach from 1678 to 2262.
_FIRST_YEAR, _LAST_YEAR = 1700, 2200


@dataclass(frozen=True)
class DaysOff:
    """Days without ground: at rest, turned out only, and days of which the record says nothing."""

    rest: tuple[date, ...]
    turnout: tuple[date, ...]
    unrecorded: tuple[date, ...]


def ledger(
    exercise: pd.DataFrame,
    works: pd.DataFrame,
    splits: pd.DataFrame,
    fast_speed_m_s: float = FAST_SPEED_M_S,
) -> pd.DataFrame:
    """Return one row for each piece of ground, of one horse or of many.

    A work is cut at its clocked poles and each section has its own speed; what it ran past its end
    is ``gallop_out``. Without any clock it is one row.

    Parameters
    ----------
    exercise : DataFrame
        ``date``, ``horse``, ``activity``, ``distance_m``, ``time_s``; nan where unknown.
    works, splits : DataFrame
        As `racecalc.pace.cut` needs them; works with ``date`` and ``horse``.
    fast_speed_m_s : float
        Ground at this mean speed or above is fast.

    Returns
    -------
    DataFrame
        `LEDGER_COLUMNS`, in the order of days and independent of the order of the rows given.
        ``activity`` is one of those of the exercise table (rest and turnout left out), ``work`` or
        ``gallop_out``. ``speed_class`` is ``fast``, ``slower`` or ``untimed``. ``work`` is the id
        of the work, or None.

    Raises
    ------
    OutOfRangeError
        If the clocks of a work run backwards, or the speed is not above zero.

    Notes
    -----
    A race without a time counts as fast, by the convention that studies of exposure follow: they
    add up races and official works without asking for the speed. The study behind
    `FAST_SPEED_M_S` calls ground gallop above it; here ground exactly at it is fast too.

    References
    ----------
    verheyen_2006 (the speed); estberg_1996 (races and works added up).
    """
    if not fast_speed_m_s > 0:
        raise OutOfRangeError(f"fast speed {fast_speed_m_s:g} m/s: give a speed above zero")
    moved = exercise[~exercise["activity"].isin(_NO_GROUND)]
    cuts = pace.cut(works, splits)
    of_work = works.set_index("work")[["date", "horse"]].reindex(cuts["work"])
    ground = pd.DataFrame(
        {
            "date": _joined(moved["date"], of_work["date"], np.dtype("datetime64[ns]")),
            "horse": _joined(moved["horse"], of_work["horse"]),
            "activity": _joined(
                moved["activity"], np.where(cuts["gallop_out"], "gallop_out", "work")
            ),
            "distance_m": _joined(moved["distance_m"], cuts["distance_m"]),
            "time_s": _joined(moved["time_s"], cuts["time_s"]),
            "work": pd.Series(_joined([None] * len(moved), cuts["work"], object), dtype=object),
            "place": _joined(np.zeros(len(moved)), -cuts["to_finish_m"]),
        }
    )
    return _in_order(_with_speed(ground, fast_speed_m_s))


def between_days(table: pd.DataFrame, first_day: date, last_day: date) -> pd.DataFrame:
    """Return the rows of a table with a ``date`` in a span of days, first and last day included."""
    inside = table["date"].between(pd.Timestamp(first_day), pd.Timestamp(last_day))
    return table[inside]


def totals(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, float]:
    """Return the metres covered in each activity, first and last day included.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`.
    first_day, last_day : date
        First and last day.

    Returns
    -------
    dict
        Metres by activity, in the order of the alphabet. An activity of which no distance is known
        is left out; `unmeasured` counts such rows.
    """
    inside = between_days(ground, first_day, last_day).dropna(subset="distance_m")
    sums = inside.groupby("activity")["distance_m"].sum()
    return {str(activity): float(metres) for activity, metres in sums.items()}


def by_speed(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, float]:
    """Return the metres covered in each speed class, first and last day included.

    Swimming carries no weight over ground and is left out; ground galloped out is in.

    Parameters
    ----------
    ground : DataFrame
        A `ledger`.
    first_day, last_day : date
        First and last day.

    Returns
    -------
    dict
        Metres ``fast``, ``slower`` and ``untimed``.
    """
    inside = between_days(ground, first_day, last_day)
    sums = inside[inside["activity"] != "swim"].groupby("speed_class")["distance_m"].sum()
    return {name: float(sums.get(name, 0.0)) for name in _SPEED_CLASSES}


def unmeasured(ground: pd.DataFrame, first_day: date, last_day: date) -> dict[str, int]:
    """Count the rows of each activity whose distance is not known, first and last day included."""
    inside = between_days(ground, first_day, last_day)
    unknown = inside[inside["distance_m"].isna()]
    return {str(name): int(count) for name, count in unknown.groupby("activity").size().items()}


def month_bounds(month: str) -> tuple[date, date]:
    """Return the first and the last day of a month written ``2026-10``.

    Raises
    ------
    OutOfRangeError
        If the text is no month.

    Examples
    --------
    >>> month_bounds("2026-02")
    (datetime.date(2026, 2, 1), datetime.date(2026, 2, 28))
    """
    year, _, number = month.partition("-")
    written = year.isascii() and year.isdigit() and number.isascii() and number.isdigit()
    if not (written and len(year) == 4 and len(number) == 2):
        raise OutOfRangeError(f"month {month!r}: write year and month, as 2026-10")
    if not (1 <= int(number) <= 12 and _FIRST_YEAR <= int(year) <= _LAST_YEAR):
        raise OutOfRangeError(
            f"month {month!r}: write a month from 01 to 12 of the years {_FIRST_YEAR} to "
            f"{_LAST_YEAR}, as 2026-10"
        )
    first = date(int(year), int(number), 1)
    next_month = (first + timedelta(days=31)).replace(day=1)
    return first, next_month - timedelta(days=1)


def last_days(day: date, count: int) -> tuple[date, date]:
    """Return the first and the last of the ``count`` days that end with ``day``.

    Raises
    ------
    OutOfRangeError
        If the count is not at least one.
    """
    if count < 1:
        raise OutOfRangeError(f"{count} days: give a count of at least one")
    return day - timedelta(days=count - 1), day


def days_off(
    exercise: pd.DataFrame, works: pd.DataFrame, first_day: date, last_day: date
) -> DaysOff:
    """Return the days of one horse on which it covered no ground, first and last day included.

    A day on which the horse was turned out and nothing else is kept apart from one of rest, and
    both from a day of which nothing was written down: no record is not rest.

    Parameters
    ----------
    exercise, works : DataFrame
        The horse's tables, with ``date``; exercise with ``activity``.
    first_day, last_day : date
        First and last day.
    """
    inside = between_days(exercise, first_day, last_day)
    worked = between_days(works, first_day, last_day)
    recorded: dict[date, set[str]] = {}
    for day, activity in zip(inside["date"], inside["activity"], strict=True):
        recorded.setdefault(day.date(), set()).add(activity)
    for day in worked["date"]:
        recorded.setdefault(day.date(), set()).add("work")
    days = [first_day + timedelta(days=step) for step in range((last_day - first_day).days + 1)]
    return DaysOff(
        rest=tuple(
            day for day in days if "rest" in recorded.get(day, ()) and _still(recorded[day])
        ),
        turnout=tuple(day for day in days if recorded.get(day) == {"turnout"}),
        unrecorded=tuple(day for day in days if day not in recorded),
    )


def _still(activities: set[str]) -> bool:
    return activities <= set(_NO_GROUND)


def _joined(daily: Any, worked: Any, dtype: Any = None) -> npt.NDArray[Any]:
    """Put the values of the daily rows before those of the works."""
    return np.concatenate([np.asarray(daily, dtype=dtype), np.asarray(worked, dtype=dtype)])


def _with_speed(ground: pd.DataFrame, fast_speed_m_s: float) -> pd.DataFrame:
    distance = ground["distance_m"].to_numpy(dtype=np.float64)
    time = ground["time_s"].to_numpy(dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        speed = np.where(time > 0, distance / time, np.nan)
    is_fast = (speed >= fast_speed_m_s) | (np.isnan(speed) & (ground["activity"] == "race"))
    classes = np.select([is_fast, np.isnan(speed)], ["fast", "untimed"], "slower")
    return ground.assign(speed_m_s=speed, speed_class=classes)


def _in_order(ground: pd.DataFrame) -> pd.DataFrame:
    """Sort by day, and within it by all that tells rows apart, so that sums do not depend on it."""
    names = ("date", "horse", "activity", "work")
    codes = [pd.factorize(ground[name], sort=True)[0] for name in names]
    keys = [ground["time_s"], ground["distance_m"], ground["place"], *reversed(codes)]
    order = np.lexsort([np.asarray(key) for key in keys])
    return ground.iloc[order].reset_index(drop=True)[list(LEDGER_COLUMNS)]
