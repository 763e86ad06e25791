"""Body measurements over time, each way of measuring kept apart."""

import math
from typing import Any

import altair as alt
import pandas as pd

from racecalc import units
from racecalc.digest import Digest, Measure, Reading
from racecalc.figures.theme import HALF_WIDTH, specification
from racecalc.page import INK, MUTED, RUST, Picture
from racecalc.words import (
    capital,
    day_of,
    how_taken,
    measure_caption,
    measure_picture_words,
    pronouns,
    written,
)

__all__ = ["height", "weight"]

_HEIGHT = 130
_FEWEST_POINTS = 3
_SHAPES = ["circle", "square", "triangle-up", "diamond", "cross", "triangle-down", "triangle-left"]
_KEY = alt.Legend(orient="top", direction="horizontal", columns=2, offset=2)
_TICKS = 4
# Readings of less than this many days bear days on their axis, of more, months.
_DAYS_FOR_MONTHS = 150


def weight(digest: Digest) -> Picture | None:
    """Draw the horse's weight over time, or nothing where there are too few readings."""
    return _series(digest, digest.weight)


def height(digest: Digest) -> Picture | None:
    """Draw the horse's height over time, or nothing where there are too few readings."""
    return _series(digest, digest.height)


def _series(digest: Digest, measure: Measure | None) -> Picture | None:
    if measure is None or len(measure.readings) < _FEWEST_POINTS or not _days(measure):
        return None
    alt_text = measure_picture_words(measure, digest)
    return Picture(
        spec=specification(_chart(digest, measure), alt_text),
        alt=alt_text,
        title=f"{capital(pronouns(digest.horse.sex).possessive)} {measure.what}",
        caption=measure_caption(measure, digest),
        half=True,
        group="body",
    )


def _chart(digest: Digest, measure: Measure) -> Any:
    """Return points with their error, a line through each series, the newest point in red."""
    metric = digest.barn.units == "metric"
    frame = pd.DataFrame([_row(reading, measure, digest) for reading in measure.readings])
    # All in universal time: the picture is the same wherever it is drawn.
    x = alt.X("day:T", title=None, axis=_dates(measure), scale=alt.Scale(type="utc", padding=8))
    values = _round_values(frame, _STEPS[measure.what, metric])
    labels = alt.Axis(values=values, labelExpr=_LABELS[measure.what, metric], domain=False)
    ends = alt.Scale(domain=[values[0], values[-1]], nice=False)
    y = alt.Y("value:Q", title=None, scale=ends, axis=labels)
    ways = list(dict.fromkeys(frame["how"]))
    shape = alt.Shape(
        "how:N",
        scale=alt.Scale(domain=ways, range=_SHAPES[: len(ways)]),
        legend=_KEY if len(ways) > 1 else None,
    )
    size = 26 if len(frame) < 30 else 9
    chart = alt.Chart(frame)
    bars = chart.mark_rule(color=MUTED, opacity=0.3, strokeWidth=0.8, aria=False).encode(
        x=x, y=alt.Y("low:Q", title=None, scale=ends, axis=labels), y2="high:Q"
    )
    line = chart.mark_line(color=MUTED, strokeWidth=0.8, aria=False).encode(
        x=x, y=y, detail="how:N"
    )
    points = chart.mark_point(color=INK, filled=True, size=size, opacity=1).encode(
        x=x, y=y, shape=shape, description="words:N"
    )
    newest = alt.Chart(frame[frame["newest"]]).mark_point(
        color=RUST, filled=True, size=48, opacity=1, aria=False
    )
    layers = (bars, line, points, newest.encode(x=x, y=y, shape=shape))
    return alt.layer(*layers).properties(width=HALF_WIDTH, height=_HEIGHT)


def _days(measure: Measure) -> int:
    """Return how many days the readings span."""
    return (measure.readings[-1].day - measure.readings[0].day).days


def _dates(measure: Measure) -> alt.Axis:
    """Return an axis of months, or of days where a month would stand under several ticks."""
    span = _days(measure)
    if span >= _DAYS_FOR_MONTHS:
        return _date_axis("%b %Y", _TICKS)
    return _date_axis("%-d %b", {"interval": "day", "step": max(1, math.ceil(span / _TICKS))})


def _date_axis(form: str, ticks: Any) -> alt.Axis:
    # The padding keeps dates clear of the lowest value, which stands in the corner.
    return alt.Axis(format=form, grid=False, tickCount=ticks, labelOverlap=True, labelPadding=8)


def _round_values(frame: pd.DataFrame, steps: tuple[int, ...]) -> list[int]:
    """Return round values from below the lowest mark to above the highest, by the finest step.

    There are at least two, so that readings that are all alike have a scale as well.
    """
    low, high = float(frame["low"].min()), float(frame["high"].max())
    for step in steps:
        first, last = math.floor(low / step), math.ceil(high / step)
        if last - first <= _TICKS + 1:
            break
    return [number * step for number in range(first, max(last, first + 1) + 1)]


def _row(reading: Reading, measure: Measure, digest: Digest) -> dict[str, Any]:
    way = (reading.day, reading.method, reading.shod)
    newest = way == (measure.day, measure.method, measure.shod)
    # The noise of a difference is that of two readings; each carries its share. It is known for
    # the way in which the newest was taken, and says nothing of another.
    noise = measure.noise if reading.method == measure.method else None
    error = 0.0 if noise is None else noise.value / 2**0.5
    how = how_taken(reading.method, reading.shod)
    to_axis = _SCALES[reading.number.kind, digest.barn.units == "metric"]
    value = reading.number.value
    return {
        "day": f"{reading.day.isoformat()}T00:00:00Z",
        "value": to_axis(value),
        "low": to_axis(value - error),
        "high": to_axis(value + error),
        "how": how,
        "newest": newest,
        "words": f"{day_of(reading.day)} {reading.day.year}, {how}: "
        f"{written(reading.number, digest.barn)}",
    }


# What the axis counts in, by measurement and unit system, and how its labels are written. Heights
# in hands are drawn in inches and labelled in hands: 66 is 16.2.
_SCALES: dict[tuple[str, bool], Any] = {
    ("weight", False): lambda mass_kg: float(units.pounds(mass_kg)),
    ("weight", True): float,
    ("height", False): lambda height_m: float(units.inches(height_m)),
    ("height", True): lambda height_m: height_m * 100,
}
# Steps between the lines of the axis, the finest first; two inches are half a hand.
_STEPS = {
    ("weight", False): (10, 20, 50, 100, 200, 500),
    ("weight", True): (5, 10, 20, 50, 100, 200),
    ("height", False): (1, 2, 4, 8, 16, 32),
    ("height", True): (1, 2, 5, 10, 20, 50),
}
_LABELS = {
    ("weight", False): "format(datum.value, ',') + ' lb'",
    ("weight", True): "format(datum.value, ',') + ' kg'",
    ("height", False): "floor(datum.value / 4) + '.' + (datum.value % 4)",
    ("height", True): "datum.label + ' cm'",
}
