"""How the top of a track dries: FAO 56's layer of evaporating soil, with drainage and sealing.

``depletion`` is the water, in millimetres, that the layer is short of when it has drained: 0 after
soaking, ``total_mm`` when it can lose no more. FAO's layer sheds at once what it cannot hold. A
track may stand under water, so that depletion goes below zero here, as far as ``above_mm``; such
water drains by ``drains_mm`` a day. A sealed track sheds a share of the rain. Drainage, standing
water and sealing are this project's own terms, with numbers that nobody has published; with
``above_mm`` zero the layer is FAO's.

The **drying index** is depletion over ``total_mm``: 1 is dry, 0 drained, below 0 wet on top. It is
no official word for a track; what it meant at a track has to be learned from its log.

Source: ``fao56``, chapter 7 and table 19.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = [
    "SEALED_SHEDS",
    "SOILS",
    "SURFACE_LAYERS",
    "Layer",
    "dry_bare_day",
    "dry_day",
    "drying_index",
    "evaporation_coefficient",
    "evaporation_reduction",
    "layer_of",
]

Floats = npt.ArrayLike
FloatArray = npt.NDArray[np.float64]

# FAO 56 table 19, page 144: the readily and the totally evaporable water of 0.10 m of soil, in mm.
SOILS: dict[str, tuple[tuple[float, float], tuple[float, float]]] = {
    "sand": ((2, 7), (6, 12)),
    "loamy sand": ((4, 8), (9, 14)),
    "sandy loam": ((6, 10), (15, 20)),
    "loam": ((8, 10), (16, 22)),
    "silt loam": ((8, 11), (18, 25)),
    "silt": ((8, 11), (22, 26)),
    "silt clay loam": ((8, 11), (22, 27)),
    "silty clay": ((8, 12), (22, 28)),
    "clay": ((8, 12), (22, 29)),
}
"""Soils: the range of readily, and of totally evaporable water, in mm (FAO 56, table 19)."""

SEALED_SHEDS = 0.5
"""The share of rain that a sealed track sheds. Ours: no figure is published."""

_BARE = 1.20  # equation 72: the highest coefficient of bare soil


@dataclass(frozen=True)
class Layer:
    """The top of a track.

    Attributes
    ----------
    total_mm : float
        All the water it can lose by drying (TEW).
    ready_mm : float
        Of that, what it loses as fast as the air takes it (REW).
    above_mm : float
        The most water that stands in or on it when it is soaked; more runs off. Ours.
    drains_mm : float
        How much of that drains in a day. Ours.
    """

    total_mm: float
    ready_mm: float
    above_mm: float = 0.0
    drains_mm: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.ready_mm < self.total_mm:
            raise OutOfRangeError(
                f"layer: {self.ready_mm} mm lost readily of {self.total_mm} mm found; give less "
                "than the whole, and not below zero"
            )
        if not (self.above_mm >= 0 and self.drains_mm >= 0):
            raise OutOfRangeError(
                f"layer: {self.above_mm} mm standing and {self.drains_mm} mm drained in a day "
                "found; give zero or more"
            )


# Dirt cushions are sand to loamy sand (common practice), turf stands on sandy loam, and synthetic
# tracks are made to drain. What stands on top and how fast it goes is our own choice.
SURFACE_LAYERS: dict[str, Layer] = {
    "dirt": Layer(11.0, 5.0, 6.0, 4.0),
    "turf": Layer(18.0, 8.0, 8.0, 4.0),
    "synthetic": Layer(6.0, 2.0, 3.0, 12.0),
}
"""What stands for a track that tells nothing of its own."""


def _array(values: Floats) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def layer_of(
    surface: str,
    soil: str | None = None,
    total_mm: float = np.nan,
    ready_mm: float = np.nan,
    drains_mm: float = np.nan,
) -> Layer:
    """Return the layer of a track: its own numbers, those of its soil, or those of its surface.

    Parameters
    ----------
    surface : str
        dirt, turf or synthetic.
    soil : str, optional
        A soil of `SOILS`: the middle of its ranges.
    total_mm, ready_mm, drains_mm : float
        The track's own numbers, NaN where unknown. Of a total alone the same share is lost readily
        as of the layer that it replaces.

    Raises
    ------
    OutOfRangeError
        If the surface or soil is not known, or the numbers make no layer.
    """
    if surface not in SURFACE_LAYERS or (soil is not None and soil not in SOILS):
        known = ", ".join((*SURFACE_LAYERS, *SOILS))
        raise OutOfRangeError(f"surface {surface!r}, soil {soil!r}: not known; there are {known}")
    base = SURFACE_LAYERS[surface]
    total, ready = base.total_mm, base.ready_mm
    if soil is not None:
        ready, total = (sum(ends) / 2 for ends in SOILS[soil])
    if not np.isnan(total_mm):
        total, ready = total_mm, ready * total_mm / total
    return Layer(
        total,
        ready if np.isnan(ready_mm) else ready_mm,
        base.above_mm,
        base.drains_mm if np.isnan(drains_mm) else drains_mm,
    )


def evaporation_reduction(depletion_mm: Floats, layer: Layer) -> FloatArray:
    """Return the share of full evaporation that is left (Kr, equation 74): 1 down to 0.

    References
    ----------
    fao56, equation 74; examples 31, 35.

    Examples
    --------
    >>> round(float(evaporation_reduction(13.98, Layer(20, 9))), 2)
    0.55
    """
    left = (layer.total_mm - _array(depletion_mm)) / (layer.total_mm - layer.ready_mm)
    return np.clip(left, 0.0, 1.0)


def evaporation_coefficient(
    reduction: Floats, most: float = _BARE, crop: float = 0.0, exposed: float = 1.0
) -> FloatArray:
    """Return evaporation over reference evapotranspiration (Ke, equation 71).

    Parameters
    ----------
    reduction : float or array
        Kr.
    most, crop : float
        The highest coefficient after rain, and that of the plants (Kcmax, Kcb); 1.20 and 0 on a
        bare surface.
    exposed : float
        The share of the ground that is bare and wetted (few).

    References
    ----------
    fao56, equation 71; examples 32 to 35.

    Examples
    --------
    >>> round(float(evaporation_coefficient(1.0, 1.30, 0.9, 0.47)), 2)
    0.4
    """
    return np.minimum(_array(reduction) * (most - crop), exposed * most)


def dry_day(
    depletion_mm: Floats,
    rain_mm: Floats,
    et_mm: Floats,
    layer: Layer,
    sealed: bool = False,
    coefficient: tuple[float, float, float] = (_BARE, 0.0, 1.0),
) -> tuple[FloatArray, FloatArray]:
    """Carry a layer through a day: rain first, then drainage and evaporation (equation 77).

    Parameters
    ----------
    depletion_mm : float or array
        At the end of the day before.
    rain_mm, et_mm : float or array
        Rain of the day, and its reference evapotranspiration, in mm.
    layer : Layer
        The top of the track.
    sealed : bool
        Whether it was sealed, and sheds `SEALED_SHEDS` of the rain.
    coefficient : tuple of float
        ``most``, ``crop``, ``exposed`` of `evaporation_coefficient`.

    Returns
    -------
    tuple of float or array
        Depletion after the rain, and at the end of the day. More rain never makes either larger,
        and more evapotranspiration never makes it smaller.

    References
    ----------
    fao56, equations 77 and 79; examples 31, 35. Drainage and sealing are ours.

    Examples
    --------
    >>> wet, dried = dry_day(13.98, 6.0, 4.5, Layer(20, 9), coefficient=(1.2, 0.15, 1.0))
    >>> round(float(wet), 2), round(float(dried), 2)
    (7.98, 12.71)
    """
    enters = _array(rain_mm) * (1 - SEALED_SHEDS if sealed else 1.0)
    wet = np.maximum(_array(depletion_mm) - enters, -layer.above_mm)
    drained = wet + np.clip(-wet, 0.0, layer.drains_mm)
    most, crop, exposed = coefficient
    reduced = evaporation_reduction(drained, layer)
    taken = evaporation_coefficient(reduced, most, crop, exposed) * _array(et_mm) / exposed
    return wet, np.minimum(drained + taken, layer.total_mm)


def dry_bare_day(
    depletion_mm: float, rain_mm: float, et_mm: float, layer: Layer, sealed: bool = False
) -> float:
    """Carry the layer of a bare track through a day, as `dry_day` does, in plain numbers.

    A record of years is followed day by day, which arrays of one number each make slow.

    Returns
    -------
    float
        Depletion at the end of the day, in mm.

    References
    ----------
    fao56, equations 71, 74, 77 and 79.

    Examples
    --------
    >>> round(dry_bare_day(13.98, 6.0, 4.5, Layer(20, 9)), 2)
    13.38
    """
    enters = rain_mm * (1 - SEALED_SHEDS if sealed else 1.0)
    wet = max(depletion_mm - enters, -layer.above_mm)
    drained = wet + min(max(-wet, 0.0), layer.drains_mm)
    left = (layer.total_mm - drained) / (layer.total_mm - layer.ready_mm)
    taken = min(max(left, 0.0), 1.0) * _BARE * et_mm
    return min(drained + taken, layer.total_mm)


def drying_index(depletion_mm: Floats, layer: Layer) -> FloatArray:
    """Return depletion as a share of the whole: 1 dry, 0 drained, below 0 wet on top.

    Examples
    --------
    >>> float(drying_index(5.5, SURFACE_LAYERS["dirt"]))
    0.5
    """
    return _array(depletion_mm) / layer.total_mm
