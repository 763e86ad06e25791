"""Distances in furlongs, miles, yards and metres, and poles: what is left to the finish."""

import re
from fractions import Fraction
from typing import Literal

from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation.quantity import Units, add_up, read_terms, spell
from racecalc.notation.text import Ratio, refusal, tidy
from racecalc.notation.writing import decimal, exact, mixed, nearest
from racecalc.units import EXACT_M

__all__ = [
    "DistanceStyle",
    "distance_ratio",
    "pole_ratio",
    "read_distance",
    "read_pole",
    "write_distance",
    "write_pole",
]

_WRITE = "6 f, 5 1/2 f, 1 1/16 mi, 1 mi 70 yd or 1200 m"
_UNITS = Units(
    spellings=spell(
        mile="mi mile miles",
        furlong="f fur furs furlong furlongs",
        yard="y yd yds yard yards",
        foot="ft foot feet '",
        inch="in inch inches \" ''",
        kilometre="km kilometre kilometres kilometer kilometers",
        metre="m metre metres meter meters",
        centimetre="cm",
    ),
    factors={name: size.as_integer_ratio() for name, size in EXACT_M.items()},
    metric=frozenset({"kilometre", "metre", "centimetre"}),
    write=_WRITE,
)
# Nobody works 100 miles, and nobody times a stretch shorter than 100 m, so from there on a lone
# `m` is a metre; below it may be a mile as well.
_LEAST_LONE_METRES = 100

_POLE_WRITE = "what is left to the finish, such as 5/8, 400 m or finish, or past it +1/8 or +200 m"
_POLE_MILES = re.compile(r"(?:([0-9]{1,2})[ -])?([0-9]{1,2})/([0-9]{1,2})")

_MILE = 176_000
_FURLONG = 22_000
_YARD = 100
_HUNDREDTH_YARD_M = EXACT_M["yard"] / 100
_NEAR_M = Fraction(1, 1_000_000)  # what the float of an exact distance may be off

DistanceStyle = Literal["trade", "furlongs", "miles", "metres"]


def read_distance(text: str) -> Fraction:
    """Return the metres of a written distance, exactly.

    Parameters
    ----------
    text : str
        ``6f``, ``5 1/2 f``, ``3/4 mi``, ``1 1/16 mi``, ``1 mi 70 yd``, ``1m2f``, ``7f 110y``,
        ``1200 m``, ``1.2 km``, ``660 ft``. Zero is read (``0 f``).

    Raises
    ------
    NotationError
        If it cannot be read, has no unit, is negative, or is a lone ``m`` below 100, which may be
        a mile or a metre.

    Examples
    --------
    >>> float(read_distance("1 mi 70 yd"))
    1673.352
    """
    return Fraction(*distance_ratio(text))


def distance_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres of a written distance as a ratio; see `read_distance`."""
    return _distance(text, tidy(text), default_unit)


def _distance(text: str, tidied: str, default_unit: str | None) -> Ratio:
    """Read a tidied distance; ``m`` before furlongs or yards is a mile."""
    terms = read_terms(text, tidied, _UNITS, default_unit)
    numerator, denominator, unit = terms[0]
    if unit == "m" and len(terms) > 1 and not terms[-1][2].endswith("m"):
        terms[0] = (numerator, denominator, "mi")
    short = 0 < numerator < _LEAST_LONE_METRES * denominator
    if unit == "m" and len(terms) == 1 and short and not tidied[-1].isdigit():
        number = tidied.rstrip(" .m")
        raise refusal(
            text, "may be a mile or a metre", f"{number} mi, or spell out {number} metres"
        )
    return add_up(text, terms, _UNITS)


def read_pole(text: str) -> Fraction:
    """Return the metres from a pole to the finish, exactly; past the finish they are negative.

    Parameters
    ----------
    text : str
        ``5/8`` (of a mile), ``1 1/8``, ``3/16``, ``400 m``, ``finish``; ``+1/8`` and ``+200 m`` are
        past the finish, galloping out.

    Raises
    ------
    NotationError
        If it cannot be read, is a bare number or zero, or has a minus sign.

    Notes
    -----
    Poles are named by what is left to the finish: ``practice_poles``.

    Examples
    --------
    >>> float(read_pole("5/8")), float(read_pole("+1/8"))
    (1005.84, -201.168)
    """
    return Fraction(*pole_ratio(text))


def pole_ratio(text: str, default_unit: str | None = None) -> Ratio:
    """Return the metres from a pole to the finish as a ratio; see `read_pole`."""
    tidied = tidy(text)
    if tidied == "finish":
        return 0, 1
    past = tidied.startswith("+")
    if past:
        tidied = tidied[1:].lstrip()
    numerator, denominator = _left_to_run(text, tidied, default_unit)
    if numerator == 0:
        raise refusal(text, "is no pole", _POLE_WRITE)
    return (-numerator if past else numerator), denominator


def _left_to_run(text: str, tidied: str, default_unit: str | None) -> Ratio:
    """Read a fraction of a mile, or a distance with its unit."""
    if _POLE_MILES.fullmatch(tidied) and default_unit is None:
        return _distance(text, tidied, "mi")
    try:
        return _distance(text, tidied, default_unit)
    except NotationError as wrong:
        raise refusal(text, "is no pole that can be read", _POLE_WRITE) from wrong


def write_distance(distance_m: float | Fraction, style: DistanceStyle = "trade") -> str:
    """Return a distance in the trade's notation, such as ``5 1/2 f`` or ``1 mi 70 yd``.

    Parameters
    ----------
    distance_m : float or Fraction
        Distance in metres, zero or more.
    style : {"trade", "furlongs", "miles", "metres"}
        ``trade`` writes a round metric distance (a multiple of 10 m) in metres, furlongs under a
        mile, miles from a mile on. Furlongs are cut into quarters and miles into sixteenths; what
        does not fit is left over in yards, to 1/100 yard. Metres are written to the millimetre.

    Raises
    ------
    OutOfRangeError
        If the distance is not finite or is negative, or ``style`` is none of those.

    Examples
    --------
    >>> [write_distance(m) for m in (1106.424, 1200, 1673.352, 1709.928)]
    ['5 1/2 f', '1200 m', '1 mi 70 yd', '1 1/16 mi']
    """
    distance = exact(distance_m, "distance", zero=True)
    if style == "trade":
        style = _trade_style(distance)
    if style == "metres":
        return _metres(distance)
    hundredths = nearest(distance / _HUNDREDTH_YARD_M)
    if style == "furlongs":
        return _with_yards(hundredths, _FURLONG, 4, "f")
    if style == "miles":
        return _with_yards(hundredths, _MILE, 16, "mi")
    raise OutOfRangeError(f'style is "{style}"; use trade, furlongs, miles or metres')


def _trade_style(distance: Fraction) -> Literal["furlongs", "miles", "metres"]:
    """Return how the trade writes a distance."""
    metres = nearest(distance)
    if metres >= 100 and metres % 10 == 0 and abs(distance - metres) < _NEAR_M:
        return "metres"
    return "miles" if nearest(distance / _HUNDREDTH_YARD_M) >= _MILE else "furlongs"


def _metres(distance: Fraction) -> str:
    """Write metres; a short distance is spelled out, for a lone ``m`` might be a mile there."""
    written = decimal(distance, 3)
    unit = "m" if Fraction(written) >= _LEAST_LONE_METRES else "metres"
    return f"{written} {unit}"


def _with_yards(hundredths: int, unit: int, parts: int, name: str) -> str:
    """Write hundredths of a yard as parts of a unit, or as whole units and yards."""
    if hundredths % (unit // parts) == 0:
        return f"{mixed(Fraction(hundredths, unit))} {name}"
    whole, rest = divmod(hundredths, unit)
    yards = f"{decimal(Fraction(rest, _YARD), 2)} yd"
    return f"{whole} {name} {yards}" if whole else yards


def write_pole(to_finish_m: float | Fraction) -> str:
    """Return the name of a pole, such as ``5/8``, ``finish``, ``+1/8`` or ``400 m``.

    Parameters
    ----------
    to_finish_m : float or Fraction
        Metres left to the finish; negative past it. Within 1e-6 m of a sixteenth of a mile it
        is named by the mile, else as `write_distance` writes it.

    Raises
    ------
    OutOfRangeError
        If it is not finite.

    Examples
    --------
    >>> [write_pole(m) for m in (1005.84, 0, -201.168, 400, 1609.344)]
    ['5/8', 'finish', '+1/8', '400 m', '1 mi']
    """
    distance = exact(max(to_finish_m, -to_finish_m), "distance to the finish", zero=True)
    if nearest(distance / _HUNDREDTH_YARD_M) == 0:
        return "finish"
    sixteenths = nearest(distance / EXACT_M["mile"] * 16)
    if abs(distance - sixteenths * EXACT_M["mile"] / 16) >= _NEAR_M:
        written = write_distance(distance)
    else:
        written = mixed(Fraction(sixteenths, 16)) + ("" if sixteenths % 16 else " mi")
    return f"+{written}" if to_finish_m < 0 else written
