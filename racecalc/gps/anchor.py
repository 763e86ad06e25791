"""Where a track lies on the earth, and positions on the earth in the drawing frame of the track."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.track.oval import Oval, finish_to_turn_of

__all__ = ["Anchor", "to_track"]

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Anchor:
    """The middle of the finish line, and the heading in which horses run the home straight.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        Of the middle of the finish line on WGS84, as a receiver shows it: north and east positive.
    bearing_deg : float
        Heading of the home straight in the direction of running, clockwise from true north.

    Raises
    ------
    OutOfRangeError
        If no place on the earth has them.
    """

    latitude_deg: float
    longitude_deg: float
    bearing_deg: float

    def __post_init__(self) -> None:
        _within(self.latitude_deg, -90, 90, "latitude")
        _within(self.longitude_deg, -180, 180, "longitude")
        _within(self.bearing_deg, 0, 360, "bearing")


def _within(value: float, low: float, high: float, name: str) -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(
            f"{name} of a finish line: {value:g} degrees found; give degrees from {low:g} to "
            f"{high:g}"
        )


def to_track(
    oval: Oval, anchor: Anchor, latitude: npt.ArrayLike, longitude: npt.ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return where positions on the earth lie in the drawing frame of `racecalc.track`.

    Parameters
    ----------
    oval : Oval
        The track; where its turns begin must be known.
    anchor : Anchor
        Where its finish lies. The middle of the finish line is half the width from the rail, the
        measuring line is the rail offset from it; where the width is not known, the middle is
        taken to be on the measuring line.
    latitude, longitude : array_like
        Degrees on WGS84, one each.

    Returns
    -------
    tuple of ndarray
        x and y in metres; nan where a position is missing or impossible.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin.

    Notes
    -----
    Each position is drawn at its geodesic distance and azimuth from the anchor. Distances from the
    anchor are exact; the others, over a mile, to a tenth of a millimetre.

    References
    ----------
    geographiclib_example (the distance on the ellipsoid).

    Examples
    --------
    >>> from racecalc.track import oval
    >>> mile = oval(1609.344, 402.336, 86.868)
    >>> x, y = to_track(mile, Anchor(40.0, -80.0, 90.0), [40.0], [-79.999])
    >>> round(float(x[0]), 3), round(float(y[0]), 3)
    (199.694, -128.067)
    """
    from pyproj import Geod  # read only where a file is: it takes a tenth of a second

    north_deg = np.array(latitude, dtype=np.float64, ndmin=1)
    east_deg = np.array(longitude, dtype=np.float64, ndmin=1)
    with np.errstate(invalid="ignore"):
        known = (np.abs(north_deg) <= 90) & (np.abs(east_deg) <= 360)
    lost = ~known
    north_deg[lost], east_deg[lost] = anchor.latitude_deg, anchor.longitude_deg
    azimuth, _, distance = Geod(ellps="WGS84").inv(
        np.full(north_deg.shape, anchor.longitude_deg),
        np.full(north_deg.shape, anchor.latitude_deg),
        east_deg,
        north_deg,
    )
    turned = np.radians(np.asarray(azimuth) - anchor.bearing_deg)
    ahead, right = np.asarray(distance) * np.cos(turned), np.asarray(distance) * np.sin(turned)
    outside = right if oval.hand == "left" else -right
    x = oval.straight_m / 2 - finish_to_turn_of(oval) + ahead
    y = -(oval.turn_radius_m + _anchor_out_m(oval) + outside)
    x[lost] = y[lost] = np.nan
    return (x if oval.hand == "left" else -x), y


def _anchor_out_m(oval: Oval) -> float:
    """Return how far outside the measuring line the middle of the finish line lies."""
    return 0.0 if oval.width_m is None else oval.width_m / 2 - oval.rail_offset_m
