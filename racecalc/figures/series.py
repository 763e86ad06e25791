"""Body measurements over time: the newest reading against what counts as no change."""

import math
from collections.abc import Callable
from typing import Any

import altair as alt

from racecalc import units
from racecalc.digest import BodyReport, Digest, Event, Measure, Reading
from racecalc.figures.axes import across
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, date_axis, moment, specification
from racecalc.page import INK, MUTED, OCHRE, RUST, Picture, Several
from racecalc.words import (
    MEASURE_NAMES,
    Told,
    capital,
    day_of,
    how_taken,
    measure_caption,
    measure_picture_words,
    pronouns,
    written,
)

__all__ = ["body_pictures", "height", "weight"]

_HEIGHT = 130
_FEWEST_POINTS = 3
_SHAPES = ["circle", "square", "triangle-up", "diamond", "cross", "triangle-down", "triangle-left"]
_KEY = dict(orient="top", direction="horizontal", columns=2, offset=2)
_TICKS = 4
_TAPED = ("girth", "length", "cannon")
# Readings of less than this many days bear days on their axis, of more, months.
_DAYS_FOR_MONTHS = 150
# Scores hardly move: half a point is not to fill the picture.
_SCORE_SPARE = 0.5
_INCHES_A_HAND = 4
# How far works and races stand up from the line of days, as a share of the picture.
_EVENT_SHARE = {"work": 0.03, "race": 0.09}


def weight(digest: Digest) -> Picture | None:
    """Draw the horse's weight over time, or nothing where there are too few readings."""
    return _series(digest, digest.weight)


def height(digest: Digest) -> Picture | None:
    """Draw the horse's height over time, or nothing where there are too few readings."""
    return _series(digest, digest.height)


def body_pictures(report: BodyReport) -> Several:
    """Draw every measurement of a body report of which there are readings enough.

    The picture of weight bears the works and races as well.
    """
    found = [
        _series(report, line.measure, report.events if line.measure.what == "weight" else ())
        for line in report.lines
    ]
    return Several(tuple(picture for picture in found if picture))


def _series(told: Told, measure: Measure | None, events: tuple[Event, ...] = ()) -> Picture | None:
    if measure is None or len(measure.readings) < _FEWEST_POINTS or not _days(measure):
        return None
    # A measure by tape that never changed needs no picture to say so.
    if measure.what in _TAPED and len({one.number.value for one in measure.readings}) == 1:
        return None
    events = tuple(event for event in events if event.day >= measure.readings[0].day)
    alt_text = measure_picture_words(measure, told)
    marks = "Strokes below: works; tall: races." if events else ""
    return Picture(
        spec=specification(_chart(told, measure, events), alt_text),
        alt=alt_text,
        title=f"{capital(pronouns(told.horse.sex).possessive)} {MEASURE_NAMES[measure.what]}",
        caption=measure_caption(measure, told, marks),
        half=True,
        group="body",
    )


def _chart(told: Told, measure: Measure, events: tuple[Event, ...]) -> Any:
    """Return the readings, a line through each way of measuring, and the band of no change."""
    rows = [_row(reading, measure, told) for reading in measure.readings]
    to_axis, steps, label = _SCALES[measure.what, told.barn.units == "metric"]
    band = _band(measure, to_axis)
    ends = [row["value"] for row in rows] + [row[end] for row in band for end in ("low", "high")]
    spare = _SCORE_SPARE if measure.what == "condition" else 0.0
    values = _round_values(min(ends) - spare, max(ends) + spare, steps)
    # All in universal time: the picture is the same wherever it is drawn.
    x = alt.X("day:T", title=None, axis=_dates(measure), scale=dict(type="utc", padding=8))
    scale = dict(domain=[values[0], values[-1]], nice=False)
    y = alt.Y("value:Q", axis=None, scale=scale)
    layers = [
        *across({value: label(value) for value in values}, scale, on_axis=True),
        *_no_change(band, x, y, alt.Y("low:Q", axis=None, scale=scale)),
        *_trend_line(measure, x, y, to_axis),
        *_strokes(events, x, y, values),
        *_points(rows, x, y),
    ]
    return layer(*layers, width=HALF_WIDTH, height=_HEIGHT)


def _points(rows: list[dict[str, Any]], x: alt.X, y: alt.Y) -> list[Any]:
    ways = list(dict.fromkeys(row["how"] for row in rows))
    shape = alt.Shape(
        "how:N",
        scale=dict(domain=ways, range=_SHAPES[: len(ways)]),
        legend=_KEY if len(ways) > 1 else None,
    )
    size = 26 if len(rows) < 30 else 9
    chart = drawn_from(rows)
    line = chart.mark_line(color=MUTED, strokeWidth=0.8, aria=False).encode(
        x=x, y=y, detail=alt.Detail("line:N")
    )
    points = chart.mark_point(color=INK, filled=True, size=size, opacity=1).encode(
        x=x, y=y, shape=shape, description=alt.Description("words:N")
    )
    newest = drawn_from([row for row in rows if row["newest"]]).mark_point(
        color=RUST, filled=True, size=48, opacity=1, aria=False
    )
    return [line, points, newest.encode(x=x, y=y, shape=shape)]


def _band(measure: Measure, to_axis: Any) -> list[dict[str, Any]]:
    """Return from where to where a reading is no different from the one compared with."""
    against = measure.against
    if against is None or against.low is None or against.high is None:
        return []
    return [
        {
            "day": moment(day),
            "value": to_axis(against.begin),
            "low": to_axis(against.low),
            "high": to_axis(against.high),
        }
        for day in (against.since, measure.day)
    ]


def _no_change(band: list[dict[str, Any]], x: alt.X, y: alt.Y, low: alt.Y) -> list[Any]:
    if not band:
        return []
    chart = drawn_from(band)
    area = chart.mark_area(color=OCHRE, opacity=0.28, aria=False)
    middle = chart.mark_line(color=OCHRE, strokeWidth=0.8, aria=False)
    return [area.encode(x=x, y=low, y2=alt.Y2("high:Q")), middle.encode(x=x, y=y)]


def _trend_line(measure: Measure, x: alt.X, y: alt.Y, to_axis: Any) -> list[Any]:
    """Return the line through the readings of some weeks, where it tells of a real change."""
    trend = measure.trend
    # Growth follows no line.
    if trend is None or not trend.real or measure.what == "height":
        return []
    ends = [(trend.first, trend.begin), (trend.last, trend.end)]
    rows = [{"day": moment(day), "value": to_axis(value)} for day, value in ends]
    line = drawn_from(rows).mark_line(color=RUST, strokeWidth=1.2, strokeDash=[4, 3], aria=False)
    return [line.encode(x=x, y=y)]


def _strokes(events: tuple[Event, ...], x: alt.X, y: alt.Y, values: list[float]) -> list[Any]:
    if not events:
        return []
    reach = values[-1] - values[0]
    rows = [
        {
            "day": moment(event.day),
            "value": values[0],
            "top": values[0] + _EVENT_SHARE[event.what] * reach,
        }
        for event in events
    ]
    strokes = drawn_from(rows).mark_rule(color=MUTED, strokeWidth=0.8, aria=False)
    return [strokes.encode(x=x, y=y, y2=alt.Y2("top:Q"))]


def _days(measure: Measure) -> int:
    """Return how many days the readings span."""
    return (measure.readings[-1].day - measure.readings[0].day).days


def _dates(measure: Measure) -> dict[str, Any]:
    """Return an axis of months, or of days where a month would stand under several ticks."""
    span = _days(measure)
    if span >= _DAYS_FOR_MONTHS:
        return date_axis("%b %Y", _TICKS)
    return date_axis("%-d %b", {"interval": "day", "step": max(1, math.ceil(span / _TICKS))})


def _round_values(low: float, high: float, steps: tuple[float, ...]) -> list[float]:
    """Return round values from below the lowest mark to above the highest, by the finest step.

    There are at least two, so that readings that are all alike have a scale as well.
    """
    for step in steps:
        first, last = math.floor(low / step), math.ceil(high / step)
        if last - first <= _TICKS + 1:
            break
    return [number * step for number in range(first, max(last, first + 1) + 1)]


def _row(reading: Reading, measure: Measure, told: Told) -> dict[str, Any]:
    way = (reading.day, reading.method, reading.shod, reading.adjusted, reading.scorer)
    newest = (measure.day, measure.method, measure.shod, measure.adjusted, measure.scorer)
    how = how_taken(reading.method, reading.shod, reading.adjusted)
    if measure.what == "condition":
        how = "scored"
    to_axis, _, _ = _SCALES[measure.what, told.barn.units == "metric"]
    return {
        "day": moment(reading.day),
        "value": to_axis(reading.number.value),
        "how": how,
        # Heights with shoes, less shoes, go on one line with those without.
        "line": f"{reading.method} {reading.shod} {reading.scorer}",
        "newest": way == newest,
        "words": f"{day_of(reading.day)} {reading.day.year}, {how}: "
        f"{written(reading.number, told.barn)}",
    }


def _pounds(mass_kg: float) -> float:
    return float(units.pounds(mass_kg))


def _inches(length_m: float) -> float:
    return float(units.inches(length_m))


def _centimetres(length_m: float) -> float:
    return length_m * 100


def _quarters(inches: float) -> str:
    whole, part = divmod(inches, 1)
    return f"{whole:.0f}{['', '¼', '½', '¾'][round(4 * part)]} in"


def _hands(inches: float) -> str:
    whole, left = divmod(inches, _INCHES_A_HAND)
    return f"{whole:.0f}.{left:.0f}"


_CENTIMETRES = "{:g} cm".format
_TAPED_INCHES = (_inches, (0.25, 0.5, 1.0, 2.0, 5.0, 10.0), _quarters)
_TAPED_CENTIMETRES = (_centimetres, (0.5, 1.0, 2.0, 5.0, 10.0, 20.0), _CENTIMETRES)
_SCORE = (float, (1.0, 2.0), "{:g}".format)

# What the axis counts in, the steps between its lines from the finest on, and how its labels are
# written, by measurement and whether the barn is metric. Heights in hands are drawn in inches and
# labelled in hands: 66 is 16.2; two inches are half a hand.
_SCALES: dict[tuple[str, bool], tuple[Any, tuple[float, ...], Callable[[float], str]]] = {
    ("weight", False): (
        _pounds, (10.0, 20.0, 50.0, 100.0, 200.0, 500.0), "{:,.0f} lb".format,
    ),
    ("weight", True): (
        float, (5.0, 10.0, 20.0, 50.0, 100.0, 200.0), "{:,.0f} kg".format,
    ),
    ("height", False): (
        _inches,
        (1.0, 2.0, 4.0, 8.0, 16.0, 32.0),
        _hands,
    ),
    ("height", True): (_centimetres, (1.0, 2.0, 5.0, 10.0, 20.0, 50.0), _CENTIMETRES),
    **dict.fromkeys([("girth", False), ("length", False), ("cannon", False)], _TAPED_INCHES),
    **dict.fromkeys([("girth", True), ("length", True), ("cannon", True)], _TAPED_CENTIMETRES),
    **dict.fromkeys([("condition", False), ("condition", True)], _SCORE),
}  # fmt: skip
