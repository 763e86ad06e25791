"""Exercise tests: heart rate and lactate on speed, and the sections of works on a scale of pace."""

from datetime import date
from typing import Any

import altair as alt
import pandas as pd

from racecalc import units
from racecalc.digest import Asked, FitnessReport, FitnessTest, Number, TestStep
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.fitness import bounds
from racecalc.page import INK, MUTED, RUST, SAGE, SAGE_PALE, Picture
from racecalc.words import (
    THRESHOLD_NAMES,
    bands_caption,
    bands_words,
    brief_day,
    day_of,
    heart_caption,
    heart_words,
    lactate_caption,
    lactate_words,
    written,
)

__all__ = ["against_thresholds", "heart_rate", "lactate"]

_HEIGHT, _ROW_HEIGHT = 140, 17
# What the names of works take beside the picture.
_NAMES_WIDTH, _SHORT_WIDTH = 110, 62
_TICKS = 5
_MARKS = {"heart_rate": 200.0, "lactate": 4.0}


def heart_rate(report: FitnessReport) -> Picture | None:
    """Draw the heart rate on speed of the newest test, or nothing where there is none."""
    return _test_picture(
        report, "heart_rate", "Heart rate on speed", heart_words, heart_caption, zero=False
    )


def lactate(report: FitnessReport) -> Picture | None:
    """Draw the lactate on speed of the newest test, or nothing where there is none."""
    return _test_picture(
        report, "lactate", "Lactate on speed", lactate_words, lactate_caption, zero=True
    )


def _test_picture(
    report: FitnessReport, what: str, title: str, words: Any, caption: Any, *, zero: bool
) -> Picture | None:
    newest = report.newest
    if newest is None or not any(getattr(step, what) for step in newest.steps):
        return None
    alt_text = words(report)
    return Picture(
        spec=specification(_test_chart(report, newest, what, zero), alt_text),
        alt=alt_text,
        title=title,
        caption=caption(report),
        half=True,
        group="test",
    )


def _test_chart(report: FitnessReport, newest: FitnessTest, what: str, zero: bool) -> Any:
    metric = report.barn.units == "metric"
    unit = "km/h" if metric else "mph"
    x = alt.X(
        "speed:Q",
        title=None,
        scale=dict(zero=False, nice=True),
        axis=dict(tickCount=_TICKS, grid=False, labelExpr=f"datum.label + ' {unit}'"),
    )
    y = alt.Y(
        "value:Q",
        title=None,
        scale=dict(zero=zero, nice=True),
        axis=dict(tickCount=_TICKS, domain=False),
    )
    before = report.tests[-2] if len(report.tests) > 1 else None
    layers = [_mark(what, y)]
    if before:
        layers += _test_layers(report, before, what, x, y, SAGE, 30)
    layers += _test_layers(report, newest, what, x, y, RUST, 55)
    layers += _reading(report, newest, what, x, y)
    return layer(*layers, width=HALF_WIDTH, height=_HEIGHT)


def _mark(what: str, y: alt.Y) -> Any:
    rows = pd.DataFrame([{"value": _MARKS[what]}])
    return drawn_from(rows).mark_rule(color=MUTED, strokeDash=[1, 3], aria=False).encode(y=y)


def _test_layers(
    report: FitnessReport,
    test: FitnessTest,
    what: str,
    x: alt.X,
    y: alt.Y,
    colour: str,
    size: int,
) -> list[Any]:
    line = test.heart_line if what == "heart_rate" else test.lactate_curve
    layers = []
    if line:
        points = [{"speed": _on_axis(speed, report), "value": value} for speed, value in line]
        chart = drawn_from(points)
        layers.append(chart.mark_line(color=colour, strokeWidth=1.3, aria=False).encode(x=x, y=y))
    rows = [_step_row(step, test, what, report) for step in test.steps if getattr(step, what)]
    if rows:
        dots = drawn_from(rows).mark_point(filled=True, opacity=1, color=colour, size=size)
        layers.append(dots.encode(x=x, y=y, description=alt.Description("words:N")))
    return layers


def _step_row(
    step: TestStep, test: FitnessTest, what: str, report: FitnessReport
) -> dict[str, Any]:
    number = getattr(step, what)
    return {
        "speed": _on_axis(step.speed.value, report),
        "value": number.value,
        "words": f"{day_of(test.day, report.last)}, {written(step.speed, report.barn)}: "
        f"{written(number, report.barn)}",
    }


def _reading(report: FitnessReport, test: FitnessTest, what: str, x: alt.X, y: alt.Y) -> list[Any]:
    """Return a bar from end to end of the interval at which the mark is reached, and its pace."""
    threshold = test.v200 if what == "heart_rate" else test.v4
    reading = threshold.reading
    if reading.speed_m_s is None or threshold.pace is None:
        return []
    ends = (reading.low_m_s or reading.speed_m_s, reading.high_m_s or reading.speed_m_s)
    row = {
        "speed": _on_axis(ends[0], report),
        "end": _on_axis(ends[1], report),
        "middle": _on_axis(reading.speed_m_s, report),
        "value": _MARKS[what],
        "label": written(threshold.pace, report.barn),
    }
    chart = drawn_from([row])
    bar = chart.mark_rule(color=INK, strokeWidth=3, aria=False).encode(x=x, x2=alt.X2("end:Q"), y=y)
    label = chart.mark_text(color=INK, fontWeight="bold", align="right", dx=-6, dy=-9)
    return [
        bar,
        label.encode(
            x=alt.X("middle:Q"),
            y=y,
            text=alt.Text("label:N"),
            description=alt.Description("label:N"),
        ),
    ]


def against_thresholds(report: FitnessReport) -> Picture | None:
    """Draw the sections of the works on a scale of pace with the thresholds as bands."""
    if not any(one.over for one in report.asked) and not (report.gallops and _bands(report)):
        return None
    alt_text = bands_words(report)
    return Picture(
        spec=specification(_bands_chart(report, WIDE_WIDTH - _NAMES_WIDTH), alt_text),
        narrow=specification(
            _bands_chart(report, NARROW_WIDTH - _SHORT_WIDTH, short=True), alt_text
        ),
        alt=alt_text,
        title="Works and gallops against the test",
        caption=bands_caption(report),
    )


def _bands_chart(report: FitnessReport, width: int, *, short: bool = False) -> Any:
    rows = [row for one in reversed(report.asked) for row in _section_rows(one, report, short)]
    rows += _gallop_rows(report)
    frame = pd.DataFrame(rows)
    order = list(dict.fromkeys(frame["work"]))
    bands = pd.DataFrame(_bands(report))
    low = min(frame["quick"].min(), bands["quick"].min())
    high = max(frame["slow"].max(), bands["slow"].max())
    # Quicker stands further right.
    scale = dict(domain=[high + 0.3, low - 0.3], nice=False)
    axis = dict(tickCount=4 if short else 8, grid=False, labelExpr="datum.label + ' s'")
    x = alt.X("pace:Q", title=None, scale=scale, axis=axis)
    y = alt.Y("work:N", sort=order, title=None, axis=dict(domain=False))
    shade = (
        drawn_from(bands)
        .mark_rect(color=SAGE_PALE, opacity=0.8, aria=False)
        .encode(x=alt.X("slow:Q", title=None, scale=scale, axis=axis), x2=alt.X2("quick:Q"))
    )
    middle = drawn_from(bands).mark_rule(color=SAGE, strokeWidth=1.4, aria=False).encode(x=x)
    names = drawn_from(bands).mark_text(color=INK, baseline="bottom", dy=-4)
    labels = names.encode(
        x=x, y=alt.value(0), text=alt.Text("label:N"), description=alt.Description("label:N")
    )
    chart = drawn_from(frame)
    bars = chart.mark_rule(color=MUTED, strokeWidth=1, aria=False).encode(
        x=alt.X("slow:Q", title=None, scale=scale, axis=axis), x2=alt.X2("quick:Q"), y=y
    )
    dots = chart.mark_point(filled=True, size=36, opacity=0.9, color=RUST).encode(
        x=x, y=y, description=alt.Description("words:N")
    )
    height = _ROW_HEIGHT * len(order)
    return layer(shade, middle, bars, dots, labels, width=width, height=height)


def _section_rows(one: Asked, report: FitnessReport, short: bool) -> list[dict[str, Any]]:
    far = f"{written(one.distance, report.barn)} in {written(one.time, report.barn)}"
    name = f"{brief_day(one.day, report.last)}, {far}"
    scale = 200 / units.FURLONG_M if report.barn.units == "metric" else 1.0
    return [
        {
            "work": f"{one.day.day} {one.day:%b}, {written(one.distance, report.barn)}"
            if short
            else name,
            "pace": piece.pace_s * scale,
            "slow": (piece.pace_s + piece.pace_error_s) * scale,
            "quick": (piece.pace_s - piece.pace_error_s) * scale,
            "words": f"{name}: {written(piece.time, report.barn)}",
        }
        for piece in one.pieces
    ]


def _gallop_rows(report: FitnessReport) -> list[dict[str, Any]]:
    """Return a dot for each gallop, all in one row."""
    return [
        {
            "work": "gallops",
            "pace": _pace(one.value, report),
            "slow": _pace(one.value, report),
            "quick": _pace(one.value, report),
            "words": f"gallop of {_day_of_gallop(one, report)}: {written(one, report.barn)}",
        }
        for one in report.gallops
    ]


def _day_of_gallop(one: Number, report: FitnessReport) -> str:
    return day_of(date.fromisoformat(one.name.removeprefix("gallops.")[:10]), report.last)


def _bands(report: FitnessReport) -> list[dict[str, Any]]:
    newest = report.newest
    thresholds = [newest.v4, newest.v200] if newest else []
    rows = []
    for one in thresholds:
        ends = bounds(one.reading)
        if ends and one.pace and one.reading.speed_m_s:
            rows.append(
                {
                    "pace": _pace(one.reading.speed_m_s, report),
                    "slow": _pace(ends[0], report),
                    "quick": _pace(ends[1], report),
                    "label": THRESHOLD_NAMES[one.what].removeprefix("pace "),
                }
            )
    return rows


def _pace(speed_m_s: float, report: FitnessReport) -> float:
    """Return a pace as this barn reads it: seconds a furlong, or per 200 m."""
    if report.barn.units == "metric":
        return 200 / speed_m_s
    return float(units.seconds_per_furlong(speed_m_s))


def _on_axis(speed_m_s: float, report: FitnessReport) -> float:
    if report.barn.units == "metric":
        return float(units.kilometres_per_hour(speed_m_s))
    return float(units.miles_per_hour(speed_m_s))
