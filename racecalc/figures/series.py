"""Body measurements over time, each way of measuring kept apart."""

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
_SHAPES = ["circle", "square", "triangle-up", "diamond"]
_KEY = alt.Legend(orient="top", direction="horizontal", offset=2)


def weight(digest: Digest) -> Picture | None:
    """Draw the horse's weight over time, or nothing where there are too few readings."""
    return _series(digest, digest.weight)


def height(digest: Digest) -> Picture | None:
    """Draw the horse's height over time, or nothing where there are too few readings."""
    return _series(digest, digest.height)


def _series(digest: Digest, measure: Measure | None) -> Picture | None:
    if measure is None or len(measure.readings) < _FEWEST_POINTS:
        return None
    alt_text = measure_picture_words(measure, digest)
    return Picture(
        spec=specification(_chart(digest, measure), alt_text),
        alt=alt_text,
        title=f"{capital(pronouns(digest.horse.sex).possessive)} {measure.what}",
        caption=measure_caption(measure, digest),
        half=True,
    )


def _chart(digest: Digest, measure: Measure) -> Any:
    """Return points with their error, a line through each series, the newest point in red."""
    metric = digest.barn.units == "metric"
    # The noise of a difference is that of two readings; each carries its share.
    error = 0.0 if measure.noise is None else measure.noise.value / 2**0.5
    frame = pd.DataFrame([_row(reading, error, digest) for reading in measure.readings])
    months = alt.Axis(format="%b %Y", grid=False, tickCount=4, labelOverlap=True)
    x = alt.X("day:T", title=None, axis=months, scale=alt.Scale(padding=8))
    labels = alt.Axis(tickCount=4, labelExpr=_LABELS[measure.what, metric], domain=False)
    y = alt.Y("value:Q", title=None, scale=alt.Scale(zero=False, nice=True), axis=labels)
    ways = list(dict.fromkeys(frame["how"]))
    shape = alt.Shape(
        "how:N",
        scale=alt.Scale(domain=ways, range=_SHAPES[: len(ways)]),
        legend=_KEY if len(ways) > 1 else None,
    )
    size = 26 if len(frame) < 30 else 9
    chart = alt.Chart(frame)
    bars = chart.mark_rule(color=MUTED, opacity=0.3, strokeWidth=0.8, aria=False).encode(
        x=x, y=alt.Y("low:Q", title=None), y2="high:Q"
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


def _row(reading: Reading, error: float, digest: Digest) -> dict[str, Any]:
    measure = digest.weight if reading.number.kind == "weight" else digest.height
    newest = measure is not None and (
        (reading.day, reading.method, reading.shod) == (measure.day, measure.method, measure.shod)
    )
    how = how_taken(reading.method, reading.shod)
    to_axis = _SCALES[reading.number.kind, digest.barn.units == "metric"]
    value = reading.number.value
    return {
        # With a time of day it is local; a bare date would be shifted by the time zone.
        "day": f"{reading.day.isoformat()}T00:00:00",
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
_LABELS = {
    ("weight", False): "format(datum.value, ',') + ' lb'",
    ("weight", True): "format(datum.value, ',') + ' kg'",
    ("height", False): "datum.value % 1 ? '' : floor(datum.value / 4) + '.' + (datum.value % 4)",
    ("height", True): "datum.label + ' cm'",
}
