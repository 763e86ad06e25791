"""Whole columns of written values, each distinct text read once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import NotationError
from racecalc.notation.clock import Clock, clock_ratio
from racecalc.notation.distance import distance_ratio, pole_ratio
from racecalc.notation.height import height_ratio
from racecalc.notation.measures import (
    length_ratio,
    mass_ratio,
    rain_ratio,
    speed_ratio,
    temperature_ratio,
    wind_ratio,
)
from racecalc.notation.text import Ratio

__all__ = ["KINDS", "ColumnResult", "read_column"]

_READERS: dict[str, Callable[[str, str | None], Ratio]] = {
    "height": height_ratio,
    "distance": distance_ratio,
    "weight": mass_ratio,
    "speed": speed_ratio,
    "wind": wind_ratio,
    "length": length_ratio,
    "rain": rain_ratio,
    "temperature": temperature_ratio,
    "pole": pole_ratio,
}

KINDS: tuple[str, ...] = (*_READERS, "clock")
"""The kinds of value that `read_column` reads."""


@dataclass(frozen=True)
class ColumnResult:
    """A column that was read.

    Attributes
    ----------
    values : ndarray of float64, shape (n,)
        In SI units (metres, seconds, kilograms, metres per second) or degrees Celsius; NaN where
        the cell is blank or refused.
    refused : dict of int to str
        From the index of each refused cell to what is wrong with it and what to write.
    """

    values: npt.NDArray[np.float64]
    refused: dict[int, str]


def read_column(
    values: Sequence[str | None],
    kind: str,
    *,
    clock: Clock = "fifths",
    default_unit: str | None = None,
) -> ColumnResult:
    """Return the numbers of a column of written values.

    Parameters
    ----------
    values : sequence of str or None, shape (n,)
        None and blank text are unknown values, never zero.
    kind : str
        One of `KINDS`. ``wind`` is a speed that may be zero.
    clock : {"fifths", "hundredths"}
        For the kind ``clock``: how ``1:13.2`` is read.
    default_unit : str, optional
        The unit of a bare number, such as ``"mm"``. Without it a bare number is refused, but for
        clocks, where it is seconds.

    Raises
    ------
    NotationError
        If ``kind`` or ``clock`` is unknown. A cell that cannot be read raises nothing.

    Examples
    --------
    >>> read_column(["6 f", None, "6"], "distance").refused
    {2: '"6" has no unit; write 6 f, 5 1/2 f, 1 1/16 mi, 1 mi 70 yd or 1200 m'}
    """
    read = _reader(kind, clock)
    numbers: dict[str | None, float] = {}
    messages: dict[str | None, str] = {}
    for text in dict.fromkeys(values):
        numbers[text] = np.nan
        if text is None or not str(text).strip():
            continue
        try:
            numerator, denominator = read(text, default_unit)
            numbers[text] = numerator / denominator
        except NotationError as refused:
            messages[text] = str(refused)
    return ColumnResult(
        values=np.fromiter(map(numbers.__getitem__, values), dtype=np.float64, count=len(values)),
        refused=(
            {index: messages[text] for index, text in enumerate(values) if text in messages}
            if messages
            else {}
        ),
    )


def _reader(kind: str, clock: Clock) -> Callable[[str, str | None], Ratio]:
    """Return the reader of one text of a kind."""
    if kind == "clock":
        clock_ratio("0", clock)  # a wrong setting is one error, not one per cell
        return lambda text, default_unit: clock_ratio(text, clock, default_unit)
    if kind not in _READERS:
        raise NotationError(f'kind is "{kind}"; use one of {", ".join(KINDS)}')
    return _READERS[kind]
