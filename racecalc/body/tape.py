"""Weight from tape measures: published formulas, each under the name of its authors.

An estimate is for following one horse by one formula. It is never for the dose of a medicine or a
wormer: weigh the horse on a scale for that, and let the vet decide. No formula here was made on
Thoroughbreds in race training, and Thoroughbreds in training were lighter than others of equal
height and condition (``carroll_huntington_1988``), so that an estimate may well be too high.

Formulas must not be mixed in one series of a horse. They take "length" in three ways: from the
point of the shoulder to the point of the buttock, taped round the body or straight, and from the
elbow to the point of the buttock. One given for another is wrong by a tenth to two fifths, so that
a length which by its relation to the girth cannot be of the kind asked for gives NaN.

Every function takes numbers or arrays, which broadcast; of plain numbers it makes a plain number.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.units import INCH_M, POUND_KG

__all__ = [
    "FORMULAS",
    "GIRTH_LENGTH_PERCENT",
    "TapeFormula",
    "carroll_huntington",
    "catalano",
    "catalano_ideal",
    "girth_length_error",
    "imperial_rule",
    "imperial_rule_plus_fifty",
    "is_elbow_length",
    "jones",
    "marcenac_aublet",
    "martinson",
    "martinson_ideal",
    "milner_hewitt",
]

FloatArray = npt.NDArray[np.float64]

_CM = 100.0
# No horse is so large; what was written was not in metres.
_LARGEST_M = 4.0
# Shoulder to buttock was 0.88 to 0.93 of the girth in the worked examples (minnesota_girth_rule,
# girth_rule_examples, summit_girth_rule), elbow to buttock about 0.6. Own choice, between the two.
_LEAST_SHOULDER_LENGTH = 0.75
# Weights of the horses that Jones and others measured (jones_1989).
_JONES_KG = (230.0, 707.0)
# Height of the smallest horse of Martinson and others (martinson_2014).
_MARTINSON_LEAST_M = 1.12

# By kind: the divisor of the weight, and what the ideal weight subtracts.
_MARTINSON = {"stock": (3441.0, 577.0), "arabian": (3596.0, 611.0), "pony": (3606.0, 606.0)}
_CATALANO = {"draft": (1181.0, 951.0), "warmblood": (1209.0, 1016.0)}

GIRTH_LENGTH_PERCENT = (95.5, 13.1)
"""Girth squared times length, as a percentage of the scale: mean and standard deviation between
horses of 15 hands and more (``ellis_hollands_1998``)."""


@dataclass(frozen=True)
class TapeFormula:
    """What is known of a formula; ``key`` is the name of its function.

    ``length`` says how its length is taken, None where it takes none. ``population`` is whom it was
    made on, as far as was read, and ``printed_error`` how far it was off, as its source puts it.
    """

    key: str
    authors: str
    year: int | None
    length: str | None
    population: str
    printed_error: str | None
    source_key: str


_TAPED = "shoulder to buttock, taped"
_STRAIGHT = "shoulder to buttock, straight"
_ELBOW = "elbow to buttock"

# fmt: off
_ROWS = (
    ("carroll_huntington", "Carroll, Huntington", 1988, _TAPED,
     "281 horses and ponies of mixed breeds", "r² 0.90", "carroll_huntington_1988"),
    ("imperial_rule", "University of Minnesota, as printed", None, _TAPED,
     "adult light horses; no study named", None, "minnesota_girth_rule"),
    ("imperial_rule_plus_fifty", "A veterinary practice, as printed", None, _TAPED,
     "not said", None, "summit_girth_rule"),
    ("milner_hewitt", "Milner, Hewitt", 1969, _ELBOW,
     "108 horses", "mean error 5.6 %", "milner_hewitt_1969"),
    ("marcenac_aublet", "Marcenac, Aublet", 1964, None,
     "not said", None, "marcenac_aublet_1964"),
    ("jones", "Jones and others", 1989, _ELBOW,
     "53 horses of 230 to 707 kg, all but two over two years old",
     "95 % of residuals within 53 kg; mean error 4.7 %", "jones_1989"),
    ("martinson", "Martinson and others", 2014, _STRAIGHT,
     "629 show horses and ponies from three years, 112 cm and more, not in foal", None,
     "martinson_2014"),
    ("catalano", "Catalano and others", 2016, _STRAIGHT,
     "138 draft horses and 89 warmbloods from three years",
     "root mean square error 28 kg", "catalano_2016"),
)
# fmt: on

FORMULAS: Mapping[str, TapeFormula] = MappingProxyType({row[0]: TapeFormula(*row) for row in _ROWS})
"""What is known of each formula, by the name of its function."""


def carroll_huntington(
    girth_m: npt.ArrayLike, length_m: npt.ArrayLike, divisor: float = 11900.0
) -> FloatArray:
    """Return a weight in kg: heart girth squared times length over a divisor, in centimetres.

    Never for dosing. Thoroughbreds in training were lighter than others of equal height and
    condition.

    Parameters
    ----------
    girth_m : array_like
        Heart girth in metres.
    length_m : array_like
        Point of the shoulder to point of the buttock, taped round the body, in metres.
    divisor : float, default 11900.0
        The authors' own; others print 11877 and 11880, which give 0.2 % more.

    Returns
    -------
    ndarray or number
        NaN where the length can only be one from the elbow (less than 0.75 of the girth).

    Raises
    ------
    OutOfRangeError
        If a measure is zero, negative, no number or longer than 4 m, or the divisor is not above
        zero.

    References
    ----------
    carroll_huntington_1988.

    Examples
    --------
    >>> round(float(carroll_huntington(1.85, 1.65)), 3)
    474.548
    """
    if not 0 < divisor < np.inf:
        raise OutOfRangeError(f"divisor {divisor:g}: give a number above zero, such as 11900")
    girth, length = _metres("girth", girth_m), _metres("length", length_m)
    weight = (_CM * girth) ** 2 * (_CM * length) / divisor
    return _unless(is_elbow_length(girth, length), weight)


def imperial_rule(girth_m: npt.ArrayLike, length_m: npt.ArrayLike) -> FloatArray:
    """Return a weight in kg by the rule of inches and pounds: girth squared times length over 330.

    Never for dosing. It is the formula of Carroll and Huntington with the divisor 11922. Length and
    refusals are those of `carroll_huntington`.

    References
    ----------
    minnesota_girth_rule; girth_rule_examples.

    Examples
    --------
    >>> round(float(imperial_rule(76 * 0.0254, 67 * 0.0254)), 2)
    531.93
    """
    return _imperial(girth_m, length_m, 330.0, 0.0)


def imperial_rule_plus_fifty(girth_m: npt.ArrayLike, length_m: npt.ArrayLike) -> FloatArray:
    """Return a weight in kg: girth squared times length over 300, and 50, in inches and pounds.

    Never for dosing. Length and refusals are those of `carroll_huntington`.

    References
    ----------
    summit_girth_rule.

    Examples
    --------
    >>> round(float(imperial_rule_plus_fifty(75 * 0.0254, 69.5 * 0.0254)), 2)
    613.77
    """
    return _imperial(girth_m, length_m, 300.0, 50.0)


def milner_hewitt(girth_m: npt.ArrayLike, elbow_length_m: npt.ArrayLike) -> FloatArray:
    """Return a weight in kg: girth squared times length over 228.1, in inches and pounds.

    Never for dosing. The source as it was read does not say how the length was taken; with one from
    the shoulder a horse of ordinary size would weigh 740 kg, so that it must be one from the elbow.

    Returns
    -------
    ndarray or number
        NaN where the length is one from the shoulder (0.75 of the girth or more).

    Raises
    ------
    OutOfRangeError
        If a measure is zero, negative, no number or longer than 4 m.

    References
    ----------
    milner_hewitt_1969.

    Examples
    --------
    >>> round(float(milner_hewitt(1.85, 1.15)), 1)
    477.6
    """
    girth, length = _metres("girth", girth_m), _metres("elbow length", elbow_length_m)
    weight = POUND_KG * (girth / INCH_M) ** 2 * (length / INCH_M) / 228.1
    return _unless(~is_elbow_length(girth, length), weight)


def marcenac_aublet(girth_m: npt.ArrayLike) -> FloatArray:
    """Return a weight in kg from the girth alone: 80 times its cube, in metres.

    Never for dosing.

    Raises
    ------
    OutOfRangeError
        If a girth is zero, negative, no number or longer than 4 m.

    References
    ----------
    marcenac_aublet_1964.

    Examples
    --------
    >>> round(float(marcenac_aublet(1.85)), 1)
    506.5
    """
    return 80.0 * _metres("girth", girth_m) ** 3


def jones(umbilical_girth_m: npt.ArrayLike, elbow_length_m: npt.ArrayLike) -> FloatArray:
    """Return a weight in kg from the girth at the navel and the length from elbow to buttock.

    Never for dosing.

    Returns
    -------
    ndarray or number
        NaN where the estimate lies outside the 230 to 707 kg of the horses measured, or the length
        is one from the shoulder (0.75 of the girth or more).

    Raises
    ------
    OutOfRangeError
        If a measure is zero, negative, no number or longer than 4 m.

    References
    ----------
    jones_1989.

    Examples
    --------
    >>> round(float(jones(2.00, 1.15)), 2)
    413.05
    """
    girth = _metres("umbilical girth", umbilical_girth_m)
    length = _metres("elbow length", elbow_length_m)
    weight = (_CM * girth) ** 1.78 * (_CM * length) ** 0.97 / 3011.0
    outside = (weight < _JONES_KG[0]) | (weight > _JONES_KG[1])
    return _unless(outside | ~is_elbow_length(girth, length), weight)


def martinson(
    girth_m: npt.ArrayLike,
    length_m: npt.ArrayLike,
    height_m: npt.ArrayLike,
    neck_m: npt.ArrayLike,
    kind: str,
) -> FloatArray:
    """Return a weight in kg from heart girth, length, height at the withers and girth of the neck.

    Never for dosing. With the same figures the formula for stock types gives an eighth more than
    girth and length alone: never change to it within one horse's series.

    Parameters
    ----------
    girth_m, length_m, height_m, neck_m : array_like
        In metres. The length is taken to be the straight one; the source as read does not say.
    kind : str
        ``stock``, ``arabian`` or ``pony``. Whether Thoroughbreds were among the stock types is not
        known.

    Returns
    -------
    ndarray or number
        NaN below 1.12 m (none so small was measured), or where the length can only be one from the
        elbow (less than 0.75 of the girth).

    Raises
    ------
    OutOfRangeError
        If a measure is zero, negative, no number or longer than 4 m, or the kind is none of these.

    References
    ----------
    martinson_2014.

    Examples
    --------
    >>> round(float(martinson(1.82, 1.55, 1.52, 0.96, "stock")), 2)
    484.26
    """
    divisor, _ = _of_kind(kind, _MARTINSON)
    girth, length = _metres("girth", girth_m), _metres("length", length_m)
    height, neck = _metres("height", height_m), _metres("neck", neck_m)
    weight = (_CM * girth) ** 1.486 * (_CM * length) ** 0.554 / divisor
    weight = weight * (_CM * height) ** 0.599 * (_CM * neck) ** 0.173
    return _unless((height < _MARTINSON_LEAST_M) | is_elbow_length(girth, length), weight)


def martinson_ideal(length_m: npt.ArrayLike, height_m: npt.ArrayLike, kind: str) -> FloatArray:
    """Return the weight in kg of a horse of that frame at a condition score of 5.

    Of show horses, not of horses in training. Parameters, refusals and source are those of
    `martinson`; NaN also where the line gives no weight above zero.

    References
    ----------
    martinson_2014.

    Examples
    --------
    >>> round(float(martinson_ideal(1.55, 1.52, "stock")), 1)
    495.4
    """
    _, subtracted = _of_kind(kind, _MARTINSON)
    length, height = _metres("length", length_m), _metres("height", height_m)
    weight = _CM * (2.8 * length + 4.2 * height) - subtracted
    return _unless((height < _MARTINSON_LEAST_M) | (weight <= 0), weight)


def catalano(
    girth_m: npt.ArrayLike,
    straight_length_m: npt.ArrayLike,
    height_m: npt.ArrayLike,
    neck_m: npt.ArrayLike,
    kind: str,
) -> FloatArray:
    """Return a weight in kg of a draft horse or warmblood from girth, length, height and neck.

    Never for dosing; no Thoroughbreds were measured. Refusals are those of `carroll_huntington`.

    Parameters
    ----------
    girth_m, straight_length_m, height_m, neck_m : array_like
        In metres; the length is straight, from the point of the shoulder to the upright at the
        point of the buttock.
    kind : str
        ``draft`` or ``warmblood``.

    References
    ----------
    catalano_2016.

    Examples
    --------
    >>> round(float(catalano(1.95, 1.65, 1.68, 1.05, "warmblood")), 2)
    581.49
    """
    divisor, _ = _of_kind(kind, _CATALANO)
    girth, length = _metres("girth", girth_m), _metres("straight length", straight_length_m)
    height, neck = _metres("height", height_m), _metres("neck", neck_m)
    weight = (_CM * girth) ** 1.528 * (_CM * length) ** 0.574 / divisor
    weight = weight * (_CM * height) ** 0.246 * (_CM * neck) ** 0.261
    return _unless(is_elbow_length(girth, length), weight)


def catalano_ideal(
    straight_length_m: npt.ArrayLike, height_m: npt.ArrayLike, kind: str
) -> FloatArray:
    """Return the ideal weight in kg of a draft horse or warmblood of that frame.

    Parameters, refusals and source are those of `catalano`; NaN where the line gives no weight
    above zero.

    References
    ----------
    catalano_2016.

    Examples
    --------
    >>> round(float(catalano_ideal(1.65, 1.68, "warmblood")), 2)
    575.32
    """
    _, subtracted = _of_kind(kind, _CATALANO)
    length = _metres("straight length", straight_length_m)
    weight = _CM * (4.92 * length + 4.64 * _metres("height", height_m)) - subtracted
    return _unless(weight <= 0, weight)


def is_elbow_length(girth_m: npt.ArrayLike, length_m: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    """Return whether a length is too short to be one from the shoulder: under 0.75 of the girth.

    Refusals are those of `carroll_huntington`.

    Notes
    -----
    From shoulder to buttock the published examples have 0.88 to 0.93 of the girth, from the elbow
    about 0.6; the limit is our own.

    Examples
    --------
    >>> bool(is_elbow_length(1.85, 1.15)), bool(is_elbow_length(1.85, 1.65))
    (True, False)
    """
    girth, length = _metres("girth", girth_m), _metres("length", length_m)
    return np.less(length, _LEAST_SHOULDER_LENGTH * girth)


def girth_length_error(estimate_kg: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return between which weights a horse of 15 hands and more is, 95 times of 100.

    Parameters
    ----------
    estimate_kg : array_like
        An estimate from girth and length, in kg.

    Returns
    -------
    tuple of ndarray or number
        Lower and upper end in kg: the estimate over 1.96 standard deviations more and less of the
        scale than the mean of 95.5 %. A part of this is the build of each horse, which stays the
        same from month to month.

    Raises
    ------
    OutOfRangeError
        If an estimate is zero, negative or no number.

    References
    ----------
    ellis_hollands_1998.

    Examples
    --------
    >>> [round(float(end)) for end in girth_length_error(475.0)]
    [392, 680]
    """
    estimate = np.asarray(estimate_kg, dtype=np.float64)
    if not np.all((estimate > 0) & np.isfinite(estimate)):
        raise OutOfRangeError("an estimate of weight is not above zero: leave out what is missing")
    mean, deviation = GIRTH_LENGTH_PERCENT
    low = estimate / ((mean + 1.96 * deviation) / 100)
    return low, estimate / ((mean - 1.96 * deviation) / 100)


def _imperial(
    girth_m: npt.ArrayLike, length_m: npt.ArrayLike, divisor: float, added_lb: float
) -> FloatArray:
    girth, length = _metres("girth", girth_m), _metres("length", length_m)
    pounds = (girth / INCH_M) ** 2 * (length / INCH_M) / divisor + added_lb
    return _unless(is_elbow_length(girth, length), POUND_KG * pounds)


def _metres(name: str, value: npt.ArrayLike) -> FloatArray:
    measure = np.asarray(value, dtype=np.float64)
    good = (measure > 0) & (measure <= _LARGEST_M)
    if not good.all():
        found = measure[~good].flat[0]
        raise OutOfRangeError(
            f"{name} {found:g} m: write it in metres, above 0 and up to {_LARGEST_M:g}, such as "
            "1.85; leave out what was not measured"
        )
    return measure


def _of_kind(kind: str, kinds: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    if kind not in kinds:
        raise OutOfRangeError(f"kind {kind!r}: write one of {', '.join(kinds)}")
    return kinds[kind]


def _unless(refused: npt.NDArray[np.bool_], weight: FloatArray) -> FloatArray:
    """NaN where refused; the empty index makes a plain number of an array without dimensions."""
    kept: FloatArray = np.where(refused, np.nan, weight)[()]
    return kept
