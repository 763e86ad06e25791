"""Axes and keys as marks of a chart: the drawing engine's own take half of a drawing's time."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from racecalc.figures.joined import drawn_from
from racecalc.page import INK, MUTED, RULE

__all__ = ["Entry", "across", "key", "round_values", "with_unit"]

Entry = tuple[str, str, str]
"""What a colour means, the colour, and that of its edge."""

_ROUND = (1.0, 2.0, 5.0, 10.0)
# In pixels: how wide a letter is at most on the whole, a line of a key, and what stands before and
# behind its words.
_LETTER, _LINE, _BEFORE, _BEHIND = 6.0, 14, 14, 16
_BEFORE_TITLE = 13
_LITTLE = 1e-9


def round_values(low: float, high: float, steps: int) -> list[float]:
    """Return round values between two, by the finest step of which so many fit in between."""
    if not high > low:
        return [low]
    size = 10.0 ** math.floor(math.log10((high - low) / steps))
    step = next(size * one for one in _ROUND if (high - low) / (size * one) < steps + 1)
    # Three tenths are three steps, though 0.3 / 0.1 is less than three.
    numbers = range(math.ceil(low / step - _LITTLE), math.floor(high / step + _LITTLE) + 1)
    return [round(step * number, 9) for number in numbers]


def with_unit(values: Sequence[float], unit: str) -> dict[float, str]:
    """Return what is written at values: all have as many decimals."""
    places = max(len(f"{value:g}".partition(".")[2]) for value in values)
    return {value: f"{value:.{places}f} {unit}" for value in values}


def across(
    labels: Mapping[float, str],
    scale: Mapping[str, Any],
    *,
    title: str = "",
    height: int = 0,
    on_axis: bool = False,
) -> list[Any]:
    """Return lines across a chart, lowest of all marks, with what is written left of them.

    Parameters
    ----------
    labels : mapping of float to str
        What is written at each value.
    scale : mapping
        The scale of the values, as all marks of the chart have it.
    title : str
        Stands upright left of the labels, in the middle of the ``height`` of the chart, in pixels.
    on_axis : bool
        Whether an axis stands where the lowest line would.
    """
    rows: list[dict[str, Any]] = [
        {"at": at, "left": 0, "label": label} for at, label in labels.items()
    ]
    y = alt.Y("at:Q", axis=None, scale=dict(scale))
    over = [row for row in rows if row["at"] > min(labels)] if on_axis else rows
    # Half a pixel further a line of one pixel fills one.
    lines = drawn_from(over).mark_rule(color=RULE, yOffset=0.5, aria=False).encode(y=y)
    texts = _text(rows, y, align="right", dx=-2, baseline="middle")
    if not title:
        return [lines, texts]
    left = -_LETTER * max(map(len, labels.values())) - _BEFORE_TITLE
    named = [{"left": left, "at": height / 2, "label": title}]
    return [lines, texts, _text(named, _pixels("at"), angle=270)]


def _text(rows: list[dict[str, Any]], y: alt.Y, **how: Any) -> Any:
    marks = drawn_from(rows).mark_text(color=MUTED, aria=False, **how)
    return marks.encode(x=_across("left"), y=y, text=alt.Text("label:N"))


def _pixels(name: str) -> alt.Y:
    return alt.Y(f"{name}:Q", axis=None, scale=None)


def _across(name: str) -> alt.X:
    return alt.X(f"{name}:Q", axis=None, scale=None)


def key(entries: Sequence[Entry], columns: int = 0) -> list[Any]:
    """Return squares with words over a chart; in so many columns, or all in one row."""
    wide = [_BEFORE + _LETTER * len(words) + _BEHIND for words, _, _ in entries]
    count = columns or len(entries)
    lines = math.ceil(len(entries) / count)
    # Columns are as wide as their widest words.
    widths = [max(wide[column::count], default=0.0) for column in range(count)]
    rows = [
        {
            "left": round(sum(widths[: number % count]) + 5, 1),
            "top": -_LINE * (lines - number // count) + 5,
            "label": words,
            "fill": fill,
            "edge": edge,
        }
        for number, (words, fill, edge) in enumerate(entries)
    ]
    chart = drawn_from(rows).encode(x=_across("left"), y=_pixels("top"))
    squares = chart.mark_square(size=100, strokeWidth=1, opacity=1, aria=False).encode(
        fill=alt.Fill("fill:N", scale=None), stroke=alt.Stroke("edge:N", scale=None)
    )
    words = chart.mark_text(color=INK, align="left", dx=_BEFORE - 5, baseline="middle", aria=False)
    return [squares, words.encode(text=alt.Text("label:N"))]
