"""Whether two readings differ by more than the error of measuring."""

import math
from dataclasses import dataclass
from datetime import date

from racecalc.body.repeatability import SPREADS, own_error_of, smallest_detectable_change
from racecalc.body.series import SHOE_ERROR_M, Reading, Series

__all__ = ["Change", "Noise", "change", "noise"]

# Condition is scored in half points, so that only a whole point is called a change.
_HALF_POINT = 0.5


@dataclass(frozen=True)
class Noise:
    """How far apart two readings of an unchanged horse may lie, and the sources of that.

    ``limit`` is None where nothing is known of that way of measuring. ``standard_error`` is that of
    one reading, where it is known, and ``own_n`` counts the horse's own readings from which it was
    learned, where it was.
    """

    limit: float | None
    source_keys: tuple[str, ...] = ()
    standard_error: float | None = None
    own_n: int | None = None


@dataclass(frozen=True)
class Change:
    """A difference between two readings of one series.

    ``noise`` tells how large a difference must be before it is more than measuring error, and
    ``real`` whether this one is; that is None where nothing is known of that way of measuring.
    ``n`` counts the days with a reading from the first to the last.
    """

    first: Reading
    last: Reading
    difference: float
    noise: Noise
    real: bool | None
    n: int


def change(readings: Series, since: date | None = None, until: date | None = None) -> Change | None:
    """Compare the newest reading of a series with an earlier one, and say whether they differ.

    Parameters
    ----------
    readings : Series
        The series.
    since : date, optional
        Compare with the newest reading on or before this day; if there is none, or no day is
        given, with the oldest.
    until : date, optional
        Pass over readings after this day.

    Returns
    -------
    Change or None
        None when there are not two days to compare.

    Notes
    -----
    Two readings are called different when they lie further apart than `noise` says. A real
    difference may still be of no importance.
    """
    kept = [reading for reading in readings.readings if until is None or reading.day <= until]
    if len(kept) < 2:
        return None
    earlier = [number for number, reading in enumerate(kept) if since and reading.day <= since]
    start = earlier[-1] if earlier else 0
    first, last = kept[start], kept[-1]
    if first is last:
        return None
    error = noise(readings, first, last)
    difference = last.value - first.value
    return Change(
        first=first,
        last=last,
        difference=difference,
        noise=error,
        real=None if error.limit is None else abs(difference) > error.limit,
        n=len(kept) - start,
    )


def noise(readings: Series, first: Reading, last: Reading, tested: int = 1) -> Noise:
    """Return how far apart two readings of an unchanged horse may lie.

    ``tested`` is how many such differences are looked at for the largest: the limit grows with it.

    The horse's own readings up to the last of the two are asked first, the published errors where
    they are too few. From a standard error of one measurement it is the smallest detectable change;
    from half the spread of repeated measurements it is that times the square root of two, as both
    readings err. For a published error, unless both readings name one person, they are taken to be
    of two. A relative error is taken of the larger reading. Where one of two heights was brought to
    the other's shoes, the error of that is added in quadrature.

    References
    ----------
    lamas_2007 (height by stick); coleman_2002 (weight by scale); ellis_hollands_1998 (weight by
    tape and by eye); fei_pony_height, practice_shoe_allowance; practice_condition_half_points.
    """
    if readings.what == "condition":
        return Noise(_HALF_POINT, ("practice_condition_half_points",))
    found = _own(readings, last, tested) or _published(readings, first, last, tested)
    if found.limit is None or first.adjusted == last.adjusted:
        return found
    keys = (*found.source_keys, "fei_pony_height", "practice_shoe_allowance")
    limit = math.hypot(found.limit, SHOE_ERROR_M)
    return Noise(limit, keys, found.standard_error, found.own_n)


def _own(readings: Series, last: Reading, tested: int) -> Noise | None:
    own = own_error_of(readings, last.day)
    if own is None:
        return None
    limit = smallest_detectable_change(own.standard_error, own.freedom, tested)
    keys = ("gasser_1986", "altman_paulson", "jasn_repeatability")
    return Noise(limit, keys, own.standard_error, own.n)


def _published(readings: Series, first: Reading, last: Reading, tested: int) -> Noise:
    one_person = first.by is not None and first.by == last.by
    spread = SPREADS.get((readings.what, readings.method, one_person))
    if spread is None:
        return Noise(None)
    error = spread.error * (max(first.value, last.value) if spread.relative else 1.0)
    if spread.is_standard_error:
        keys = (spread.source_key, "jasn_repeatability")
        return Noise(smallest_detectable_change(error, tested=tested), keys, error)
    # Half a spread that holds practically all is the limit of one difference; of several, more.
    wider = smallest_detectable_change(1.0, tested=tested) / smallest_detectable_change(1.0)
    return Noise(wider * math.sqrt(2) * error, (spread.source_key,))
