"""The trace of a work: its pole times, its speed and its path, from a file of positions."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.gps.anchor import Anchor
from racecalc.gps.clock import Smoothed, after_gap, clock_errors_s, passings_s, smoothed
from racecalc.gps.findings import refusal, work_findings
from racecalc.gps.fixes import Finding, Fixes, fixes_of
from racecalc.gps.smooth import smooth
from racecalc.gps.stretch import GALLOP_M_S, Stretch, stretches
from racecalc.track import Oval, extra_m

__all__ = ["Trace", "follow"]

FloatArray = npt.NDArray[np.float64]

# How much of the file is looked at before the start and past the end, in seconds.
_BEFORE_S, _AFTER_S = 20.0, 90.0
_EXACT_M = 1e-6


@dataclass(frozen=True)
class Trace:
    """What a file of positions says about a work.

    Parameters
    ----------
    poles : DataFrame
        ``to_finish_m``, ``clock_s`` since the start, ``error_s`` (half width of the 95 % interval
        of the clock): the start, the poles on the way, the end, and the poles past it while the
        horse still galloped. nan where the file does not say.
    curve : DataFrame
        ``time_s`` since the start, ``to_finish_m``, ``speed_m_s`` along the measuring line,
        ``out_m`` outside it: at the start, at each fix, at the end.
    out_m : float
        Median of the path's distance outside the measuring line, in metres.
    extra_m : float
        Ground run on the bends beyond the measured distance, in metres.
    interval_s, noise_m : float
        Between fixes, in seconds; and the standard deviation of a coordinate of a fix, in metres,
        a rough figure where the noise lasts from fix to fix.
    findings : tuple of Finding
        What is to be known about the file.
    """

    poles: pd.DataFrame
    curve: pd.DataFrame
    out_m: float
    extra_m: float
    interval_s: float
    noise_m: float
    findings: tuple[Finding, ...]


def follow(
    points: pd.DataFrame,
    oval: Oval,
    anchor: Anchor,
    distance_m: float,
    start_m: float,
    day: date,
    spacing_m: float,
) -> Trace:
    """Follow a work in a file of positions.

    Parameters
    ----------
    points : DataFrame
        ``time`` (UTC), ``latitude``, ``longitude`` in degrees, one row for each fix.
    oval : Oval
        The track; where its turns begin must be known.
    anchor : Anchor
        Where its finish lies.
    distance_m : float
        Length of the work, in metres.
    start_m : float
        What is left to the finish where it begins, in metres; it may exceed a lap.
    day : date
        The day of the work at the track.
    spacing_m : float
        From pole to pole, in metres.

    Returns
    -------
    Trace
        Whatever the file holds; a file that is not of the work gives empty tables and a finding.

    Raises
    ------
    OutOfRangeError
        If it is not known where the turns begin, or a length is not above zero.

    Notes
    -----
    Of all passes from the start place to the end place in the direction of running, the quickest
    is the work. Places are smoothed by local parabolas, see `racecalc.gps.smooth`. The error
    of a clock is that of two smoothed places, for noise as large and as lasting as the residuals of
    this very file show, along the track and across it. It does not know what no file can show: a
    shift that stays the same through the work (that moves a pole time by up to twice the shift
    divided by the speed, between two straights), and a break-off so sudden that a window of nine
    seconds rounds it.

    Examples
    --------
    >>> from racecalc.track import oval
    >>> mile = oval(1609.344, 402.336, 86.868)
    >>> nothing = pd.DataFrame({"time": pd.to_datetime([]), "latitude": [], "longitude": []})
    >>> finish, day = Anchor(40.0, -80.0, 90.0), date(2026, 10, 6)
    >>> follow(nothing, mile, finish, 1005.84, 1005.84, day, 201.168).findings[0].code
    'too-few'
    """
    for name, length in (("distance of a work", distance_m), ("spacing of poles", spacing_m)):
        if not (np.isfinite(length) and length > 0):
            raise OutOfRangeError(f"{name}: {length:g} m found; give a length above zero")
    if not np.isfinite(start_m):
        raise OutOfRangeError(f"start of a work: {start_m:g} m found; give what is left there")
    fixes, found = fixes_of(points, oval, anchor)
    chosen = stretches(fixes, oval.lap_m, start_m, distance_m)
    refused = refusal(fixes, chosen, oval, anchor, distance_m, day)
    if refused is not None:
        return _nothing(fixes, (refused, *found))
    ride = _ride(fixes, chosen[0])
    work = _Work(oval, chosen[0], ride, start_m, distance_m)
    poles, curve = _poles(work, spacing_m), _curve(work)
    return Trace(
        poles=poles,
        curve=curve,
        out_m=float(curve["out_m"].median()),
        extra_m=_extra_m(oval, curve),
        interval_s=fixes.interval_s,
        noise_m=ride.noise.sigma_m,
        findings=(*found, *work_findings(oval, fixes, chosen, distance_m)),
    )


@dataclass(frozen=True)
class _Work:
    """A work and its smoothed fixes, whose places count from its start."""

    oval: Oval
    stretch: Stretch
    ride: Smoothed
    start_m: float
    distance_m: float

    @property
    def begin(self) -> int:
        """The last fix before the start, by the smoothed places."""
        place = self.ride.place_m[:, 0]
        halfway = int(np.argmax(place > self.distance_m / 2))
        behind = np.flatnonzero(place[:halfway] <= 0)
        return int(behind[-1]) if len(behind) else 0

    def passings_s(self, to_finish_m: FloatArray) -> tuple[FloatArray, npt.NDArray[np.bool_]]:
        """Return when the horse passed places, and which of them lie in a gap."""
        return passings_s(self.ride, self.start_m - to_finish_m, self.begin)


def _ride(fixes: Fixes, stretch: Stretch) -> Smoothed:
    """Smooth the fixes of a work, and those shortly before and after it."""
    time = fixes.time_s
    begin, end = time[max(stretch.first, 0)], time[min(stretch.last, len(time) - 1)]
    near = slice(*np.searchsorted(time, [begin - _BEFORE_S, end + _AFTER_S]))
    values = np.column_stack([fixes.gone_m[near] - stretch.start_m, fixes.out_m[near]])
    return smoothed(time[near], values, fixes.interval_s)


def _poles(work: _Work, spacing_m: float) -> pd.DataFrame:
    """Return the pole times; the clock begins at the start."""
    places = _places_m(work, spacing_m)
    passed, in_gap = work.passings_s(places)
    passed[in_gap] = np.nan
    if work.stretch.first < 0:
        passed[:] = np.nan
    errors = clock_errors_s(work.ride, work.oval, passed, places)
    return pd.DataFrame({"to_finish_m": places, "clock_s": passed - passed[0], "error_s": errors})


def _places_m(work: _Work, spacing_m: float) -> FloatArray:
    """Return the start, the poles on the way, the end, and the poles of the gallop-out."""
    end_m, lap_m = work.start_m - work.distance_m, work.oval.lap_m
    last_m = end_m - _galloped_out_m(work)
    # Poles are counted back from the finish anew in each lap.
    laps = np.arange(np.floor(last_m / lap_m), np.ceil(work.start_m / lap_m)) * lap_m
    standing = np.add.outer(laps, np.arange(0.0, lap_m - _EXACT_M, spacing_m)).ravel()
    standing = standing[(standing >= last_m) & (standing < work.start_m - _EXACT_M)]
    standing = standing[np.abs(standing - end_m) > _EXACT_M]
    return np.sort(np.concatenate([standing, [work.start_m, end_m]]))[::-1]


def _galloped_out_m(work: _Work) -> float:
    """Return how far past the end the horse still galloped, as far as the file shows it."""
    place, speed = work.ride.place_m[:, 0], work.ride.speed_m_s[:, 0]
    past = np.flatnonzero(place >= work.distance_m)
    if not len(past):
        return 0.0
    stops = np.flatnonzero(~(speed[past[0] :] >= GALLOP_M_S) | after_gap(work.ride)[past[0] :])
    last = past[0] + stops[0] - 1 if len(stops) else len(place) - 1
    return max(0.0, float(place[last]) - work.distance_m)


def _curve(work: _Work) -> pd.DataFrame:
    """Return speed and path from the start to the end, or as far as the file goes."""
    ride = work.ride
    ends = np.array([work.start_m, work.start_m - work.distance_m])
    begin, end = work.passings_s(ends)[0]
    begin = ride.time_s[0] if work.stretch.first < 0 or np.isnan(begin) else begin
    end = ride.time_s[-1] if np.isnan(end) else end
    place, speed = smooth(ride.time_s, ride.fixes_m, np.array([begin, end]), ride.half_s)
    between = (ride.time_s > begin) & (ride.time_s < end)
    at = np.concatenate([[begin], ride.time_s[between], [end]])
    place = np.concatenate([place[:1], ride.place_m[between], place[1:]])
    speed = np.concatenate([speed[:1], ride.speed_m_s[between], speed[1:]])
    curve = pd.DataFrame(
        {
            "time_s": at - begin,
            "to_finish_m": work.start_m - place[:, 0],
            "speed_m_s": speed[:, 0],
            "out_m": place[:, 1],
        }
    )
    return curve.dropna().reset_index(drop=True)


def _extra_m(oval: Oval, curve: pd.DataFrame) -> float:
    """Return the extra ground of a curve; between two of its rows the path is straight."""
    left = np.minimum.accumulate(curve["to_finish_m"].to_numpy())
    out = curve["out_m"].to_numpy()
    return float(extra_m(oval, (out[1:] + out[:-1]) / 2, left[:-1], left[1:]).sum())


def _nothing(fixes: Fixes, findings: tuple[Finding, ...]) -> Trace:
    """Return the trace of a file that does not hold the work."""
    nan = float("nan")
    poles, curve = (
        pd.DataFrame({name: pd.Series(dtype="float64") for name in names})
        for names in (
            ("to_finish_m", "clock_s", "error_s"),
            ("time_s", "to_finish_m", "speed_m_s", "out_m"),
        )
    )
    return Trace(poles, curve, nan, nan, fixes.interval_s, nan, findings)
