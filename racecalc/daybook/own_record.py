"""Whether a measurement fits its horse's own record: one that cannot belong there is an error.

Each reading is compared with the horse's other readings of its kind in a window of days around it:
with the other one where there is one, else with the median of all. Where two contradict each other,
and neither a third nor what horses usually have tells which is wrong, both are refused. Weights are
compared only with weights taken the same way; a height with every height, shod or not. The limits
and windows are this project's own choice. They find a slipped digit, a wrong unit or another
horse's value; a real horse keeps well inside: transport, gut fill and a race move weight by 1 to
4 %, seasons by 6 to 8 kg, shoes and posture height by 1 to 2 cm. A yearling grows, so that half the
window is looked at, and its readings are compared with each other only; a younger horse is not
compared. No value is ever changed.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
import pandas as pd
from pandas.api.indexers import BaseIndexer

from racecalc.daybook.body_limits import ADULT_YEARS, Ages, unlikely
from racecalc.daybook.meant import like, other_unit
from racecalc.daybook.table import Mask, Table

__all__ = ["check_own_record"]

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]


@dataclass(frozen=True)
class _Kind:
    """How far a reading may lie from the horse's others, and how many days around it count.

    Limits are a fraction of what is compared with, in metres for heights.
    """

    what: str
    days: int
    error: float
    warning: float
    absolute: bool = False


_KINDS = (
    _Kind("weight", 60, 0.30, 0.10),
    _Kind("height", 100, 0.075, 0.04, absolute=True),
    _Kind("girth", 60, 0.20, 0.10),
    _Kind("length", 60, 0.20, 0.10),
    _Kind("cannon", 60, 0.20, 0.10),
)
_WEIGHT = 0  # tape and eye err by 9 and 22 % of a weight, so that only a scale has the warning
_ERROR = np.array([kind.error for kind in _KINDS])
_WARNING = np.array([kind.warning for kind in _KINDS])
_ABSOLUTE = np.array([kind.absolute for kind in _KINDS])
_DAYS = np.array([kind.days for kind in _KINDS])

_MOST_DAYS = 100_000  # more than there are days from 1970 to 2099, with a window at either end
_SAME = 1e-9  # two notations of one limit may differ in the last digit


class _Windows(BaseIndexer):
    """Windows with given ends, for pandas' rolling median."""

    start: Places
    end: Places

    def get_window_bounds(  # pandas asks for these names
        self,
        num_values: int = 0,
        min_periods: int | None = None,
        center: bool | None = None,
        closed: str | None = None,
        step: int | None = None,
    ) -> tuple[Places, Places]:
        """Return the first place of each window, and the one after its last."""
        return self.start, self.end


@dataclass(frozen=True)
class _Record:
    """Readings in order of horse, kind, way and day; the same figure twice in a day counts once.

    ``kind`` is the place in `_KINDS`, ``row`` the position in the table. ``reach`` is how many days
    around a reading count, ``unlikely`` whether few horses have such a value. ``first`` and
    ``last`` are the ends of the reading's window in this order, the last itself outside.
    """

    kind: Places
    value: Floats
    row: Places
    reach: Places
    unlikely: Mask
    first: Places
    last: Places

    @cached_property
    def count(self) -> Places:
        """How many readings stand in each window, the reading itself included."""
        return self.last - self.first

    @cached_property
    def other(self) -> Places:
        """The other reading of a window of two; elsewhere the reading itself."""
        own = np.arange(len(self.value))
        return np.where(self.count == 2, self.first + self.last - 1 - own, own)

    @cached_property
    def compared_with(self) -> Floats:
        """The other reading of two, or the median of more."""
        windows = _Windows(start=self.first, end=self.last)
        median = pd.Series(self.value).rolling(windows, min_periods=1).median().to_numpy()
        return np.where(self.count == 2, self.value[self.other], median)

    @cached_property
    def alone(self) -> Mask:
        """Whether no third reading could tell which of two is wrong."""
        return np.asarray((self.count == 2) & (self.count[self.other] == 2), dtype=np.bool_)

    @cached_property
    def undecided(self) -> Mask:
        """Whether of two readings alone neither is likelier than the other."""
        return np.asarray(self.alone & (self.unlikely == self.unlikely[self.other]), dtype=np.bool_)

    def beyond(self, limits: Floats) -> Mask:
        """Return which readings lie beyond a limit.

        Of two readings the difference is a fraction of the smaller, the same for both. One that is
        shown to be wrong, by a third reading or as few horses have it, says nothing about the
        other.
        """
        two = np.minimum(self.value, self.compared_with)
        base = np.where(self.count == 2, two, self.compared_with)
        base[_ABSOLUTE[self.kind]] = 1.0
        away = np.abs(self.value - self.compared_with) > limits * base * (1 + _SAME)
        shown_wrong = away & ((self.count > 2) | (self.alone & ~self.undecided & self.unlikely))
        return np.asarray(away & ((self.count > 2) | ~shown_wrong[self.other]), dtype=np.bool_)


def check_own_record(table: Table, age: Ages) -> Mask:
    """Check weights, heights, girths, lengths and cannons against each horse's own record.

    Rows that are refused already are no record. Takes about a second for a million readings.

    Parameters
    ----------
    table : Table
        The measurements.
    age : array of float, shape (rows,)
        The age by the year, NaN where unknown: such a horse is taken for grown.

    Returns
    -------
    array of bool, shape (rows,)
        Which values were told to be wrong.
    """
    record, of_row = _record(table, age)
    scale = np.asarray(table.texts("method") == "scale", dtype=np.bool_)[record.row]
    early = scale | (record.kind != _WEIGHT)
    error = record.beyond(_ERROR[record.kind])
    warning = record.beyond(np.where(early, _WARNING[record.kind], np.inf)) & ~error
    told = _rows(error, of_row)
    table.flag(told, "value", _says(table, record, of_row, "error"))
    table.flag(_rows(warning, of_row), "value", _says(table, record, of_row, "warning"), "warning")
    return told


def _rows(found: Mask, of_row: Places) -> Mask:
    """Return the rows of the table that hold one of the readings found."""
    return np.append(found, False)[of_row]  # -1, a row without a reading, takes the last


def _record(table: Table, age: Ages) -> tuple[_Record, Places]:
    """Sort what can be compared; also return the reading of each row of the table, -1 for none."""
    what, value = table.texts("what"), table.values("value")
    kind = np.full(len(table), -1)
    for place, one in enumerate(_KINDS):
        kind[np.asarray(what == one.what, dtype=np.bool_)] = place
    horse, _ = pd.factorize(table.texts("horse"))
    method, ways = pd.factorize(table.texts("method"))
    way = np.where(kind == _WEIGHT, method + 1, 0)
    known = (kind >= 0) & (horse >= 0) & ~np.isnan(value) & ~np.isnat(table.dates("date"))
    rows = np.flatnonzero(known & ~table.refused & ~(age < 1))
    young = age < ADULT_YEARS
    group = ((horse * len(_KINDS) + kind) * (len(ways) + 1) + way) * 2 + young
    day = table.dates("date").astype("datetime64[D]").astype(np.int64)
    rows = rows[np.lexsort((value[rows], day[rows], group[rows]))]
    columns = (group[rows], day[rows], value[rows])
    fresh = np.ones(len(rows), dtype=np.bool_)
    fresh[1:] = np.any([column[1:] != column[:-1] for column in columns], axis=0)
    of_row = np.full(len(table), -1)
    of_row[rows] = np.cumsum(fresh) - 1
    kept = rows[fresh]
    reach = _DAYS[kind[kept]] // np.where(young[kept], 2, 1)
    place = group[kept] * _MOST_DAYS + day[kept]
    first = np.searchsorted(place, place - reach, "left")
    last = np.searchsorted(place, place + reach, "right")
    rare = unlikely(table, age)[kept]
    return _Record(kind[kept], value[kept], kept, reach, rare, first, last), of_row


def _says(table: Table, record: _Record, of_row: Places, level: str) -> Callable[[int], str]:
    def message(row: int) -> str:
        place = int(of_row[row])
        kind = _KINDS[record.kind[place]]
        value, reference = float(record.value[place]), float(record.compared_with[place])
        text = table.text(row, "value")
        away = _away(text, kind, value, reference)
        near = kind.warning * (1.0 if kind.absolute else reference)
        meant = other_unit(text, value, reference - near, reference + near)
        other = _other(table, record, place, text)
        which = "; one of the two is wrong" if record.undecided[place] and level == "error" else ""
        act = meant or ("; correct it" if level == "error" else "; check it")
        return f"{table.cell(row, 'value')} is {away} {other}{which}{act}"

    return message


def _away(text: str, kind: _Kind, value: float, reference: float) -> str:
    """Say how far a reading is from what it is compared with."""
    side = "above" if value > reference else "below"
    if kind.absolute:
        return f"{like(text, 'difference', abs(value - reference))} {side}"
    times = value / reference
    if 1.98 <= times <= 2.02:
        return "twice"
    return f"{times:.1f} times" if times >= 1.5 else f"{abs(times - 1) * 100:.0f} % {side}"


def _other(table: Table, record: _Record, place: int, text: str) -> str:
    """Name what a reading is compared with; a median in the notation of the reading's cell."""
    kind = _KINDS[record.kind[place]]
    if record.count[place] == 2:
        beside = int(record.row[record.other[place]])
        day = table.dates("date")[beside].astype("datetime64[D]")
        return (
            f"the {kind.what} of {day} ({table.cell(beside, 'value')} in row {table.row(beside)})"
        )
    days = int(record.reach[place])
    said = like(text, kind.what, float(record.compared_with[place]))
    return f"the median of the {record.count[place]} {kind.what}s within {days} days ({said})"
