"""Whether the steps of an exercise test belong together: what is odd is told, and still used.

The limits are this project's own choice. They leave room for the noise of a reading: a heart rate
or a lactate may fall a little from one step to the next. A test of one speed is sound: it tells of
recovery.
"""

from collections.abc import Callable

import numpy as np
import pandas as pd

from racecalc.daybook.table import Mask, Table

__all__ = ["check_tests"]

_FALLING_BEATS = 8.0
_FALLING_LACTATE = 0.5
_LOWEST_STEP_BPM = 60.0
_HIGHEST_BPM = 245.0
_SLOWEST_STEP_M_S = 2.5
# Two notations of one speed may differ in the last digit.
_SAME_M_S = 1e-6


def check_tests(table: Table) -> None:
    """Check the steps of each test, horse by horse and day by day; rows refused are no steps."""
    frame = table.frame.assign(place=np.arange(len(table)), refused=table.refused)
    frame = frame[~frame["refused"] & frame["date"].notna() & frame["horse"].notna()]
    _check_rows(table, frame)
    steps = frame[frame["minutes_after"].isna() & frame["speed_m_s"].notna()]
    _check_names(table, steps)
    for field, column, least, what in (
        ("heart_rate_bpm", "heart_rate", _FALLING_BEATS, "heart rate"),
        ("lactate_mmol_l", "lactate", _FALLING_LACTATE, "lactate"),
    ):
        _check_falls(table, steps, field, column, least, what)


def _check_rows(table: Table, frame: pd.DataFrame) -> None:
    """Tell of readings that one row alone shows to be odd."""
    beats, during = frame["heart_rate_bpm"], frame["minutes_after"].isna()
    blank = beats.isna() & frame["lactate_mmol_l"].isna()
    _flag(
        table, frame[blank], "heart_rate",
        lambda i: "a step with neither heart rate nor lactate tells nothing; write one of them",
    )  # fmt: skip
    low = during & (beats < _LOWEST_STEP_BPM)
    _flag(
        table, frame[low], "heart_rate",
        lambda i: f"{table.cell(i, 'heart_rate')} is the heart rate of a horse at rest, but "
        "minutes_after is blank; fill it in for a recovery, or correct the heart rate",
    )  # fmt: skip
    _flag(
        table, frame[beats > _HIGHEST_BPM], "heart_rate",
        lambda i: f"{table.cell(i, 'heart_rate')} is unlikely: few hearts beat more than "
        f"{_HIGHEST_BPM:.0f} times a minute; check it",
    )  # fmt: skip
    _flag(
        table, frame[frame["speed_m_s"] < _SLOWEST_STEP_M_S], "speed",
        lambda i: f"{table.cell(i, 'speed')} is the speed of a walk; a step is a trot or quicker; "
        "check the unit",
    )  # fmt: skip


def _check_names(table: Table, steps: pd.DataFrame) -> None:
    """Tell of one step at two speeds, of two at one, and of one that was noted twice."""
    test = ["horse", "date"]
    by_name = steps.sort_values([*test, "step", "place"], kind="stable")
    same = _follows(by_name, [*test, "step"])
    apart = by_name["speed_m_s"].diff().abs() > _SAME_M_S
    before = by_name["place"].shift()
    _flag_pairs(table, by_name[same & apart], before, "speed", "names a step that row {row} has at "
                "another speed; give each step its own number")  # fmt: skip
    twice = same & ~apart & _differs(by_name)
    _flag_pairs(table, by_name[twice], before, "step", "stands in row {row} with another reading; "
                "the mean of both is used; correct one, or fill in minutes_after")  # fmt: skip
    by_speed = steps.sort_values([*test, "speed_m_s", "place"], kind="stable")
    level = _follows(by_speed, test) & (by_speed["speed_m_s"].diff().abs() <= _SAME_M_S)
    other = level & (by_speed["step"] != by_speed["step"].shift())
    _flag_pairs(table, by_speed[other], by_speed["place"].shift(), "speed",
                "is the speed of the step in row {row} as well; both are used")  # fmt: skip


def _differs(frame: pd.DataFrame) -> "pd.Series[bool]":
    """Return where a row and the one before it have the same kind of reading, and not the same."""
    beats, lactate = frame["heart_rate_bpm"].diff(), frame["lactate_mmol_l"].diff()
    return (beats.abs() > 0) | (lactate.abs() > 0)


def _check_falls(
    table: Table, steps: pd.DataFrame, field: str, column: str, least: float, what: str
) -> None:
    known = steps[steps[field].notna()]
    ordered = known.sort_values(["horse", "date", "speed_m_s", "place"], kind="stable")
    follows = _follows(ordered, ["horse", "date"])
    quicker = ordered["speed_m_s"].diff() > _SAME_M_S
    falls = follows & quicker & (ordered[field].diff() < -least)
    says = f"is a {what} that falls from the slower step in row {{row}}; check both"
    _flag_pairs(table, ordered[falls], ordered["place"].shift(), column, says)


def _follows(frame: pd.DataFrame, keys: list[str]) -> "pd.Series[bool]":
    """Return which rows have the keys of the row before them."""
    same = pd.Series(True, index=frame.index)
    for key in keys:
        same &= frame[key] == frame[key].shift()
    return same


def _flag_pairs(
    table: Table, rows: pd.DataFrame, before: "pd.Series[float]", column: str, says: str
) -> None:
    """Tell of rows, each with the number of the row that it does not agree with."""
    of_rows = before.loc[rows.index].astype(int)
    other = dict(zip(rows["place"].tolist(), of_rows.tolist(), strict=True))
    _flag(
        table, rows, column,
        lambda i: f"{table.cell(i, column)} {says.format(row=table.row(other[i]))}",
    )  # fmt: skip


def _flag(table: Table, rows: pd.DataFrame, column: str, message: Callable[[int], str]) -> None:
    found: Mask = np.zeros(len(table), dtype=np.bool_)
    found[rows["place"].to_numpy(dtype=np.int64)] = True
    table.flag(found, column, message, "warning")
