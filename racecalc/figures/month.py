"""The month day by day: ground, works, days off, rain and footing in one picture."""

from datetime import date
from typing import Any

import altair as alt
import pandas as pd

from racecalc import units
from racecalc.digest import Day, Digest
from racecalc.figures.theme import NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.page import BLUE, MUTED, OCHRE, RUST, SAGE, SAGE_PALE, Picture
from racecalc.words import (
    ASIDE_NAMES,
    BEST_STATES,
    GROUP_NAMES,
    day_of,
    distance_and_time,
    month_picture_caption,
    month_picture_words,
    written,
)

__all__ = ["month"]

_BARS_HEIGHT = 96
_LABEL_ROW = 13
# A label such as "6 f 1:13⅖" is as wide as this many days of the narrower picture.
_LABEL_DAYS = 4
_RAIN_HEIGHT = 28
_FOOTING_HEIGHT = 26
# The slowest ground is pale with an edge, so that all three stay apart in black and white.
_COLOURS = {"work": RUST, "gallop": OCHRE, "jog": SAGE_PALE}
_EDGES = {"work": RUST, "gallop": OCHRE, "jog": SAGE}
_BAR_COLUMNS = ["day", "group", "order", "ground", "words"]
_ORDER = {"jog": 0, "gallop": 1, "work": 2}


def month(digest: Digest) -> Picture | None:
    """Draw the month, or nothing where the horse did nothing that the picture could show."""
    if not any(day.ground for day in digest.days):
        return None
    alt_text = month_picture_words(digest)
    middle = (len(digest.days) + 1) // 2
    halves = (digest.days[:middle], digest.days[middle:])
    narrow = alt.vconcat(*(_strip(digest, half, NARROW_WIDTH) for half in halves), spacing=18)
    return Picture(
        spec=specification(_strip(digest, digest.days, WIDE_WIDTH), alt_text),
        narrow=specification(narrow, alt_text),
        alt=alt_text,
        title="The month, day by day",
        caption=month_picture_caption(digest),
    )


def _strip(digest: Digest, days: tuple[Day, ...], width: int) -> Any:
    """Return bars over days, and rain with footing below them where there is any."""
    numbers = [day.day.day for day in days]
    x = alt.X("day:O", scale=alt.Scale(domain=numbers, paddingInner=0.22), title=None)
    bars = _bars(digest, days, x).properties(width=width, height=_BARS_HEIGHT + _label_room(digest))
    below = _below(digest, days, x, width)
    if below is None:
        return bars
    return alt.vconcat(bars, below, spacing=2).resolve_scale(x="shared")


def _bars(digest: Digest, days: tuple[Day, ...], x: alt.X) -> Any:
    metric = digest.barn.units == "metric"
    unit = "km" if metric else "f"
    top = _highest(digest, metric)
    heights = alt.Axis(
        tickCount=3, domain=False, labelExpr=f"datum.value > 0 ? datum.label + ' {unit}' : ''"
    )
    # Rows of labels stand above the bars; these keep their height however many rows there are.
    roof = top * 1.18 * (1 + _label_room(digest) / _BARS_HEIGHT)
    y = alt.Y("ground:Q", title=None, scale=alt.Scale(domain=[0, roof]), axis=heights)
    # One key for the whole month, of what the month holds; both narrow halves share it.
    shown = [group for group in _COLOURS if any(group in day.ground for day in digest.days)]
    groups = [GROUP_NAMES[group] for group in shown]
    key = alt.Legend(orient="top", direction="horizontal", symbolType="square", offset=2)
    fills = alt.Scale(domain=groups, range=[_COLOURS[group] for group in shown])
    edges = alt.Scale(domain=groups, range=[_EDGES[group] for group in shown])
    day_axis = x.axis(alt.Axis(labelAngle=0, labelPadding=4, domain=True))
    bars = (
        alt.Chart(_frame(_bar_rows(digest, days, metric), _BAR_COLUMNS))
        .mark_bar(strokeWidth=1)
        .encode(
            x=day_axis,
            y=y.stack("zero"),
            fill=alt.Fill("group:N", scale=fills, legend=key),
            stroke=alt.Stroke("group:N", scale=edges, legend=key),
            order=alt.Order("order:Q"),
            description="words:N",
        )
    )
    return alt.layer(bars, *_work_labels(digest, days, x, y, top), *_days_off(days, x, y))


def _bar_rows(digest: Digest, days: tuple[Day, ...], metric: bool) -> list[dict[str, Any]]:
    return [
        {
            "day": day.day.day,
            "group": GROUP_NAMES[group],
            "order": _ORDER[group],
            "ground": number.value / 1000 if metric else float(units.furlongs(number.value)),
            "words": f"{day_of(day.day)}, {GROUP_NAMES[group]}: {written(number, digest.barn)}",
        }
        for day in days
        for group, number in day.ground.items()
    ]


def _highest(digest: Digest, metric: bool) -> float:
    """Return the top of the busiest day of the month, so that both narrow halves share a scale."""
    metres = max(sum(number.value for number in day.ground.values()) for day in digest.days)
    return metres / 1000 if metric else float(units.furlongs(metres))


def _work_labels(
    digest: Digest, days: tuple[Day, ...], x: alt.X, y: alt.Y, top: float
) -> list[Any]:
    step = top * 1.18 * _LABEL_ROW / _BARS_HEIGHT
    rows = [
        {"day": day.day, "ground": top * 1.1 + level * step, "label": label}
        for day, level, label in _labels(digest)
        if days[0].day <= day <= days[-1].day
    ]
    if not rows:
        return []
    chart = alt.Chart(_frame(rows, ["day", "ground", "label"]))
    lines = chart.mark_rule(color=RUST, strokeWidth=0.7, opacity=0.6, aria=False).encode(x=x, y=y)
    texts = chart.mark_text(color=RUST, fontWeight="bold", dy=-6).encode(
        x=x, y=y, text="label:N", description="label:N"
    )
    return [lines, texts]


def _labels(digest: Digest) -> list[tuple[date, int, str]]:
    """Return every work and race with its row above the bars: the lowest that is free there."""
    found = [(race.day, "race") for race in digest.races]
    found += [(work.day, distance_and_time(work, digest)) for work in digest.works]
    taken: list[date] = []
    placed = []
    for day, label in sorted(found, key=lambda one: one[0]):
        free = (n for n, last in enumerate(taken) if (day - last).days >= _LABEL_DAYS)
        level = next(free, len(taken))
        taken[level : level + 1] = [day]
        placed.append((day, level, label))
    return placed


def _label_room(digest: Digest) -> int:
    return _LABEL_ROW * max((level for _, level, _ in _labels(digest)), default=0)


def _days_off(days: tuple[Day, ...], x: alt.X, y: alt.Y) -> list[Any]:
    rows = [
        {"day": day.day.day, "ground": 0.0, "label": label}
        for day in days
        if (label := "off" if day.record == "off" else ASIDE_NAMES.get(day.aside or ""))
    ]
    if not rows:
        return []
    chart = alt.Chart(_frame(rows, ["day", "ground", "label"]))
    return [
        chart.mark_text(color=MUTED, fontStyle="italic", fontSize=10, dy=-6).encode(
            x=x, y=y, text="label:N", description="label:N"
        )
    ]


def _below(digest: Digest, days: tuple[Day, ...], x: alt.X, width: int) -> Any:
    """Return rain falling from the line of days, and the words of the footing under it."""
    parts = []
    hidden = x.axis(None)
    if any(day.rain and day.rain.value for day in digest.days):
        parts.append(_rain(digest, days, hidden, width))
    runs = _footing_runs(days)
    if runs:
        chart = alt.Chart(_frame(runs, ["day", "row", "label"]))
        parts.append(
            chart.mark_text(color=BLUE, baseline="top", align="left", dx=-8)
            .encode(
                x=hidden,
                y=alt.Y("row:O", axis=None, scale=alt.Scale(domain=[0, 1])),
                text="label:N",
                description="label:N",
            )
            .properties(width=width, height=_FOOTING_HEIGHT)
        )
    if not parts:
        return None
    return alt.vconcat(*parts, spacing=0).resolve_scale(x="shared") if len(parts) > 1 else parts[0]


def _rain(digest: Digest, days: tuple[Day, ...], x: alt.X, width: int) -> Any:
    deepest = max(day.rain.value for day in digest.days if day.rain)
    rows = [
        {
            "day": day.day.day,
            "rain": day.rain.value,
            "words": f"{day_of(day.day)}: {written(day.rain, digest.barn)} of rain",
        }
        for day in days
        if day.rain and day.rain.value
    ]
    y = alt.Y("rain:Q", axis=None, scale=alt.Scale(domain=[deepest, 0]))
    return (
        alt.Chart(_frame(rows, ["day", "rain", "words"]))
        .mark_bar(color=BLUE)
        .encode(x=x, y=y, description="words:N")
        .properties(width=width, height=_RAIN_HEIGHT)
    )


def _footing_runs(days: tuple[Day, ...]) -> list[dict[str, Any]]:
    """Return one label for each run of days of one footing, in two rows so that they keep apart."""
    runs: list[dict[str, Any]] = []
    before = None
    for day in days:
        if day.state not in BEST_STATES and day.state != before:
            runs.append({"day": day.day.day, "row": len(runs) % 2, "label": day.state})
        before = day.state
    return runs


def _frame(rows: list[dict[str, Any]], columns: list[str]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=columns)
