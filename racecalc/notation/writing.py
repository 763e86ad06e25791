"""What every writer shares: exact rounding and fractions in ASCII."""

import math
from fractions import Fraction

from racecalc.errors import OutOfRangeError

__all__ = ["decimal", "exact", "mixed", "nearest"]


def exact(value: float | Fraction, name: str, *, zero: bool) -> Fraction:
    """Return a value to be written as a fraction; refuse negatives, NaN and infinities.

    Raises
    ------
    OutOfRangeError
        If the value is not finite, is negative, or is zero where ``zero`` is false.
    """
    if not math.isfinite(value) or value < 0 or (value == 0 and not zero):
        least = "zero or more" if zero else "more than zero"
        raise OutOfRangeError(f"{name} is {value}; only a finite value of {least} can be written")
    return Fraction(value)


def nearest(value: Fraction) -> int:
    """Return the nearest whole number; a half goes up."""
    return math.floor(value + Fraction(1, 2))


def mixed(value: Fraction) -> str:
    """Return a number as ``5``, ``5 1/2`` or ``3/4``."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def decimal(value: Fraction, decimals: int) -> str:
    """Return a number with at most ``decimals`` decimals and no idle zeros."""
    scale = 10**decimals
    whole, rest = divmod(nearest(value * scale), scale)
    if not rest:
        return str(whole)
    return f"{whole}.{rest:0{decimals}d}".rstrip("0")
