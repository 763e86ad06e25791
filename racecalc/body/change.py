"""Whether two readings differ by more than the error of measuring."""

import math
from dataclasses import dataclass
from datetime import date

from racecalc.body.series import Reading, Series
from racecalc.errors import OutOfRangeError

__all__ = ["SPREADS", "Change", "Spread", "change", "noise", "smallest_detectable_change"]


@dataclass(frozen=True)
class Spread:
    """How far repeated measurements of an unchanged horse lie apart, and who printed it.

    ``error`` is the standard error of one measurement when ``is_standard_error``, else half of the
    spread in which repeated measurements lay. It is in the unit of the measurement, or a fraction
    of it when ``relative``.
    """

    error: float
    is_standard_error: bool
    relative: bool
    source_key: str


# Keyed by measurement, method, and whether one person took both readings.
#
# height: the abstract prints the spread of repeated measurements as plus or minus 1.06 cm for one
#   person and 1.89 cm for three; it is taken as half the width that holds practically all of them.
# weight by scale: morning to four hours later, unexercised horses changed by a mean of 0.19 % with
#   +/- 0.63 %. It is taken as the standard error of one weighing. If it is a standard deviation of
#   changes, as the P values printed beside it suggest, the error of one weighing is smaller by the
#   square root of two, so that this choice errs to the side of not claiming a change.
# weight by tape: the standard deviation, between horses of 15 hands and more, of the tape's reading
#   as a percentage of the scale's. Two tapes had 9.1 and 9.2; which one a barn owns is unknown.
#   A part of it is the build of each horse and cancels within one horse: an upper limit.
# weight by eye: likewise.
# condition: scored in half points, so that only a whole point is called a change.
SPREADS: dict[tuple[str, str | None, bool], Spread] = {
    ("height", "stick", True): Spread(0.0106, False, False, "lamas_2007"),
    ("height", "stick", False): Spread(0.0189, False, False, "lamas_2007"),
    ("weight", "scale", True): Spread(0.0063, True, True, "coleman_2002"),
    ("weight", "scale", False): Spread(0.0063, True, True, "coleman_2002"),
    ("weight", "tape", True): Spread(0.092, True, True, "ellis_hollands_1998"),
    ("weight", "tape", False): Spread(0.092, True, True, "ellis_hollands_1998"),
    ("weight", "estimate", True): Spread(0.222, True, True, "ellis_hollands_1998"),
    ("weight", "estimate", False): Spread(0.222, True, True, "ellis_hollands_1998"),
}

_HALF_POINT = 0.5


@dataclass(frozen=True)
class Change:
    """A difference between two readings of one series.

    ``noise`` is how large a difference must be before it is more than measuring error, and ``real``
    whether this one is; both are None where nothing is published for that way of measuring.
    ``n`` counts the days with a reading from the first to the last.
    """

    first: Reading
    last: Reading
    difference: float
    noise: float | None
    real: bool | None
    n: int
    source_keys: tuple[str, ...]


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
    limit, source_keys = noise(readings, first, last)
    difference = last.value - first.value
    return Change(
        first=first,
        last=last,
        difference=difference,
        noise=limit,
        real=None if limit is None else abs(difference) > limit,
        n=len(kept) - start,
        source_keys=source_keys,
    )


def noise(readings: Series, first: Reading, last: Reading) -> tuple[float | None, tuple[str, ...]]:
    """Return how far apart two readings of an unchanged horse may lie, and the sources of that.

    From a standard error of one measurement it is the smallest detectable change; from half the
    spread of repeated measurements it is that times the square root of two, as both readings err.
    Unless both readings name one person, they are taken to be of two. A relative error is taken of
    the larger reading.

    References
    ----------
    lamas_2007 (height by stick); coleman_2002 (weight by scale); ellis_hollands_1998 (weight by
    tape and by eye); practice_condition_half_points.
    """
    if readings.what == "condition":
        return _HALF_POINT, ("practice_condition_half_points",)
    one_person = first.by is not None and first.by == last.by
    spread = SPREADS.get((readings.what, readings.method, one_person))
    if spread is None:
        return None, ()
    error = spread.error * (max(first.value, last.value) if spread.relative else 1.0)
    if spread.is_standard_error:
        return smallest_detectable_change(error), (spread.source_key, "jasn_repeatability")
    return math.sqrt(2) * error, (spread.source_key,)


def smallest_detectable_change(standard_error: float) -> float:
    """Return the difference of two readings that measuring error passes in one case of twenty.

    Parameters
    ----------
    standard_error : float
        Standard error of one measurement, in any unit.

    Returns
    -------
    float
        1.96 times the square root of two times the standard error, in the same unit.

    Raises
    ------
    OutOfRangeError
        If the standard error is negative or no number.

    References
    ----------
    jasn_repeatability (residual mean square and smallest detectable difference of its table).

    Examples
    --------
    >>> round(smallest_detectable_change(1.2806), 2)
    3.55
    """
    if not standard_error >= 0:
        raise OutOfRangeError(f"standard error {standard_error:g}: give a number of zero or more")
    return 1.96 * math.sqrt(2) * standard_error
