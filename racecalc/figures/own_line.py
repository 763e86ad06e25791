"""The horse's own line: each work of one kind, and the times that were to be expected of it."""

import math
from typing import Any

import altair as alt

from racecalc.digest import Digest, LinePoint, WorkReview
from racecalc.figures.axes import across
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, specification
from racecalc.notation import write_clock
from racecalc.page import INK, MUTED, RUST, Picture
from racecalc.words import day_of, line_caption, line_picture_words, line_title, written

__all__ = ["own_line"]

_HEIGHT = 130
_TICKS = 5
# Whole seconds between the lines of the axis, the finest first.
_STEPS = (1, 2, 5, 10, 20)
_SHAPES = {"quicker": "triangle-up", "slower": "triangle-down"}


def own_line(digest: Digest | WorkReview) -> Picture | None:
    """Draw the horse's line, or nothing where there is none."""
    line = digest.line
    if not line:
        return None
    alt_text = line_picture_words(digest)
    return Picture(
        spec=specification(_chart(line, digest), alt_text),
        alt=alt_text,
        title=line_title(digest),
        caption=line_caption(digest),
        half=True,
        group="line",
    )


def _chart(line: tuple[LinePoint, ...], digest: Digest | WorkReview) -> Any:
    rows = [_row(point, digest) for point in line]
    values = _whole_seconds(rows)
    ends = dict(domain=[values[0], values[-1]], nice=False, reverse=True)
    y = alt.Y("time:Q", axis=None, scale=ends)
    # One place for each work: what counts is their order, and two of one week stay apart.
    x = alt.X("work:O", sort=None, title=None, axis=_days(rows))
    chart = drawn_from(rows)
    known = drawn_from([row for row in rows if row["low"] is not None])
    bars = known.mark_bar(color=MUTED, opacity=0.25, size=11, aria=False).encode(
        x=x, y=alt.Y("low:Q", axis=None, scale=ends), y2=alt.Y2("high:Q")
    )
    middles = known.mark_tick(color=MUTED, thickness=1.2, size=11, aria=False).encode(
        x=x, y=alt.Y("expected:Q", axis=None, scale=ends)
    )
    points = chart.mark_point(filled=True, size=52, opacity=1).encode(
        x=x,
        y=y,
        shape=alt.Shape("shape:N", scale=None, legend=None),
        color=alt.Color("colour:N", scale=None, legend=None),
        description=alt.Description("words:N"),
    )
    labels = {float(value): write_clock(value) for value in values}
    return layer(*across(labels, ends), bars, middles, points, width=HALF_WIDTH, height=_HEIGHT)


def _row(point: LinePoint, digest: Digest | WorkReview) -> dict[str, Any]:
    barn = digest.barn
    words = f"{day_of(point.day)} {point.day.year}: {written(point.time, barn)}"
    if point.expected and point.low and point.high:
        words += (
            f"; expected {written(point.expected, barn)}, "
            f"{written(point.low, barn)} to {written(point.high, barn)}"
        )
    return {
        "work": point.work,
        "day": f"{point.day.day} {point.day:%b}",
        "time": point.time.value,
        "expected": point.expected.value if point.expected else None,
        "low": point.low.value if point.low else None,
        "high": point.high.value if point.high else None,
        "shape": _SHAPES.get(point.verdict or "", "circle"),
        "colour": RUST if point.verdict in _SHAPES else INK,
        "words": words,
    }


def _days(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """Return an axis that bears the day of each work, or of every other where room is short."""
    days = {row["work"]: row["day"] for row in rows}
    cases = " : ".join(f"datum.value == {work!r} ? {day!r}" for work, day in days.items())
    return dict(
        labelExpr=f"{cases} : ''",
        labelAngle=0,
        domain=False,
        labelOverlap="parity",
        labelSeparation=4,
        labelPadding=6,
    )


def _whole_seconds(rows: list[dict[str, Any]]) -> list[int]:
    """Return whole seconds from below the quickest mark to above the slowest."""
    low = min(row[end] for row in rows for end in ("time", "low") if row[end] is not None)
    high = max(row[end] for row in rows for end in ("time", "high") if row[end] is not None)
    for step in _STEPS:
        first, last = math.floor(low / step), math.ceil(high / step)
        if last - first <= _TICKS:
            break
    return [number * step for number in range(first, max(last, first + 1) + 1)]
