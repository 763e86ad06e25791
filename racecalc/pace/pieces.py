"""A work furlong by furlong, or by 200 m; and its fractional times as the trade writes them."""

import math

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.notation import Clock, write_clock
from racecalc.pace.cuts import SAME_PLACE_M, cut_one, measured
from racecalc.pace.speeds import FloatArray
from racecalc.units import FURLONG_M

__all__ = ["fractions", "furlongs", "spacing_of"]

_METRIC_SPACING_M = 200.0
# Metric works are set in these. Up to two miles no whole number of yards comes within 8 mm of one
# of them, so that the length of a work tells its system.
_METRIC_STEP_M = 50.0
_NOISE_M = 0.001


def spacing_of(distance_m: float) -> float:
    """Return the piece in which a work is told: a furlong, or 200 m for a metric length.

    Parameters
    ----------
    distance_m : float
        Length of the work; a whole number of times 50 m is metric.

    Raises
    ------
    OutOfRangeError
        If the length is not above zero.

    Examples
    --------
    >>> spacing_of(1207.008), spacing_of(1200.0)
    (201.168, 200.0)
    """
    if not 0 < distance_m < math.inf:
        raise OutOfRangeError(f"distance: {distance_m:g} m found; give a finite value above zero")
    metric = abs(distance_m - round(distance_m / _METRIC_STEP_M) * _METRIC_STEP_M) <= _NOISE_M
    return _METRIC_SPACING_M if metric else FURLONG_M


def furlongs(
    distance_m: float,
    time_s: float | None,
    to_finish_m: npt.ArrayLike,
    clock_s: npt.ArrayLike,
    *,
    from_pole_m: float | None = None,
    one_s: float = math.nan,
    spacing_m: float | None = None,
) -> pd.DataFrame:
    """Tell one work furlong by furlong, or by 200 m; where a pole was missed, by interpolation.

    The pieces end where poles stand: at whole furlongs from the finish. A work of a length that is
    no whole number of furlongs therefore begins with a short piece; one that ends between two poles
    ends with one. The clock of a pole that was missed is set at even pace between the clocked
    places before and after it, never across the end of the work, where the rider eases.

    Parameters
    ----------
    distance_m, time_s, to_finish_m, clock_s, from_pole_m, one_s
        As `sections`.
    spacing_m : float, optional
        Length of a piece, where the poles of the track say otherwise than `spacing_of` the work.

    Returns
    -------
    DataFrame
        One row per piece, in the order run, to the last clocked place: the columns of `sections`
        from ``from_m`` to ``pace_error_s``; ``whole`` (not a short piece); ``gallop_out``;
        ``clock_interpolated`` (the clock at the end of the piece); ``interpolated`` (the time of
        the piece, which rests on an interpolated clock at one of its ends or at both). Times are
        nan where there is nothing to interpolate between.

    Raises
    ------
    OutOfRangeError
        As `sections`, or if the spacing is not above zero.

    Notes
    -----
    The error of an interpolated piece is nan. The error of the watch, carried through, would be
    smaller than that of a clocked piece, and would leave out what matters: how far the pace
    between the clocks was from even, which nothing tells. That no horse is quicker than the
    fastest on record bounds it, but by several seconds a furlong, which is no figure to work with.
    A comparison with nan is false, so that an interpolated piece is never called different.

    Examples
    --------
    >>> found = furlongs(603.504, 36.6, [402.336], [12.2], one_s=0.19)
    >>> found["time_s"].round(2).tolist(), found["interpolated"].tolist()
    ([12.2, 12.2, 12.2], [False, True, True])
    """
    spacing = spacing_of(distance_m) if spacing_m is None else spacing_m
    if not 0 < spacing < math.inf:
        raise OutOfRangeError(f"spacing: {spacing:g} m found; give a finite value above zero")
    cuts = cut_one(distance_m, time_s, to_finish_m, clock_s, from_pole_m, one_s)
    start, end = float(cuts["from_m"].iloc[0]), _end(cuts)
    posts = _posts(start, end, float(cuts["to_finish_m"].iloc[-1]), spacing)
    posts, clock, clocked = _clocks_at(posts, cuts, end)
    ran = measured(posts[:-1], posts[1:], clock[:-1], clock[1:], one_s)
    known = ~np.isnan(ran["time_s"])
    interpolated = known & ~(clocked[:-1] & clocked[1:])
    for name in ("error_s", "pace_error_s"):
        ran[name] = np.where(interpolated, np.nan, ran[name])
    return pd.DataFrame(
        {
            **ran,
            "whole": np.abs(ran["distance_m"] - spacing) <= SAME_PLACE_M,
            "gallop_out": posts[1:] < end,
            "clock_interpolated": ~clocked[1:] & ~np.isnan(clock[1:]),
            "interpolated": interpolated,
        }
    )


def _end(cuts: pd.DataFrame) -> float:
    """Return where a work ends, as distance left to the finish; `cut` always has a row for it."""
    return float(cuts.loc[~cuts["gallop_out"], "to_finish_m"].iloc[-1])


def _posts(start: float, end: float, last: float, spacing: float) -> FloatArray:
    """Return where the pieces end: at the whole poles, the start, the end and the last clock."""
    fixed = np.array([start, end, last])
    whole = np.arange(math.ceil(last / spacing), math.floor(start / spacing) + 1) * spacing
    between = np.abs(whole[:, None] - fixed).min(axis=1) > SAME_PLACE_M
    return np.unique(np.concatenate([whole[between], fixed]))[::-1]


def _clocks_at(
    posts: FloatArray, cuts: pd.DataFrame, end: float
) -> tuple[FloatArray, FloatArray, npt.NDArray[np.bool_]]:
    """Return the posts, moved on to clocked places; their clocks; and which of them are clocked."""
    place = np.append(cuts["from_m"].iloc[0], cuts["to_finish_m"])
    clock = np.append(0.0, cuts["clock_s"])
    place, clock = place[~np.isnan(clock)], clock[~np.isnan(clock)]
    gap = np.abs(posts[:, None] - place)
    nearest = gap.argmin(axis=1)
    clocked = gap.min(axis=1) <= SAME_PLACE_M
    posts = np.where(clocked, place[nearest], posts)
    in_work = _even_pace(posts, place[place >= end], clock[place >= end])
    past = _even_pace(posts, place[place <= end], clock[place <= end])
    between = np.where(posts > end, in_work, past)
    return posts, np.where(clocked, clock[nearest], between), clocked


def _even_pace(posts: FloatArray, place: FloatArray, clock: FloatArray) -> FloatArray:
    """Return clocks at even pace between clocked places, nan before the first and past the last."""
    if not place.size:
        return np.full(posts.shape, np.nan)
    return np.interp(-posts, -place, clock, left=np.nan, right=np.nan)


def fractions(
    distance_m: float,
    time_s: float | None,
    to_finish_m: npt.ArrayLike,
    clock_s: npt.ArrayLike,
    *,
    from_pole_m: float | None = None,
    clock: Clock = "fifths",
) -> pd.DataFrame:
    """Return the fractional times of one work: its running times at each quarter mile and its end.

    Fractions are running times since the start, where splits are times from pole to pole. A metric
    work has them at each 400 m. Only clocked places are given and nothing is interpolated, so that
    a missed pole is a missing row.

    Parameters
    ----------
    distance_m, time_s, to_finish_m, clock_s, from_pole_m
        As `sections`.
    clock : {"fifths", "hundredths"}
        How times are written.

    Returns
    -------
    DataFrame
        ``run_m`` (metres since the start), ``to_finish_m``, ``clock_s`` and ``written``, such as
        ``:24 2/5``.

    Raises
    ------
    OutOfRangeError
        As `sections`.
    NotationError
        If ``clock`` is neither of the two.

    References
    ----------
    derby_quarters_2008 (quarters and their running sum).

    Examples
    --------
    >>> fractions(1207.008, 73.0, [804.672, 402.336], [24.4, 48.8])["written"].tolist()
    [':24 2/5', ':48 4/5', '1:13']
    """
    cuts = cut_one(distance_m, time_s, to_finish_m, clock_s, from_pole_m, math.nan)
    quarter_m, end = 2 * spacing_of(distance_m), _end(cuts)
    run = cuts["from_m"].iloc[0] - cuts["to_finish_m"]
    on_quarter = (run - (run / quarter_m).round() * quarter_m).abs() <= SAME_PLACE_M
    told = (
        cuts["clock_s"].notna() & ~cuts["gallop_out"] & (on_quarter | cuts["to_finish_m"].eq(end))
    )
    return pd.DataFrame(
        {
            "run_m": run[told],
            "to_finish_m": cuts.loc[told, "to_finish_m"],
            "clock_s": cuts.loc[told, "clock_s"],
            "written": [_written(time, clock) for time in cuts.loc[told, "clock_s"]],
        }
    ).reset_index(drop=True)


def _written(time_s: float, clock: Clock) -> str:
    text = write_clock(time_s, clock)
    return text if ":" in text else f":{text}"
