"""How works stand to what was to be expected of the horse: its own line."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

import pandas as pd

from racecalc import own_line
from racecalc.daybook import SCHEMA
from racecalc.digest.number import Number
from racecalc.digest.rows import rows_of
from racecalc.digest.work_model import LinePoint, Stand

__all__ = ["alike", "expected", "judged", "points", "stands"]

_MADE_BY = "racecalc.own_line.expectations"
_READ = "racecalc.daybook.read"

# The steps in which times that were expected are printed.
_STEP_S = {"fifths": 0.2, "hundredths": 0.1}
_NOISE_S = 1e-6

# What may be asked of a horse, the least first.
_EFFORTS = next(one.allowed for one in SCHEMA["works"].columns if one.name == "effort")

# Two works are of one distance within this: 6 f and 1200 m, 7 m apart, are not.
_SAME_DISTANCE_M = 0.5
# The line of a picture: the newest works of one distance at one track.
_POINTS = 12
_FEWEST_POINTS = 3


def expected(
    works: pd.DataFrame, string: pd.DataFrame, one_s: float, clock: str, ids: Iterable[str]
) -> dict[str, dict[Any, Any]]:
    """Return what was to be expected of some works, by work id.

    Parameters
    ----------
    works, string : DataFrame
        The horse's works, and those of the rest of the barn; all months.
    one_s : float
        How far one hand-taken time may lie from the true one, in seconds.
    clock : str
        The barn's clock, ``fifths`` or ``hundredths``.
    ids : iterable of str
        The works that are asked for; one of which nothing can be expected is left out.
    """
    found = own_line.expectations(works, string, one_s, list(ids), _EFFORTS)
    known = found[found["expected_s"].notna()]
    return {row["work"]: judged(row, clock) for row in rows_of(known)}


def judged(row: Mapping[Any, Any], clock: str) -> dict[str, Any]:
    """Return a row with its verdict as a watch can give it.

    A time is quicker or slower only where it lies at least one step of the watch outside the
    interval as it is printed: what a reader cannot see is not claimed.
    """
    step, time = _STEP_S[clock], row["time_s"]
    low, high = (round(row[end] / step) * step for end in ("low_s", "high_s"))
    if time <= low - step + _NOISE_S:
        return {**row, "verdict": "quicker"}
    return {**row, "verdict": "slower" if time >= high + step - _NOISE_S else "as expected"}


def stands(rows: Mapping[str, Mapping[Any, Any]]) -> dict[str, Stand]:
    """Return how works stand to their line, by work id, from `expected`."""
    return {work: _stand(row) for work, row in rows.items() if row["time_s"] > 0}


def _stand(row: Mapping[Any, Any]) -> Stand:
    name = f"works.{row['work']}"
    used = int(row["own"] + row["string"])

    def number(key: str, value: float, kind: str) -> Number:
        return Number(f"{name}.{key}", float(value), kind, _MADE_BY, used, own_line.LINE_SOURCES)

    margin = abs(row["expected_s"] - row["time_s"])
    outside = row["verdict"] != "as expected"
    return Stand(
        low=number("expected.low", row["low_s"], "expected"),
        high=number("expected.high", row["high_s"], "expected"),
        expected=number("expected", row["expected_s"], "expected"),
        own=number("expected.own", row["own"], "count"),
        others=number("expected.others", row["string"], "count"),
        verdict=row["verdict"],
        margin=number("margin", margin, "tenths") if outside else None,
        nearest=_nearest(row),
    )


def _nearest(row: Mapping[Any, Any]) -> str | None:
    """Return the effort to which the time is nearest; none where fewer than two are known."""
    apart = {effort: abs(row[f"if_{effort}_s"] - row["time_s"]) for effort in _EFFORTS}
    known = {effort: seconds for effort, seconds in apart.items() if not math.isnan(seconds)}
    return min(known, key=lambda effort: known[effort]) if len(known) > 1 else None


def alike(works: pd.DataFrame, work: str) -> pd.DataFrame:
    """Return the timed works of one distance, track and start up to a work, oldest first."""
    row = works[works["work"] == work].iloc[0]
    same = works[
        (works["track"] == row["track"])
        & ((works["distance_m"] - row["distance_m"]).abs() < _SAME_DISTANCE_M)
        & (works["from_gate"].eq(True) == (row["from_gate"] is True))
        & (works["date"] <= row["date"])
        & works["time_s"].notna()
    ]
    newest: pd.DataFrame = same.sort_values(["date", "work"], kind="stable").tail(_POINTS)
    return newest


def points(same: pd.DataFrame, rows: Mapping[str, Mapping[Any, Any]]) -> tuple[LinePoint, ...]:
    """Return the horse's line over works of one kind, oldest first, from `alike` and `expected`.

    Of fewer than three works, or where nothing was to be expected of any, there is none.
    """
    if len(same) < _FEWEST_POINTS or not any(work in rows for work in same["work"]):
        return ()
    return tuple(_point(work, rows.get(work["work"])) for work in rows_of(same))


def _point(work: Mapping[Any, Any], row: Mapping[Any, Any] | None) -> LinePoint:
    name = f"line.{work['work']}"

    def number(key: str) -> Number | None:
        if row is None:
            return None
        value = float(row[f"{key}_s"])
        used = int(row["own"] + row["string"])
        return Number(f"{name}.{key}", value, "expected", _MADE_BY, used, own_line.LINE_SOURCES)

    return LinePoint(
        work=work["work"],
        day=work["date"].date(),
        time=Number(f"{name}.time", float(work["time_s"]), "clock", _READ, 1),
        effort=work["effort"],
        expected=number("expected"),
        low=number("low"),
        high=number("high"),
        verdict=row["verdict"] if row else None,
    )
