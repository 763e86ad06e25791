"""A work as a GPS receiver saw it: its speed, and its path off the measuring line."""

from collections.abc import Sequence
from typing import Any

import altair as alt
import pandas as pd

from racecalc import units
from racecalc.digest import Trace, WorkReview
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, specification
from racecalc.notation import typeset
from racecalc.page import INK, MUTED, RUST, Picture, Several
from racecalc.words import path_caption, path_words, speed_caption, speed_words

__all__ = ["trace"]

_HEIGHT = 120
_FEWEST = 10


def trace(review: WorkReview) -> Several | None:
    """Draw speed and path, or nothing where no receiver saw the work."""
    seen = review.trace
    if seen is None or len(seen.places_m) < _FEWEST:
        return None
    metric = review.barn.units == "metric"
    return Several((_speed(review, seen, metric), _path(review, seen, metric)))


def _speed(review: WorkReview, seen: Trace, metric: bool) -> Picture:
    to_axis = units.kilometres_per_hour if metric else units.miles_per_hour
    unit = "km/h" if metric else "mph"
    alt_text = speed_words(review)
    line = _line(seen, [float(to_axis(speed)) for speed in seen.speeds_m_s], unit, INK)
    steps = pd.DataFrame(
        [
            {
                "from": -section.from_m,
                "to": -section.to_finish_m,
                "value": float(to_axis(section.distance_m / section.time.value)),
            }
            for section in review.work.sections
            if not section.gallop_out
        ]
    )
    layers = [line]
    if len(steps):
        marks = drawn_from(steps).mark_rule(color=RUST, strokeWidth=2, aria=False)
        layers.insert(0, marks.encode(x=alt.X("from:Q"), x2=alt.X2("to:Q"), y=alt.Y("value:Q")))
    return _picture(layers, alt_text, "Speed along the track", speed_caption(review))


def _path(review: WorkReview, seen: Trace, metric: bool) -> Picture:
    scale = 1.0 if metric else units.FOOT_M
    alt_text = path_words(review)
    line = _line(seen, [out / scale for out in seen.outs_m], "m" if metric else "ft", INK)
    zero = drawn_from(pd.DataFrame({"value": [0.0]})).mark_rule(color=MUTED, aria=False)
    layers = [zero.encode(y=alt.Y("value:Q")), line]
    return _picture(layers, alt_text, "Path off the measuring line", path_caption(review))


def _line(seen: Trace, values: Sequence[float], unit: str, colour: str) -> Any:
    places = [-place for place in seen.places_m]
    frame = pd.DataFrame({"place": places, "piece": seen.pieces, "value": values})
    axis = dict(tickCount=4, labelExpr=f"datum.label + ' {unit}'", domain=False)
    y = alt.Y("value:Q", title=None, axis=axis, scale=dict(zero=False))
    x = alt.X(
        "place:Q", title=None, axis=_poles(seen), scale=dict(nice=False, zero=False, padding=4)
    )
    chart = drawn_from(frame).mark_line(color=colour, strokeWidth=1.4, aria=False)
    # No line leads over a gap.
    return chart.encode(x=x, y=y, detail=alt.Detail("piece:N"))


def _poles(seen: Trace) -> dict[str, Any]:
    """Return an axis that bears the poles, in the order run."""
    names = {
        -round(place_m, 3): typeset(pole).replace("finish", "end") for pole, place_m in seen.ticks
    }
    cases = [f"abs(datum.value - {m}) < 1 ? {name!r}" for m, name in names.items()]
    return dict(
        values=list(names),
        labelExpr=" : ".join([*cases, "''"]),
        labelAngle=0,
        labelOverlap="greedy",
        labelSeparation=4,
        domain=False,
    )


def _picture(layers: list[Any], alt_text: str, title: str, caption: str) -> Picture:
    chart = layer(*layers, width=HALF_WIDTH, height=_HEIGHT)
    return Picture(
        spec=specification(chart, alt_text),
        alt=alt_text,
        title=title,
        caption=caption,
        half=True,
        group="trace",
    )
