"""The load: ground of each week by class of speed, the days under it, and fast ground over time."""

from datetime import timedelta
from typing import Any

import altair as alt

from racecalc import units
from racecalc.digest import Digest, Load, LoadReport, Number
from racecalc.figures.axes import across, key, round_values, with_unit
from racecalc.figures.joined import below, drawn_from, layer
from racecalc.figures.theme import (
    HALF_WIDTH,
    NARROW_WIDTH,
    WIDE_WIDTH,
    date_axis,
    moment,
    specification,
)
from racecalc.page import BLUE, INK, MUTED, OCHRE, RULE, RUST, SAGE, SAGE_PALE, Picture
from racecalc.words import (
    DAY_NAMES,
    brief_day,
    class_name,
    day_of,
    fast_line_caption,
    fast_line_words,
    smoothed_caption,
    smoothed_words,
    week_in_words,
    weeks_caption,
    weeks_words,
    written,
)

__all__ = ["fast_line", "smoothed", "weeks"]

_FAST_HEIGHT, _SLOW_HEIGHT, _DAYS_HEIGHT, _LINE_HEIGHT = 84, 40, 22, 130
# Between them, and from the lowest bars to the middle of the dates.
_GAP, _TO_DATES = 3, 35
_WEEK = 7
# A week's bar leaves room at either side, in days.
_MARGIN = 0.8
_DATE_WIDTH = 42
# The slowest ground is pale with an edge; quicker classes are darker, also in black and white.
_FAST_COLOURS = (OCHRE, RUST, INK, BLUE, MUTED)
_SLOW_COLOURS = (SAGE_PALE, SAGE, MUTED, RULE)
# How long the stroke of a day is, and its colour.
_STROKES = {
    "race": (1.0, INK),
    "work": (0.85, RUST),
    "test": (0.7, BLUE),
    "gallop": (0.55, SAGE),
    "light": (0.35, SAGE),
    "other": (0.2, SAGE),
    "off": (0.08, MUTED),
}
_TICKS = 4
# Lines across, at most.
_LINES, _SLOW_LINES = 4, 2
# A stroke fills this much of the place of its day.
_STROKE_SHARE = 0.6


def weeks(told: Digest | LoadReport) -> Picture | None:
    """Draw the ground of each week by class of speed, or nothing where there was none."""
    if told.load is None:
        return None
    load, alt_text = told.load, weeks_words(told)
    return Picture(
        spec=specification(_weeks(told, load, WIDE_WIDTH), alt_text),
        narrow=specification(_weeks(told, load, NARROW_WIDTH), alt_text),
        alt=alt_text,
        title="Week by week",
        caption=weeks_caption(told),
    )


def _weeks(told: Digest | LoadReport, load: Load, width: int) -> Any:
    days = _WEEK * len(load.weeks)
    x = alt.X("start:Q", axis=None, scale=dict(domain=[0, days], nice=False))
    rows = _rows(told, load)
    parts = []
    for quick, height in ((True, _FAST_HEIGHT), (False, _SLOW_HEIGHT)):
        shown = [row for row in rows if load.classes[row["order"]].fast == quick]
        if shown:
            parts.append((height, _bars(told, shown, x, height, fast=quick)))
    if parts:
        parts[0][1].extend(_key(told, load))
    else:
        # Of weeks without known ground the days alone are shown.
        parts.append((1, []))
    # What stands below the lowest bars is placed in pixels: a view of its own would cost as much.
    height, lowest = parts[-1]
    lowest += [_days(load, x, width, height + _GAP), _dates(load, x, width, height + _TO_DATES)]
    views = [layer(*layers, width=width, height=height) for height, layers in parts]
    return below(*views, spacing=_GAP)


def _rows(told: Digest | LoadReport, load: Load) -> list[dict[str, Any]]:
    rows, colours = [], _colours(load)
    for number, week in enumerate(load.weeks):
        words = week_in_words(week, load, told.barn)
        rows += [
            {
                "start": _WEEK * number + _MARGIN,
                "end": _WEEK * (number + 1) - _MARGIN,
                "group": class_name(load.classes[n], told.barn),
                "order": n,
                "fill": colours[n],
                "edge": _edge(colours[n]),
                "ground": _on_axis(metres.value, told, fast=load.classes[n].fast),
                "words": words[n],
            }
            for n, metres in week.ground.items()
        ]
    return rows


def _bars(
    told: Digest | LoadReport, rows: list[dict[str, Any]], x: alt.X, height: int, *, fast: bool
) -> list[Any]:
    """Return lines across, and the bars of the weeks."""
    stacked, unit = _stacked(rows), _unit(told, fast=fast)
    top = max(row["top"] for row in stacked)
    scale = dict(domain=[0, top], nice=False)
    values = round_values(0, top, _LINES if fast else _SLOW_LINES)
    labels = with_unit(values, unit) | {0: ""}
    bars = drawn_from(stacked).mark_rect(strokeWidth=1)
    return [
        *across(labels, scale, title="fast" if fast else "slower", height=height),
        bars.encode(
            x=x,
            x2=alt.X2("end:Q"),
            y=alt.Y("bottom:Q", axis=None, scale=scale),
            y2=alt.Y2("top:Q"),
            fill=alt.Fill("fill:N", scale=None),
            stroke=alt.Stroke("edge:N", scale=None),
            description=alt.Description("words:N"),
        ),
    ]


def _key(told: Digest | LoadReport, load: Load) -> list[Any]:
    present = sorted({n for week in load.weeks for n in week.ground})
    colours = _colours(load)
    entries = [
        (class_name(load.classes[n], told.barn), colours[n], _edge(colours[n])) for n in present
    ]
    return key(entries, columns=2)


def _colours(load: Load) -> list[str]:
    """Return a colour for each class: pale for slower ones, strong for fast ones."""
    slow, fast = iter(_SLOW_COLOURS * 2), iter(_FAST_COLOURS * 2)
    return [next(fast if one.fast else slow) for one in load.classes]


def _edge(colour: str) -> str:
    """Return the colour of an edge: the palest fill needs a stronger one."""
    return SAGE if colour == SAGE_PALE else colour


def _stacked(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Put the classes of each week on one another, the quickest at the bottom."""
    reached: dict[float, float] = {}
    stacked = []
    for row in sorted(rows, key=lambda row: (row["start"], -row["order"])):
        bottom = reached.get(row["start"], 0.0)
        reached[row["start"]] = bottom + row["ground"]
        stacked.append({**row, "bottom": bottom, "top": bottom + row["ground"]})
    return stacked


def _days(load: Load, x: alt.X, width: int, top: int) -> Any:
    """Return a stroke for each day, the longer the more was done, from so many pixels down."""
    kinds = [kind for week in load.weeks for kind in week.days]
    first = load.weeks[0].first
    rows = [
        {
            "start": number + 0.5,
            "top": round(top + _DAYS_HEIGHT * (1 - _STROKES[kind][0]), 1),
            "bottom": top + _DAYS_HEIGHT,
            "colour": _STROKES[kind][1],
            "words": f"{day_of(first + timedelta(days=number))}: {DAY_NAMES[kind]}",
        }
        for number, kind in enumerate(kinds)
        if kind in _STROKES
    ]
    thick = _STROKE_SHARE * width / len(kinds)
    return (
        drawn_from(rows)
        .mark_rule(strokeWidth=thick)
        .encode(
            x=x,
            y=alt.Y("top:Q", axis=None, scale=None),
            y2=alt.Y2("bottom:Q"),
            color=alt.Color("colour:N", scale=None),
            description=alt.Description("words:N"),
        )
    )


def _dates(load: Load, x: alt.X, width: int, middle: int) -> Any:
    """Write the last day of as many weeks as there is room for, the newest among them."""
    count = len(load.weeks)
    step = -(-_DATE_WIDTH * count // width)
    rows = [
        {"start": _WEEK * (number + 0.5), "y": middle, "label": brief_day(week.last, load.last)}
        for number, week in enumerate(load.weeks)
        if (count - 1 - number) % step == 0
    ]
    chart = drawn_from(rows).mark_text(color=MUTED, aria=False)
    return chart.encode(x=x, y=alt.Y("y:Q", axis=None, scale=None), text=alt.Text("label:N"))


def fast_line(told: Digest | LoadReport) -> Picture | None:
    """Draw fast ground of 30 days over time, or nothing where there never was any."""
    if told.load is None or not any(point.fast.value for point in told.load.line):
        return None
    alt_text = fast_line_words(told)
    return Picture(
        spec=specification(_line(told, told.load), alt_text),
        alt=alt_text,
        title="Fast ground in 30 days",
        caption=fast_line_caption(told),
        half=True,
        group="load",
    )


def _line(told: Digest | LoadReport, load: Load) -> Any:
    rows = [
        {
            "day": moment(point.day),
            "fast": _on_axis(point.fast.value, told, fast=True),
            "size": 60 if point.day == load.last else 16,
            "colour": RUST if point.day == load.last else INK,
            "words": f"30 days to {day_of(point.day)}: {written(point.fast, told.barn)}",
        }
        for point in load.line
    ]
    labels = dict(
        tickCount=_TICKS, domain=False, labelExpr=f"datum.label + ' {_unit(told, fast=True)}'"
    )
    y = alt.Y("fast:Q", title=None, axis=labels)
    x = alt.X("day:T", title=None, scale=dict(type="utc"), axis=date_axis("%b %Y", _TICKS))
    chart = drawn_from(rows)
    line = chart.mark_line(color=INK, strokeWidth=1.4, aria=False).encode(x=x, y=y)
    points = chart.mark_point(filled=True, opacity=1).encode(
        x=x,
        y=y,
        size=alt.Size("size:Q", scale=None),
        color=alt.Color("colour:N", scale=None),
        description=alt.Description("words:N"),
    )
    layers = [*_usual(told, rows, x), line, points, *_published(told, load, rows, x)]
    return layer(*layers, width=HALF_WIDTH, height=_LINE_HEIGHT)


def smoothed(report: LoadReport) -> Picture | None:
    """Draw the load of a day smoothed over a week and over four, or nothing for too few weeks."""
    if not report.smoothed:
        return None
    alt_text = smoothed_words(report)
    return Picture(
        spec=specification(_smoothed(report), alt_text),
        alt=alt_text,
        title="The load, smoothed",
        caption=smoothed_caption(report),
        half=True,
        group="load",
    )


def _smoothed(report: LoadReport) -> Any:
    shown = {"month": (SAGE, 3.0, "four weeks"), "week": (INK, 1.4, "a week")}
    x = alt.X("day:T", title=None, scale=dict(type="utc"), axis=date_axis("%b %Y", _TICKS))
    metric = report.barn.units == "metric"
    label = f"datum.label + ' {'km' if metric else 'f'}'"
    y = alt.Y("load:Q", title=None, axis=dict(tickCount=3, domain=False, labelExpr=label))
    layers = []
    for span, (colour, width, over) in shown.items():
        rows = [
            {
                "day": moment(point.day),
                "load": _a_day(number, metric),
                "words": f"{day_of(point.day)}, over {over}: {written(number, report.barn)} a day",
            }
            for point in report.smoothed
            for number in [point.week if span == "week" else point.month]
        ]
        chart = drawn_from(rows)
        line = chart.mark_line(color=colour, strokeWidth=width, aria=False).encode(x=x, y=y)
        dots = chart.mark_point(filled=True, size=14, color=colour, opacity=1)
        layers += [line, dots.encode(x=x, y=y, description=alt.Description("words:N"))]
    return layer(*layers, width=HALF_WIDTH, height=_LINE_HEIGHT)


def _a_day(number: Number, metric: bool) -> float:
    """Return ground of a day in the unit of its axis: kilometres or furlongs."""
    return number.value / 1000 if metric else float(units.furlongs(number.value))


def _usual(told: Digest | LoadReport, points: list[dict[str, Any]], x: alt.X) -> list[Any]:
    """Return a band of what was usual, behind the line."""
    if told.usual_fast is None:
        return []
    low, high = (_on_axis(number.value, told, fast=True) for number in told.usual_fast)
    rows = [{"day": points[end]["day"], "low": low, "high": high} for end in (0, -1)]
    band = drawn_from(rows).mark_area(color=SAGE_PALE, opacity=0.7, aria=False)
    return [band.encode(x=x, y=alt.Y("low:Q", title=None), y2=alt.Y2("high:Q"))]


def _published(
    told: Digest | LoadReport, load: Load, points: list[dict[str, Any]], x: alt.X
) -> list[Any]:
    """Return a dotted line at a published amount, where there is one to show."""
    if load.published is None:
        return []
    amount = _on_axis(load.published.value, told, fast=True)
    rows = [{"day": points[end]["day"], "fast": amount} for end in (0, -1)]
    line = drawn_from(rows).mark_line(color=MUTED, strokeWidth=1, strokeDash=[1, 3], aria=False)
    return [line.encode(x=x, y=alt.Y("fast:Q", title=None))]


def _on_axis(metres: float, told: Digest | LoadReport, *, fast: bool) -> float:
    """Return ground in the unit of its axis: kilometres, or furlongs where fast, else miles."""
    if told.barn.units == "metric":
        return metres / 1000
    return float(units.furlongs(metres) if fast else units.miles(metres))


def _unit(told: Digest | LoadReport, *, fast: bool) -> str:
    if told.barn.units == "metric":
        return "km"
    return "f" if fast else "mi"
