"""How far a time taken by hand may lie from the true one, and what that makes of differences."""

import math

from racecalc.errors import OutOfRangeError

__all__ = [
    "CLOCK_ERROR_S",
    "CLOCK_SOURCES",
    "checked_error_s",
    "clock_error_s",
    "clock_sources",
    "difference_error_s",
    "is_difference",
]

# How far one hand-taken time may lie from the true one. Fifths are rounded down: 1:10.39 is printed
# 1:10 1/5, 0.19 s short (chicago_tribune_1989). Under hundredths the hand itself is what errs: the
# difference between hand and electronic time scatters with a standard deviation of 0.07 s for
# experienced timers (mann_2015; of sprinters, as nothing was found for clockers of horses), and
# 95 % of times lie within 1.96 of these.
CLOCK_ERROR_S = {"fifths": 0.19, "hundredths": 0.14}
CLOCK_SOURCES = {"fifths": "chicago_tribune_1989", "hundredths": "mann_2015"}


def clock_error_s(clock: str, own_s: float | None = None) -> float:
    """Return how far one hand-taken time may lie from the true one, 95 times of 100, in seconds.

    Parameters
    ----------
    clock : str
        ``fifths`` or ``hundredths``, a key of `CLOCK_ERROR_S`.
    own_s : float, optional
        What the barn has found for its own hand and watch; it goes before the published figure.

    Raises
    ------
    OutOfRangeError
        If the clock is of neither kind, or the barn's own figure is not a time above zero.

    References
    ----------
    chicago_tribune_1989; mann_2015 (as `CLOCK_SOURCES` says which for which).

    Examples
    --------
    >>> clock_error_s("fifths"), clock_error_s("fifths", 0.1)
    (0.19, 0.1)
    """
    if clock not in CLOCK_ERROR_S:
        raise OutOfRangeError(f"clock {clock!r}: write {' or '.join(CLOCK_ERROR_S)}")
    return CLOCK_ERROR_S[clock] if own_s is None else checked_error_s(own_s)


def clock_sources(clock: str, own_s: float | None = None) -> tuple[str, ...]:
    """Return the source keys behind `clock_error_s`; none where the barn has set its own.

    Raises
    ------
    OutOfRangeError
        As `clock_error_s`.

    Examples
    --------
    >>> clock_sources("fifths"), clock_sources("fifths", 0.1)
    (('chicago_tribune_1989',), ())
    """
    clock_error_s(clock, own_s)
    return (CLOCK_SOURCES[clock],) if own_s is None else ()


def checked_error_s(one_s: float) -> float:
    """Return the error of one time as it is; refuse what can be none."""
    if not 0 < one_s < math.inf:
        raise OutOfRangeError(
            f"error of one time: {one_s:g} s found; give seconds above zero, such as "
            f"{CLOCK_ERROR_S['fifths']}"
        )
    return one_s


def difference_error_s(one_s: float) -> float:
    """Return how far apart two hand-taken times of one thing may lie, in seconds.

    The two errors are independent, so the difference of two times errs by the square root of two
    times the error of one. The time of a section is such a difference: of the clocks at its ends,
    of which the first may be the start of the work, where the watch is started by hand.

    Parameters
    ----------
    one_s : float
        The error of one time in seconds, from `clock_error_s`.

    Raises
    ------
    OutOfRangeError
        If it is not above zero.

    Examples
    --------
    >>> round(difference_error_s(0.19), 2)
    0.27
    """
    return math.sqrt(2) * checked_error_s(one_s)


def is_difference(a_s: float, b_s: float, one_s: float) -> bool:
    """Tell whether two hand-taken times, in seconds, differ by more than `difference_error_s`.

    By the published error of fifths one fifth is no difference, and two fifths are.

    Raises
    ------
    OutOfRangeError
        If ``one_s``, the error of one time in seconds, is not above zero.

    Examples
    --------
    >>> is_difference(73.4, 73.2, 0.19), is_difference(73.4, 73.0, 0.19)
    (False, True)
    """
    return abs(a_s - b_s) > difference_error_s(one_s)
