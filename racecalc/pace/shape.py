"""The shape of a work: how even it was, and how it finished against how it began.

Both are told with the error of the watch. The clocks at the poles err independently; the times of
two neighbouring sections share a clock, which makes one of them short where the other is long.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.pace.cuts import SAME_PLACE_M
from racecalc.pace.speeds import FloatArray
from racecalc.pace.watch import checked_error_s
from racecalc.units import FURLONG_M

__all__ = ["Evenness", "FinishAgainstStart", "evenness", "finish_against_start"]

# The error of a time is what 95 of 100 keep within: this many standard deviations, if normal.
_DEVIATIONS = 1.96
_RARE = 0.05
_FEWEST_SECTIONS = 3
# Neither part of a work that is set against the other is smaller than this share of it.
_SMALLEST_SHARE = 1 / 3


@dataclass(frozen=True)
class Evenness:
    """How far the sections of a work lie apart in pace.

    Attributes
    ----------
    spread_s : float
        The slowest less the quickest section, in seconds per furlong; nan for fewer than three.
    error_s : float
        The spread that the error of the watch makes in at most 5 of 100 works of even pace, in
        seconds per furlong; nan likewise.
    section_m : float
        Length of the sections compared; nan likewise.
    sections : int
        How many those are.
    verdict : {"even", "uneven", None}
        ``even`` where the spread is within the error: the watch cannot tell it from an even pace.
        None for fewer than three sections.
    """

    spread_s: float
    error_s: float
    section_m: float
    sections: int
    verdict: Literal["even", "uneven"] | None


@dataclass(frozen=True)
class FinishAgainstStart:
    """The pace of the last part of a work less that of its first part.

    Attributes
    ----------
    change_s : float
        In seconds per furlong; above zero where the last part was the slower. nan for a work of
        fewer than two sections.
    error_s : float
        The error of that change, in seconds per furlong; nan likewise.
    first_m, last_m : float
        Lengths of the two parts; nan likewise.
    verdict : {"quickened", "slowed", None}
        None where the change is within its error, or not known.
    """

    change_s: float
    error_s: float
    first_m: float
    last_m: float
    verdict: Literal["quickened", "slowed"] | None


def evenness(sections: pd.DataFrame, one_s: float) -> Evenness:
    """Tell whether the sections of a work differ in pace by more than the watch errs.

    Sections before the end are compared that are of one length: that which most of them have, of
    two the shorter. A longer section, where a pole was missed, errs less by the furlong and hides
    what happened in it.

    Parameters
    ----------
    sections : DataFrame
        From `racecalc.pace.sections`, of one work.
    one_s : float
        The error of one time in seconds, from `clock_error_s`.

    Raises
    ------
    OutOfRangeError
        If the error is not above zero.

    Notes
    -----
    The range of k sections is larger than any difference chosen beforehand. Where clocks err with
    standard deviation s, two sections that share a clock differ with a variance of 6 s², two that
    do not with 4 s². The chances of all pairs to lie more than u apart, added up, are at least the
    chance of the range to exceed u; ``error_s`` is the u where they add up to 5 in 100.

    Examples
    --------
    >>> from racecalc.pace import sections
    >>> work = sections(804.672, 49.0, [603.504, 402.336, 201.168], [13.0, 25.2, 37.2])
    >>> found = evenness(work, 0.19)
    >>> round(found.spread_s, 1), round(found.error_s, 2), found.verdict
    (1.2, 0.58, 'uneven')
    """
    error_s = checked_error_s(one_s)
    work = _before_the_end(sections)
    distance, begin, end, pace = (
        work[name].to_numpy()
        for name in ("distance_m", "from_m", "to_finish_m", "seconds_per_furlong")
    )
    length_m = _usual_length_m(distance)
    like = np.abs(distance - length_m) <= SAME_PLACE_M
    begin, end, pace = begin[like], end[like], pace[like]
    if len(pace) < _FEWEST_SECTIONS:
        return Evenness(math.nan, math.nan, math.nan, len(pace), None)
    neighbours = int((begin[1:] == end[:-1]).sum())
    apart = math.comb(len(pace), 2) - neighbours
    error = _range_limit(neighbours, apart) * error_s / _DEVIATIONS * FURLONG_M / length_m
    spread = float(pace.max() - pace.min())
    return Evenness(spread, error, length_m, len(pace), "uneven" if spread > error else "even")


def _before_the_end(sections: pd.DataFrame) -> pd.DataFrame:
    return sections[~sections["gallop_out"] & sections["time_s"].notna()]


def _usual_length_m(lengths_m: FloatArray) -> float:
    """Return the length that most sections have, of two the shorter; nan where there is none."""
    if not lengths_m.size:
        return math.nan
    alike = np.abs(lengths_m[:, None] - np.sort(lengths_m)) <= SAME_PLACE_M
    return float(np.sort(lengths_m)[alike.sum(axis=0).argmax()])


def _range_limit(neighbours: int, apart: int) -> float:
    """Return the range that sections of even pace rarely exceed, in deviations of one clock.

    Parameters
    ----------
    neighbours, apart : int
        How many pairs of sections share a clock, and how many do not.
    """
    low, high = 0.0, 40.0
    for _ in range(60):  # halved 60 times, what is left is below a float's own noise
        middle = (low + high) / 2
        # Both tails of a normal difference: erfc(u / (d √2)), its deviation d being √6 or 2.
        chance = neighbours * math.erfc(middle / math.sqrt(12)) + apart * math.erfc(
            middle / math.sqrt(8)
        )
        low, high = (middle, high) if chance > _RARE else (low, middle)
    return high


def finish_against_start(sections: pd.DataFrame, one_s: float) -> FinishAgainstStart:
    """Tell whether a work quickened or slowed by more than the watch errs.

    Its two halves are compared, as nearly as its clocked poles part it into halves, and of two
    poles equally near the middle the one nearer to the finish: halves use every furlong, and the
    longer a part, the less its pace errs. Where no pole is clocked in the middle third, the first
    section is compared with the last.

    Parameters
    ----------
    sections : DataFrame
        From `racecalc.pace.sections`, of one work. Where the end of the work was not clocked, what
        is told is that of the ground which was.
    one_s : float
        The error of one time in seconds, from `clock_error_s`.

    Raises
    ------
    OutOfRangeError
        If the error is not above zero.

    Notes
    -----
    Over parts of a and b furlongs that have no clock in common, each clocked at both ends, the
    change errs by one_s √(2/a² + 2/b²). Where they share the clock between them, a late reading
    makes the first slow and the last quick: one_s √(2/a² + 2/b² + 2/(ab)).

    Examples
    --------
    >>> from racecalc.pace import sections
    >>> work = sections(804.672, 49.0, [603.504, 402.336, 201.168], [13.0, 25.2, 37.2])
    >>> found = finish_against_start(work, 0.19)
    >>> round(found.change_s, 1), round(found.error_s, 2), found.verdict
    (-0.7, 0.23, 'quickened')
    """
    error_s = checked_error_s(one_s)
    work = _before_the_end(sections)
    if len(work) < 2:
        return FinishAgainstStart(math.nan, math.nan, math.nan, math.nan, None)
    length, time = work["distance_m"].to_numpy(), work["time_s"].to_numpy()
    first, last = _parts(length)
    (a_m, a_s), (b_m, b_s) = ((length[part].sum(), time[part].sum()) for part in (first, last))
    change = float(b_s / b_m - a_s / a_m) * FURLONG_M
    shared = 1 / (a_m * b_m) if first.stop == last.start else 0.0
    error = float(error_s * FURLONG_M * np.sqrt(2 * (1 / a_m**2 + 1 / b_m**2 + shared)))
    return FinishAgainstStart(change, error, float(a_m), float(b_m), _verdict(change, error))


def _verdict(change: float, error: float) -> Literal["quickened", "slowed"] | None:
    if abs(change) <= error:
        return None
    return "quickened" if change < 0 else "slowed"


def _parts(length_m: npt.NDArray[np.float64]) -> tuple[slice, slice]:
    """Return the sections of the first part and of the last."""
    count = len(length_m)
    share = np.cumsum(length_m)[:-1] / length_m.sum()
    off_middle = np.abs(share - 0.5).round(6)
    if off_middle.min() > round(0.5 - _SMALLEST_SHARE, 6):
        return slice(0, 1), slice(count - 1, count)
    # The last of the nearest.
    middle = count - 1 - int(off_middle[::-1].argmin())
    return slice(0, middle), slice(middle, count)
