"""Whether the rows of an exercise test fit each other; what does not is a warning, and still used.

A test is all rows of one horse and day. What is read without ``minutes_after`` was read during its
step, and so, for this, was a lactate of the first five minutes after it: blood is drawn then (two
and five minutes are printed). Limits are this project's own choice.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.table import Mask, Table

__all__ = ["check_tests"]

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]

_SAME_M_S = 0.1 + 1e-9  # a speed that was rounded twice, or written in another unit
_BLOOD_MIN = 5.0


@dataclass(frozen=True)
class _Quantity:
    """What is read, and the fall from a step to a faster one that is more than noise.

    A fall counts above ``fall`` and above ``share`` of the higher reading.
    """

    column: str
    field: str
    fall: float
    share: float
    unit: str
    later_min: float


# Heart rates of a step scatter by 2 to 3 beats. Lactate at a walk or trot hardly rises, and its
# readings of two tests at one speed differ by 1.8 to 1.9 mmol/L where they are 5 to 19 (published).
_QUANTITIES = (
    _Quantity("heart_rate", "heart_rate_bpm", 10.0, 0.0, "beats/min", -1.0),
    _Quantity("lactate", "lactate_mmol_l", 0.5, 0.15, "mmol/L", _BLOOD_MIN),
)


@dataclass(frozen=True)
class _Rows:
    """The rows that can be compared: their places in the table, their test, step and speed.

    ``minutes`` is -1 during the step.
    """

    table: Table
    place: Places
    test: Places
    step: Places
    speed: Floats
    minutes: Floats

    def of(self, mask: Mask) -> "_Rows":
        """Return some of the rows."""
        whole, step = (self.place[mask], self.test[mask]), self.step[mask]
        return _Rows(self.table, *whole, step, self.speed[mask], self.minutes[mask])

    def values(self, quantity: _Quantity) -> Floats:
        """Return what was read, NaN where nothing was."""
        return self.table.values(quantity.field)[self.place]

    def pairs(self, *keys: npt.NDArray[np.generic]) -> tuple[Places, Places]:
        """Sort by test and these keys; return each row of a test with the one after it."""
        order = np.lexsort((*reversed(keys), self.test))
        before, after = order[:-1], order[1:]
        alike = self.test[before] == self.test[after]
        return before[alike], after[alike]

    def warn(self, before: Places, after: Places, column: str, says: Callable[..., str]) -> None:
        """Warn of the second row of each pair; the message is made from both places."""
        beside = dict(zip(self.place[after].tolist(), self.place[before].tolist(), strict=True))
        found = np.zeros(len(self.table), dtype=np.bool_)
        found[list(beside)] = True
        self.table.flag(found, column, lambda i: says(i, beside[i]), "warning")


def check_tests(table: Table) -> None:
    """Check the rows of each exercise test against one another.

    Refused rows are passed over. Of any two rows that do not fit the message names both; which of
    them it stands at does not depend on the order of the rows. Takes about two seconds for a
    million rows.

    Parameters
    ----------
    table : Table
        The exercise tests.
    """
    rows = _rows(table)
    heart, lactate = (np.isnan(table.values(quantity.field)) for quantity in _QUANTITIES)
    table.flag(
        heart & lactate & ~table.refused,
        "heart_rate",
        lambda i: "neither heart_rate nor lactate is filled in: the row tells nothing; fill in one",
        "warning",
    )
    _check_steps(rows)
    _check_speeds(rows.of(rows.minutes < 0))
    for quantity in _QUANTITIES:
        known = rows.of(~np.isnan(rows.values(quantity)))
        _check_twice(known, quantity)
        _check_falls(known.of(known.minutes <= quantity.later_min), quantity)
    _check_alone(rows)


def _rows(table: Table) -> _Rows:
    horse, _ = pd.factorize(table.texts("horse"))
    label, labels = pd.factorize(table.texts("step"))
    folded = np.array([str(text).casefold() for text in labels], dtype=object)
    step, _ = pd.factorize(folded, sort=True)  # by the alphabet, whatever the order of the rows
    day = table.dates("date").astype("datetime64[D]")
    speed, minutes = table.values("speed_m_s"), table.values("minutes_after")
    known = ~table.refused & (horse >= 0) & (label >= 0) & ~np.isnat(day) & ~np.isnan(speed)
    place = np.flatnonzero(known)
    days, _ = pd.factorize(day[place])
    test = horse[place] * (len(place) + 1) + days
    during = np.where(np.isnan(minutes), -1.0, minutes)
    return _Rows(table, place, test, step[label[place]], speed[place], during[place])


def _check_steps(rows: _Rows) -> None:
    """Warn of a step with two speeds."""
    before, after = rows.pairs(rows.step, rows.speed)
    apart = rows.speed[after] - rows.speed[before] > _SAME_M_S
    wrong = apart & (rows.step[before] == rows.step[after])
    table = rows.table
    rows.warn(
        before[wrong],
        after[wrong],
        "speed",
        lambda i, other: (
            f"{table.cell(i, 'speed')} is the speed of step {table.cell(i, 'step')}, which has "
            f"{table.cell(other, 'speed')} in row {table.row(other)}; a step has one speed, and so "
            "has the recovery after it; check both, they are used as they are"
        ),
    )


def _check_speeds(rows: _Rows) -> None:
    """Warn of two steps at one speed."""
    before, after = rows.pairs(rows.speed, rows.step)
    close = rows.speed[after] - rows.speed[before] <= _SAME_M_S
    wrong = close & (rows.step[before] != rows.step[after])
    table = rows.table
    rows.warn(
        before[wrong],
        after[wrong],
        "speed",
        lambda i, other: (
            f"{table.cell(i, 'speed')} is the speed of step {table.cell(i, 'step')} and of step "
            f"{table.cell(other, 'step')} ({table.cell(other, 'speed')} in row "
            f"{table.row(other)}); check both, they are used as they are"
        ),
    )


def _check_twice(rows: _Rows, quantity: _Quantity) -> None:
    """Warn of a step that was read twice at one time, with different figures."""
    values = rows.values(quantity)
    before, after = rows.pairs(rows.step, rows.minutes, rows.speed, values)
    same = (rows.step[before] == rows.step[after]) & (rows.minutes[before] == rows.minutes[after])
    same &= rows.speed[after] - rows.speed[before] <= _SAME_M_S
    wrong = same & (values[before] != values[after])
    table, column = rows.table, quantity.column
    rows.warn(
        before[wrong],
        after[wrong],
        column,
        lambda i, other: (
            f"{table.cell(i, column)} is not the {table.cell(other, column)} of row "
            f"{table.row(other)}, for the same step at the same time; check both and their "
            "minutes_after, they are used as they are"
        ),
    )


def _check_falls(rows: _Rows, quantity: _Quantity) -> None:
    """Warn of a reading that is clearly below that of the next slower step.

    Where a speed has several readings, its highest is compared with the lowest of the slower one.
    """
    values = rows.values(quantity)
    before, after = rows.pairs(rows.speed, -values)
    fall = values[before] - values[after]
    limit = np.maximum(quantity.fall, quantity.share * values[before]) + 1e-9
    wrong = (fall > limit) & (rows.speed[after] - rows.speed[before] > _SAME_M_S)
    table, column, field = rows.table, quantity.column, quantity.field

    def says(i: int, other: int) -> str:
        fallen = table.values(field)[other] - table.values(field)[i]
        return (
            f"{table.cell(i, column)} at {table.text(i, 'speed')} is {fallen:.3g} {quantity.unit} "
            f"below the {table.cell(other, column)} at {table.text(other, 'speed')} in row "
            f"{table.row(other)}, though it rises with speed; check both, they are used as they are"
        )

    rows.warn(before[wrong], after[wrong], column, says)


def _check_alone(rows: _Rows) -> None:
    """Warn of a test that was read at one speed only; one of recoveries alone is no such test."""
    heart, lactate = (~np.isnan(rows.values(quantity)) for quantity in _QUANTITIES)
    during = rows.minutes < 0
    point = (during & heart) | ((rows.minutes <= _BLOOD_MIN) & lactate)
    found = {"test": rows.test, "place": rows.place, "speed": rows.speed, "during": during}
    tests = pd.DataFrame(found)[point].groupby("test")
    speed = tests["speed"]
    alone = tests["during"].any() & (speed.max() - speed.min() <= _SAME_M_S)
    table = rows.table
    wrong = np.zeros(len(table), dtype=np.bool_)
    wrong[tests["place"].min()[alone].to_numpy(dtype=np.int64)] = True
    table.flag(
        wrong,
        "speed",
        lambda i: (
            f"{table.cell(i, 'speed')} is the only speed at which this test was read; no line can "
            "be drawn through one; add the other steps of the day"
        ),
        "warning",
    )
