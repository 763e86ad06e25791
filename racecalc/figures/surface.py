"""The water in a track: drying index, rain and the words of the log, day by day."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc import surface
from racecalc.digest import SurfaceReport, WaterDay
from racecalc.figures.joined import below, drawn_from, layer
from racecalc.figures.theme import NARROW_WIDTH, WIDE_WIDTH, date_axis, moment, specification
from racecalc.page import BLUE, INK, SAGE, Picture
from racecalc.words import day_of, water_caption, water_words, written

__all__ = ["water"]

_HEIGHT, _ROW = 110, 14
# From standing water on the loosest track to dry.
_INDEX_ENDS = (-0.6, 1.05)
_MM_TO_IN = 25.4


def water(report: SurfaceReport) -> Picture | None:
    """Draw the drying index and the rain of each day, or nothing where no index is known."""
    if not any(day.index for day in report.water):
        return None
    alt_text = water_words(report)
    return Picture(
        spec=specification(_chart(report, WIDE_WIDTH), alt_text),
        narrow=specification(_chart(report, NARROW_WIDTH), alt_text),
        alt=alt_text,
        title="How the track dried",
        caption=water_caption(report),
    )


def _chart(report: SurfaceReport, width: int) -> Any:
    rows = pd.DataFrame([_row(day, report) for day in report.water])
    parts = (_rain(report, rows, width), _line(report, rows, width), _strip(report, rows, width))
    return below(*parts, spacing=4)


def _days(report: SurfaceReport, axis: dict[str, Any] | None = None) -> alt.X:
    domain = [moment(report.first), moment(report.last)]
    return alt.X(
        "day:T",
        title=None,
        scale=dict(type="utc", domain=domain, padding=6),
        axis=axis,
    )


def _rain(report: SurfaceReport, rows: pd.DataFrame, width: int) -> Any:
    """Draw the rain of each day, hanging from above."""
    unit = "mm" if report.barn.units == "metric" else "in"
    said = f"datum.value == 0 ? 'rain' : datum.label + ' {unit}'"
    axis = dict(tickCount=2, domain=False, grid=False, labelExpr=said)
    return (
        drawn_from(rows[rows["rain"] > 0])
        .mark_bar(color=BLUE, width=max(2.0, 0.5 * width / len(report.water)))
        .encode(
            x=_days(report),
            y=alt.Y("rain:Q", title=None, scale=dict(reverse=True, nice=True), axis=axis),
            description=alt.Description("words:N"),
        )
        .properties(width=width, height=_HEIGHT // 3)
    )


def _line(report: SurfaceReport, rows: pd.DataFrame, width: int) -> Any:
    """Draw the drying index of each morning, on one scale for every track."""
    x = _days(report)
    said = "datum.value == 1 ? 'dry 1' : datum.value == 0 ? 'drained 0' : datum.label"
    y = alt.Y(
        "index:Q",
        title=None,
        scale=dict(domain=list(_INDEX_ENDS), nice=False),
        axis=dict(values=[-0.5, 0, 0.5, 1], domain=False, labelExpr=said),
    )
    steps = drawn_from(rows).mark_line(
        color=INK, strokeWidth=1.6, interpolate="step-after", aria=False
    )
    points = drawn_from(rows[rows["index"].notna()]).mark_point(
        filled=True, color=INK, size=10, opacity=1
    )
    layers = (
        steps.encode(x=x, y=y),
        points.encode(x=x, y=y, description=alt.Description("words:N")),
    )
    return layer(*layers, width=width, height=_HEIGHT)


def _strip(report: SurfaceReport, rows: pd.DataFrame, width: int) -> Any:
    """Draw the words of the log, a row for each, the driest on top."""
    order = (*surface.DRYING_ORDER[report.surface], *surface.OUTSIDE_ORDER)
    present = [word for word in order if (rows["state"] == word).any()]
    ticks = {"interval": "week", "step": 1 if width == WIDE_WIDTH else 2}
    return (
        drawn_from(rows[rows["state"].notna()])
        .mark_bar(color=SAGE, width=0.8 * width / len(report.water), height=_ROW - 3)
        .encode(
            x=_days(report, date_axis("%-d %b", ticks)),
            y=alt.Y(
                "state:N",
                title=None,
                scale=dict(domain=present),
                axis=dict(domain=False, grid=False),
            ),
            description=alt.Description("words:N"),
        )
        .properties(width=width, height=_ROW * len(present))
    )


def _row(day: WaterDay, report: SurfaceReport) -> dict[str, Any]:
    barn = report.barn
    parts = [day_of(day.day)]
    if day.index:
        parts.append(f"drying index {written(day.index, barn)}")
    if day.rain:
        parts.append(f"rain {written(day.rain, barn)}")
    if day.state:
        parts.append(day.state)
    scale = 1.0 if barn.units == "metric" else _MM_TO_IN
    return {
        "day": moment(day.day),
        "index": day.index.value if day.index else None,
        "rain": day.rain.value / scale if day.rain else None,
        "state": day.state,
        "words": ", ".join(parts),
    }
