"""Whether two tests differ by more than tests of an unchanged horse do."""

import math
from dataclasses import dataclass

from racecalc.fitness.reading import Reading

__all__ = ["REPEATS_WITHIN", "TestChange", "change"]

# V200, the speed at the highest heart rate, and that rate itself repeated within 2 %
# (vermeulen_evans_2006). Whether that is one deviation or the whole difference the abstract does
# not say; one deviation is what claims less.
REPEATS_WITHIN = 0.02

_DEVIATIONS = 1.96


@dataclass(frozen=True)
class TestChange:
    """By how much a speed differs between two tests, and by how much it must to be real.

    ``real`` is None where no error is known.
    """

    difference_m_s: float
    limit_m_s: float | None
    real: bool | None


def change(before: Reading, after: Reading, repeats: float | None) -> TestChange | None:
    """Return the change of a speed from one test to the next; None where either was not read.

    The limit is the larger of two: what the repeatability of an unchanged horse leaves, and what
    the intervals of both readings leave.

    Parameters
    ----------
    before, after : Reading
        The two speeds.
    repeats : float or None
        One deviation of repeated tests as a part of the speed; None where none is published: then
        nothing is judged, for the scatter within a test tells nothing of that from day to day.

    References
    ----------
    vermeulen_evans_2006.

    Examples
    --------
    >>> change(Reading(13.0), Reading(14.0), REPEATS_WITHIN).real
    True
    """
    if before.speed_m_s is None or after.speed_m_s is None:
        return None
    difference = after.speed_m_s - before.speed_m_s
    if repeats is None:
        return TestChange(difference, None, None)
    limits = [_repeated(before.speed_m_s, after.speed_m_s, repeats)]
    halves = [_half(one) for one in (before, after)]
    if None not in halves:
        limits.append(math.hypot(*(half for half in halves if half is not None)))
    return TestChange(difference, max(limits), abs(difference) > max(limits))


def _repeated(before: float, after: float, repeats: float) -> float:
    return _DEVIATIONS * math.sqrt(2) * repeats * (before + after) / 2


def _half(reading: Reading) -> float | None:
    if reading.low_m_s is None or reading.high_m_s is None:
        return None
    return (reading.high_m_s - reading.low_m_s) / 2
