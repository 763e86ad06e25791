"""Clocks: ``1:13 2/5`` in fifths of a second, ``1:13.40`` in hundredths."""

import re
from fractions import Fraction
from typing import Literal

from racecalc.errors import NotationError
from racecalc.notation.quantity import Units, add_up, read_terms, spell
from racecalc.notation.text import Ratio, refusal, refuse_negative, tidy
from racecalc.notation.writing import exact, nearest

__all__ = ["Clock", "clock_ratio", "read_clock", "write_clock"]

Clock = Literal["fifths", "hundredths"]

_WRITE = "1:13 2/5, 1:13.40, :48 or 48 s"
_UNITS = Units(
    spellings=spell(
        hour="h hr hrs hour hours",
        minute="min mins minute minutes '",
        second="s sec secs second seconds \" ''",
    ),
    factors={"hour": (3600, 1), "minute": (60, 1), "second": (1, 1)},
    metric=frozenset(),
    write=_WRITE,
)
_FACE = re.compile(
    r"(?:([0-9]{0,3}):)?(?:([0-9]{0,3}):)?"  # 1:05: or 1: or :
    r"([0-9]+)"  # 13
    r"(?:\.([0-9]+)|[ -]([0-9]+)/([0-9]+))?"  # .40 or 2/5
)
_POINT_SECONDS = re.compile(r"(.*[0-9])\.([0-9]) ?(?:s|secs?|seconds?|\"|'')\.?")
_FIFTH_TOLERANCE_S = Fraction(1, 1_000_000)


def read_clock(text: str, clock: Clock = "fifths") -> Fraction:
    """Return the seconds of a written time, exactly.

    Parameters
    ----------
    text : str
        ``1:13 2/5``, ``1:13⅖``, ``:48``, ``48``, ``48 1/5``, ``1:13.40``, ``1:05:00`` (hours,
        minutes, seconds), ``40:00``, ``40 min``, ``48 s``. Zero is read.
    clock : {"fifths", "hundredths"}
        How one digit after the point is read: ``1:13.2`` is 73 2/5 s by fifths and 73.2 s by
        hundredths. Two digits are hundredths under either; three are read by hundredths only.

    Raises
    ------
    NotationError
        If it cannot be read, is negative, has 60 seconds or more after a colon, a fraction that
        is not in fifths, or, by fifths, one digit above 4 or three digits after the point.

    Notes
    -----
    Thoroughbreds have been clocked in fifths and in hundredths: ``chicago_tribune_1989``. That
    one digit after the point may count fifths is common practice: ``practice_point_fifths``.

    Examples
    --------
    >>> float(read_clock("1:13 2/5")), float(read_clock("1:13.2", "hundredths"))
    (73.4, 73.2)
    """
    return Fraction(*clock_ratio(text, clock))


def clock_ratio(text: str, clock: str = "fifths", default_unit: str | None = None) -> Ratio:
    """Return the seconds of a written time as a ratio; see `read_clock`."""
    _check_clock(clock)
    tidied = tidy(text)
    refuse_negative(text, tidied, _WRITE)
    match = _FACE.fullmatch(tidied)
    if match is None or (default_unit is not None and ":" not in tidied):
        return _with_units(text, tidied, clock, default_unit)
    first, second, seconds, decimals, top, bottom = match.groups()
    if first is not None:
        _check_face(text, first, second, seconds)
    hours, minutes = (first, second) if second is not None else (None, first)
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds)
    numerator, denominator = _part(text, clock, decimals, top, bottom)
    return whole * denominator + numerator, denominator


def _check_clock(clock: str) -> None:
    """Refuse a setting that is none of the two."""
    if clock not in ("fifths", "hundredths"):
        raise NotationError(f'clock is "{clock}"; set it to fifths or hundredths')


def _check_face(text: str, first: str, second: str | None, seconds: str) -> None:
    """Refuse what no clock shows: 1:73, 1:5, 1:75:00, ::13."""
    if second is not None and (not first or len(second) != 2 or int(second) > 59):
        raise refusal(text, "has no minutes from 00 to 59 after its hours", "1:05:00")
    if len(seconds) != 2:
        raise refusal(text, "has no two digits for its seconds", "1:05 or :48")
    if int(seconds) > 59:
        raise refusal(
            text,
            f"has {seconds} seconds, which run from 00 to 59",
            _carried(first, second, seconds),
        )


def _carried(first: str, second: str | None, seconds: str) -> str:
    """Return the time meant by too many seconds, with the minute carried."""
    if second is not None:
        return "1:05:00"
    return f"{int(first or 0) + 1}:{int(seconds) - 60:02d} if that is meant"


def _part(
    text: str, clock: str, decimals: str | None, top: str | None, bottom: str | None
) -> Ratio:
    """Return the part of a second: fifths, or the digits after the point."""
    if top is not None:
        if bottom != "5" or not 0 < int(top) < 5:
            raise refusal(text, "has no fifths of a second (1/5 to 4/5)", "1:13 2/5 or 1:13.40")
        return int(top), 5
    if decimals is None:
        return 0, 1
    digits = len(decimals)
    if digits == 2 or (digits < 4 and clock == "hundredths"):
        return int(decimals), 10**digits
    if digits > 1:
        raise refusal(text, f"has {digits} digits after the point", "hundredths, such as 1:13.46")
    if int(decimals) > 4:
        raise refusal(
            text,
            f"has {decimals} after the point, where this barn's clock has fifths (0 to 4)",
            f"{text.strip()}0 for hundredths, or fifths such as 1:13 3/5",
        )
    return int(decimals), 5


def _with_units(text: str, tidied: str, clock: str, default_unit: str | None) -> Ratio:
    """Read ``40 min``, ``48.20 s``, ``1 min 13 s``."""
    lone = _POINT_SECONDS.fullmatch(tidied)
    if lone and clock == "fifths":
        raise refusal(
            text,
            "may be fifths or tenths of a second",
            f"{lone[1]} {lone[2]}/5 or {lone[1]}.{lone[2]}0",
        )
    return add_up(text, read_terms(text, tidied, _UNITS, default_unit), _UNITS)


def write_clock(time_s: float | Fraction, clock: Clock = "fifths") -> str:
    """Return a time as a clock shows it, such as ``1:13 2/5`` or ``1:13.40``.

    Parameters
    ----------
    time_s : float or Fraction
        Time in seconds, zero or more.
    clock : {"fifths", "hundredths"}
        By fifths, a time within a millionth of a second of a whole fifth is written so, any other
        in hundredths: a time that was measured finer is never rounded to a fifth.

    Raises
    ------
    OutOfRangeError
        If the time is not finite or is negative.
    NotationError
        If ``clock`` is none of those.

    Examples
    --------
    >>> write_clock(73.4), write_clock(73.4, "hundredths"), write_clock(48), write_clock(3900)
    ('1:13 2/5', '1:13.40', '48', '1:05:00')
    """
    _check_clock(clock)
    time = exact(time_s, "time", zero=True)
    fifths = nearest(time * 5)
    if clock == "fifths" and abs(time - Fraction(fifths, 5)) <= _FIFTH_TOLERANCE_S:
        whole, part = divmod(fifths, 5)
        return _face(whole) + (f" {part}/5" if part else "")
    whole, part = divmod(nearest(time * 100), 100)
    return f"{_face(whole)}.{part:02d}"


def _face(seconds: int) -> str:
    """Write whole seconds as ``48``, ``1:13`` or ``1:05:00``."""
    minutes, rest = divmod(seconds, 60)
    hours, minutes_left = divmod(minutes, 60)
    if hours:
        return f"{hours}:{minutes_left:02d}:{rest:02d}"
    return f"{minutes}:{rest:02d}" if minutes else str(rest)
