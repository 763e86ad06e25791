"""How far readings of an unchanged horse lie apart: as published, or as its own readings show."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from scipy.special import stdtrit

from racecalc.body.series import Reading, Series
from racecalc.errors import OutOfRangeError

__all__ = [
    "SPREADS",
    "OwnError",
    "Spread",
    "own_error",
    "own_error_of",
    "smallest_detectable_change",
]


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

# The horse's own readings are asked this far back, and trusted from this freedom on, a lower one
# where nothing is published of a measurement: our choice.
_OWN_DAYS = 550
_LEAST_FREEDOM = 8.0
_LEAST_FREEDOM_ALONE = 4.0

# Three neighbours further apart than this lie on no straight line; in days, our choice.
_LONGEST_DAYS = {"weight": 75, "height": 250, "girth": 130, "length": 130, "cannon": 250}

# From so many degrees of freedom on, Student's t is the normal distribution.
_MANY = 1e6
# Readings that differ by less, as a share of them, differ by floating point alone.
_ALIKE = 1e-9
# Readings of neighbouring days are alike: only those so many days apart are compared.
_LEAST_DAYS = 5
# Readings may agree by rounding, or because what moves them moves slowly. One is not taken to be
# better than this share of the value. For weight it is what an unfed, unworked horse is published
# to differ by within a day (coleman_2002), the rest is our choice.
_LEAST_SHARE = {
    "weight": 0.0063 / math.sqrt(2),
    "height": 0.0025,
    "girth": 0.004,
    "length": 0.008,
    "cannon": 0.01,
}
# What a way of guessing repeats is no error of it: a tape or an eye may agree with itself alone.
_NOT_OF_ITSELF = (("weight", "tape"), ("weight", "estimate"), ("weight", None))


@dataclass(frozen=True)
class OwnError:
    """The standard error of one reading, learned from a horse's own; ``n`` counts the readings.

    ``freedom`` are the degrees of freedom with which it is known.
    """

    standard_error: float
    freedom: float
    n: int


def own_error(days: Sequence[float], values: Sequence[float], longest: float) -> OwnError | None:
    """Return the standard error of one reading from how readings scatter around their course.

    Each reading is compared with the straight line between its two neighbours in time, so that
    slow growth or loss is not taken for error. What swings from reading to reading is, and rightly:
    feed, water, the scale, the person.

    Parameters
    ----------
    days : sequence of float
        When, ascending, in days.
    values : sequence of float
        The readings, in any unit.
    longest : float
        Three neighbours that span more days than this are passed over.

    Returns
    -------
    OwnError or None
        None without three neighbours close enough. The degrees of freedom are those of the
        quadratic form: its mean and variance are matched to a chi-square's.

    Raises
    ------
    OutOfRangeError
        If the days do not ascend, are not as many as the values, or a value is no number.

    References
    ----------
    gasser_1986, altman_paulson.

    Examples
    --------
    >>> round(own_error([0, 7, 14], [500.0, 503.0, 500.0], 30).standard_error, 2)
    2.45
    """
    x, y = np.asarray(days, dtype=float), np.asarray(values, dtype=float)
    if len(x) != len(y) or (np.diff(x) <= 0).any():
        raise OutOfRangeError("readings: give as many days as values, each day once, ascending")
    if not np.isfinite(y).all():
        raise OutOfRangeError("readings: leave out what is missing or no number")
    close = np.flatnonzero(x[2:] - x[:-2] <= longest) if len(x) > 2 else np.zeros(0, dtype=int)
    if not len(close):
        return None
    contrasts = np.zeros((len(close), len(x)))
    rows = np.arange(len(close))
    before = (x[close + 2] - x[close + 1]) / (x[close + 2] - x[close])
    contrasts[rows, close] = before
    contrasts[rows, close + 1] = -1.0
    contrasts[rows, close + 2] = 1.0 - before
    contrasts /= np.linalg.norm(contrasts, axis=1, keepdims=True)
    variance = float(np.mean((contrasts @ y) ** 2))
    freedom = len(close) ** 2 / float(((contrasts @ contrasts.T) ** 2).sum())
    return OwnError(math.sqrt(variance), freedom, len(x))


def own_error_of(readings: Series, until: date) -> OwnError | None:
    """Return what a series tells of its own error up to a day; None where it tells too little.

    The readings of the 550 days before are asked, of those that lie closer than five days the
    first; weights by tape and by eye tell nothing of their own error, nor do readings that are all
    alike. The error is never taken to be smaller than 0.45 % of a weight, 0.25 % of a height, 0.4 %
    of a girth, 0.8 % of a length, 1 % of a cannon bone.
    """
    if readings.what not in _LONGEST_DAYS or (readings.what, readings.method) in _NOT_OF_ITSELF:
        return None
    since = until - timedelta(days=_OWN_DAYS)
    kept = _apart([reading for reading in readings.readings if since <= reading.day <= until])
    days = [reading.day.toordinal() for reading in kept]
    found = own_error(days, [reading.value for reading in kept], _LONGEST_DAYS[readings.what])
    least_freedom = _LEAST_FREEDOM if _is_published(readings) else _LEAST_FREEDOM_ALONE
    if found is None or found.freedom < least_freedom:
        return None
    if found.standard_error < _ALIKE * kept[-1].value:
        return None
    least = _LEAST_SHARE[readings.what] * kept[-1].value
    return OwnError(max(found.standard_error, least), found.freedom, found.n)


def _apart(readings: list[Reading]) -> list[Reading]:
    """Return readings that lie at least five days apart, the newest among them."""
    kept: list[Reading] = []
    for reading in reversed(readings):
        if not kept or (kept[-1].day - reading.day).days >= _LEAST_DAYS:
            kept.append(reading)
    return kept[::-1]


def _is_published(readings: Series) -> bool:
    return (readings.what, readings.method, False) in SPREADS


def smallest_detectable_change(
    standard_error: float, freedom: float = math.inf, tested: int = 1
) -> float:
    """Return the difference of two readings that measuring error passes in one case of twenty.

    Parameters
    ----------
    standard_error : float
        Standard error of one measurement, in any unit.
    freedom : float
        Degrees of freedom with which it is known; from few, the difference must be larger.
    tested : int
        How many differences are looked at: of all of them, one is passed in one case of twenty.

    Returns
    -------
    float
        The 97.5 % point of Student's t (1.96 where the error is known) times the square root of
        two times the standard error, in the same unit.

    Raises
    ------
    OutOfRangeError
        If the standard error is negative or no number, or the freedom not above zero.

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
    if not freedom > 0:
        raise OutOfRangeError(f"degrees of freedom {freedom:g}: give a number above zero")
    if tested > 1:
        reach = float(stdtrit(min(freedom, _MANY), 1 - 0.025 / tested))
    else:
        reach = 1.96 if math.isinf(freedom) else float(stdtrit(freedom, 0.975))
    return reach * math.sqrt(2) * standard_error
