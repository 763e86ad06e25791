"""What a measured body can be: impossible values are errors, unlikely ones warnings and still used.

The limits are this project's own choice. Those of grown horses lie far outside what is printed of
Thoroughbreds in training (means of 441 to 460 kg and about 156 cm; girths of 1.8 to 1.9 m in the
worked examples of the tape formulas), so that only a slipped digit or a wrong unit is outside.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.daybook.meant import other_unit
from racecalc.daybook.table import Mask, Table

__all__ = ["ADULT_YEARS", "Ages", "ages", "check_measurements", "unlikely", "warn_of_unlikely"]

ADULT_YEARS = 2
"""A younger horse, by the year, is light and low for good reason; one of unknown age is grown."""

Ages = npt.NDArray[np.float64]
Range = tuple[float, float]


@dataclass(frozen=True)
class _Body:
    """What one measurement can be, in SI units.

    ``least`` holds the smallest of any horse, of a yearling and of a grown horse; ``likely`` is of
    grown horses where the measurement ``grows``, of any horse where it does not.
    """

    least: tuple[float, float, float]
    most: float
    likely: Range
    usual: str
    grows: bool = True
    unit: str = "m"
    size: float = 1.0

    def said(self, least: float) -> str:
        return f"{least / self.size:g} to {self.most / self.size:g} {self.unit}".strip()


# A yearling may be seven months old in January: some 0.45 of its grown weight, 0.8 of its height.
_BODY: Mapping[str, _Body] = {
    "weight": _Body((30, 120, 250), 1000, (350, 700), "350 to 700 kg", unit="kg"),
    "height": _Body((0.7, 1.0, 1.2), 2.1, (1.42, 1.83), "14.0 to 18.0 hands"),
    "girth": _Body((0.6, 1.0, 1.2), 2.6, (1.5, 2.2), "1.5 to 2.2 m"),
    "length": _Body((0.5, 0.8, 0.9), 2.6, (1.3, 2.2), "1.3 to 2.2 m"),
    "cannon": _Body((0.08, 0.1, 0.12), 0.4, (0.15, 0.28), "15 to 28 cm", unit="cm", size=0.01),
    "condition": _Body((1, 1, 1), 9, (2, 8), "2 to 8", False, ""),
    "temperature": _Body((35, 35, 35), 43, (36, 39.5), "36 to 39.5 °C", False, "°C"),
    "pulse": _Body((15, 15, 15), 250, (20, 240), "20 to 240 beats/min", False, "beats/min"),
}


def ages(table: Table, birth_years: Mapping[str, float]) -> Ages:
    """Return the age of the horse of each row, by the year; NaN where unknown."""
    born = table.frame["horse"].map(dict(birth_years)).to_numpy(dtype=np.float64)
    years = table.frame["date"].dt.year.to_numpy(dtype=np.float64)
    return np.asarray(years - born, dtype=np.float64)


def check_measurements(table: Table, age: Ages) -> Mask:
    """Refuse measurements that no horse of that age can have.

    Parameters
    ----------
    table : Table
        The measurements.
    age : array of float, shape (rows,)
        The age by the year, NaN where unknown: such a horse is taken for grown.

    Returns
    -------
    array of bool, shape (rows,)
        Which values were told to be impossible.
    """
    what, values = table.texts("what"), table.values("value")
    told = np.zeros(len(table), dtype=np.bool_)
    for name, body in _BODY.items():
        any_horse, of_yearling, of_grown = body.least
        rows = np.asarray(what == name, dtype=np.bool_)
        steps = (
            (rows & (values > body.most), any_horse, "horse"),
            (rows & (values < any_horse), any_horse, "horse"),
            (rows & (age == 1) & (values < of_yearling), of_yearling, "yearling"),
            (rows & _grown(age) & (values < of_grown), of_grown, "grown horse"),
        )
        for wrong, least, who in steps:
            says = _says(table, name, age, f"no {who} has", body.said(least), "correct it")
            table.flag(wrong & ~told, "value", says)
            told |= wrong
    scores = np.asarray(what == "condition", dtype=np.bool_) & (values * 2 != np.round(values * 2))
    table.flag(
        scores & ~np.isnan(values),
        "value",
        lambda i: f"{table.cell(i, 'value')} is no condition score; write 1 to 9 in halves",
    )
    return told


def unlikely(table: Table, age: Ages) -> Mask:
    """Return which measurements few horses have; a growing horse is spoken of in no such way."""
    what, values = table.texts("what"), table.values("value")
    found = np.zeros(len(table), dtype=np.bool_)
    for name, body in _BODY.items():
        few, many = body.likely
        rows = np.asarray(what == name, dtype=np.bool_) & ((values < few) | (values > many))
        found |= rows & _grown(age) if body.grows else rows
    return found


def warn_of_unlikely(table: Table, age: Ages, told: Mask) -> None:
    """Warn of measurements that few horses have, where no error was ``told`` of the value."""
    what, found = table.texts("what"), unlikely(table, age) & ~told
    for name, body in _BODY.items():
        says = _says(table, name, age, "few horses have", body.usual, "check it")
        table.flag(found & np.asarray(what == name, dtype=np.bool_), "value", says, "warning")


def _grown(age: Ages) -> Mask:
    return np.asarray(~(age < ADULT_YEARS), dtype=np.bool_)


def _says(
    table: Table, what: str, age: Ages, who: str, usual: str, act: str
) -> Callable[[int], str]:
    """Quote a value, and say what was meant where it would be likely in the other unit."""
    body, values = _BODY[what], table.values("value")
    few, many = body.likely

    def message(i: int) -> str:
        low = body.least[int(age[i])] if age[i] in (0, 1) else few
        meant = other_unit(table.text(i, "value"), float(values[i]), low, many)
        value = table.cell(i, "value")
        return f"{value} is a {what} that {who} (outside {usual}){meant or f'; {act}'}"

    return message
