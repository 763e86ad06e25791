"""The month day by day: ground, works, days off, rain and footing in one picture."""

from datetime import date
from typing import Any, Literal

import altair as alt

from racecalc import units
from racecalc.digest import Day, Digest
from racecalc.figures.axes import across, key, round_values, with_unit
from racecalc.figures.joined import below, drawn_from, layer
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
# The lowest row of labels reaches so far over the bars' scale.
_OVER = 11
_LABEL_ROW = 13
# How wide a bold letter of a label is, and a day of the narrower picture, in pixels.
_LETTER_WIDTH = 6.2
_DAY_WIDTH = 18.5
_EDGE_DAYS = 2
# The days stand between the bars and what is below them.
_AXIS_HEIGHT = 17
_RAIN_HEIGHT = 28
_FOOTING_HEIGHT = 32
# The slowest ground is pale with an edge, so that all three stay apart in black and white.
_COLOURS = {"work": RUST, "gallop": OCHRE, "jog": SAGE_PALE}
_EDGES = {"work": RUST, "gallop": OCHRE, "jog": SAGE}
# From the bottom of a bar.
_ORDER = ("jog", "gallop", "work")
# Lines across, at most.
_LINES = 4


def month(digest: Digest) -> Picture | None:
    """Draw the month, or nothing where the horse did nothing that the picture could show."""
    if not any(day.ground for day in digest.days):
        return None
    alt_text = month_picture_words(digest)
    middle = _middle(digest.days)
    halves = (digest.days[:middle], digest.days[middle:])
    narrow = below(*(_strip(digest, half, NARROW_WIDTH) for half in halves), spacing=18)
    return Picture(
        spec=specification(_strip(digest, digest.days, WIDE_WIDTH), alt_text),
        narrow=specification(narrow, alt_text),
        alt=alt_text,
        title="The month, day by day",
        caption=month_picture_caption(digest),
    )


def _strip(digest: Digest, days: tuple[Day, ...], width: int) -> Any:
    """Return bars over days, and rain with footing below them where there is any.

    All in one view: each further one would cost as much again. What stands below the days is
    placed in pixels.
    """
    numbers = [day.day.day for day in days]
    x = alt.X("day:O", axis=None, scale=dict(domain=numbers, paddingInner=0.22))
    height = _height(digest)
    below_axis = height + _AXIS_HEIGHT
    rain = any(day.rain and day.rain.value for day in digest.days)
    layers = _bars(digest, days, x)
    layers += _rain(digest, days, x, below_axis) if rain else []
    layers += _footing(days, x, below_axis + (_RAIN_HEIGHT if rain else 0))
    return layer(*layers, width=width, height=height)


def _bars(digest: Digest, days: tuple[Day, ...], x: alt.X) -> list[Any]:
    """Return lines across, the days, the key, the bars, and what stands on them."""
    unit = "km" if digest.barn.units == "metric" else "f"
    top, height = _highest(digest), _height(digest)
    # Rows of labels stand above the bars; these keep their height however many rows there are.
    roof = top * 1.18 * (1 + _label_room(digest) / _BARS_HEIGHT)
    scale = dict(domain=[0, roof], range=[height, _OVER])
    labels = with_unit(round_values(0, top, _LINES), unit) | {0: ""}
    y = alt.Y("ground:Q", axis=None, scale=scale)
    bars = (
        drawn_from(_bar_rows(digest, days))
        .mark_bar(strokeWidth=1)
        .encode(
            x=x,
            y=alt.Y("bottom:Q", axis=None, scale=scale),
            y2=alt.Y2("top:Q"),
            fill=alt.Fill("fill:N", scale=None),
            stroke=alt.Stroke("edge:N", scale=None),
            description=alt.Description("words:N"),
        )
    )
    return [
        *across(labels, scale),
        *_key(digest, days),
        bars,
        *_numbers(days, x, height),
        *_work_labels(digest, days, x, y, top),
        *_days_off(days, x, y),
    ]


def _key(digest: Digest, days: tuple[Day, ...]) -> list[Any]:
    """Return one key of what the month holds, over the first of its days."""
    if days[0] != digest.days[0]:
        return []
    shown = [group for group in _COLOURS if any(group in day.ground for day in digest.days)]
    entries = [(GROUP_NAMES[group], _COLOURS[group], _EDGES[group]) for group in shown]
    # A reader's own face may be wider than ours: half a month has room for two words a row.
    return key(entries, columns=2 if days != digest.days else 0)


def _numbers(days: tuple[Day, ...], x: alt.X, height: int) -> list[Any]:
    """Return the line under the bars, and the number of each day below it."""
    rows = [{"day": day.day.day, "top": height} for day in days]
    chart = drawn_from(rows).encode(y=_pixels()["y"])
    line = (
        drawn_from(rows[:1])
        .mark_rule(color=MUTED, yOffset=0.5, aria=False)
        .encode(y=_pixels()["y"])
    )
    words = chart.mark_text(color=MUTED, baseline="top", dy=4, aria=False)
    return [line, words.encode(x=x, text=alt.Text("day:O"))]


def _on_axis(metres: float, digest: Digest) -> float:
    """Return ground in the unit of the axis: kilometres or furlongs."""
    return metres / 1000 if digest.barn.units == "metric" else float(units.furlongs(metres))


def _bar_rows(digest: Digest, days: tuple[Day, ...]) -> list[dict[str, Any]]:
    rows = []
    for day in days:
        reached = 0.0
        for group in sorted(day.ground, key=_ORDER.index):
            number = day.ground[group]
            ground = _on_axis(number.value, digest)
            rows.append(
                {
                    "day": day.day.day,
                    "group": GROUP_NAMES[group],
                    "fill": _COLOURS[group],
                    "edge": _EDGES[group],
                    "ground": ground,
                    "bottom": reached,
                    "top": reached + ground,
                    "words": f"{day_of(day.day)}, {GROUP_NAMES[group]}: "
                    f"{written(number, digest.barn)}",
                }
            )
            reached += ground
    return rows


def _highest(digest: Digest) -> float:
    """Return the top of the busiest day of the month, so that both narrow halves share a scale."""
    return _on_axis(
        max(sum(number.value for number in day.ground.values()) for day in digest.days), digest
    )


def _work_labels(
    digest: Digest, days: tuple[Day, ...], x: alt.X, y: alt.Y, top: float
) -> list[Any]:
    step = top * 1.18 * _LABEL_ROW / _BARS_HEIGHT
    bars = {day.day: sum(number.value for number in day.ground.values()) for day in days}
    rows: list[dict[str, Any]] = [
        {
            "day": day.day,
            "ground": top * 1.1 + level * step,
            "bar": _on_axis(bars[day], digest),
            "label": label,
        }
        for day, level, label in _labels(digest)
        if days[0].day <= day <= days[-1].day
    ]
    if not rows:
        return []
    lowest = {row["day"]: row for row in sorted(rows, key=lambda row: -row["ground"])}
    lines = drawn_from(list(lowest.values()))
    # From the label down to the bar that it belongs to.
    lines = lines.mark_rule(color=RUST, strokeWidth=0.7, opacity=0.6, aria=False).encode(
        x=x, y=y, y2=alt.Y2("bar:Q")
    )
    numbers = [day.day.day for day in days]
    # Labels of the first and the last days stay inside, clear of the axis.
    places: tuple[tuple[Literal["left", "right", "center"], int, list[int]], ...] = (
        ("left", -8, numbers[:_EDGE_DAYS]),
        ("right", 8, numbers[-_EDGE_DAYS:]),
        ("center", 0, numbers[_EDGE_DAYS:-_EDGE_DAYS]),
    )
    texts = [
        drawn_from(there)
        .mark_text(color=RUST, fontWeight="bold", dy=-6, dx=dx, align=align)
        .encode(x=x, y=y, text=alt.Text("label:N"), description=alt.Description("label:N"))
        for align, dx, shown in places
        if (there := [row for row in rows if row["day"] in shown])
    ]
    return [lines, *texts]


def _labels(digest: Digest) -> list[tuple[date, int, str]]:
    """Return every work and race with its row above the bars: the lowest that is free there."""
    found = [(race.day, "race") for race in digest.races]
    found += [(day, "test") for day in digest.test_days]
    found += [(work.day, distance_and_time(work, digest.barn)) for work in digest.works]
    ends: list[float] = []
    placed = []
    for day, label in sorted(found, key=lambda one: one[0]):
        begin, end = _reach(day, label, digest.days)
        level = next((n for n, taken in enumerate(ends) if begin >= taken), len(ends))
        ends[level : level + 1] = [end]
        placed.append((day, level, label))
    return placed


def _reach(day: date, label: str, days: tuple[Day, ...]) -> tuple[float, float]:
    """Return from where to where a label may stand, in pixels of the narrower picture."""
    width, at = (len(label) + 1) * _LETTER_WIDTH, day.day * _DAY_WIDTH
    halves = days[: _middle(days)], days[_middle(days) :]
    first = any(day == one.day for half in halves for one in half[:_EDGE_DAYS])
    last = any(day == one.day for half in halves for one in half[-_EDGE_DAYS:])
    return at - (width if last else width / 2), at + (width if first else width / 2)


def _middle(days: tuple[Day, ...]) -> int:
    """Return how many days the first half of the narrower picture holds."""
    return (len(days) + 1) // 2


def _height(digest: Digest) -> int:
    return _OVER + _BARS_HEIGHT + _label_room(digest)


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
    chart = drawn_from(rows)
    return [
        chart.mark_text(color=MUTED, fontStyle="italic", angle=270, align="left", dx=5).encode(
            x=x, y=y, text=alt.Text("label:N"), description=alt.Description("label:N")
        )
    ]


def _rain(digest: Digest, days: tuple[Day, ...], x: alt.X, top: float) -> list[Any]:
    """Return rain falling from a line so many pixels down."""
    deepest = max(day.rain.value for day in digest.days if day.rain)
    rows = [
        {
            "day": day.day.day,
            "top": top,
            "bottom": top + round(_RAIN_HEIGHT * day.rain.value / deepest, 1),
            "rain": day.rain.value,
            "words": f"{day_of(day.day)}: {written(day.rain, digest.barn)} of rain",
        }
        for day in days
        if day.rain and day.rain.value
    ]
    bars = drawn_from(rows).mark_bar(color=BLUE)
    return [bars.encode(x=x, **_pixels(), description=alt.Description("words:N"))] if rows else []


def _pixels() -> dict[str, Any]:
    """Return from where to where a mark reaches that is not on the scale of the bars."""
    return {"y": alt.Y("top:Q", scale=None, axis=None), "y2": alt.Y2("bottom:Q")}


def _footing(days: tuple[Day, ...], x: alt.X, top: float) -> list[Any]:
    """Return a thin line under the days of a footing, and its word where it begins."""
    rows = _footing_rows(days, top)
    if not rows:
        return []
    lines = drawn_from(rows).mark_bar(color=BLUE, aria=False)
    label = {"text": alt.Text("label:N"), "description": alt.Description("label:N")}
    layers = [lines.encode(x=x, **_pixels())]
    ends: tuple[tuple[Literal["left", "right"], int, list[Day]], ...] = (
        ("left", -8, [*days[:-_EDGE_DAYS]]),
        ("right", 8, [*days[-_EDGE_DAYS:]]),
    )
    for align, dx, there in ends:
        begun = [row for row in rows if row["label"] and row["day"] in {d.day.day for d in there}]
        if begun:
            words = drawn_from(begun).mark_text(
                color=BLUE, baseline="top", align=align, dx=dx, dy=4
            )
            layers.append(words.encode(x=x, y=_pixels()["y"], **label))
    return layers


def _footing_rows(days: tuple[Day, ...], begin: float) -> list[dict[str, Any]]:
    """Return a row for each day whose footing was not at its best, one run above, the next below.

    ``top`` and ``bottom`` are in pixels; the label stands on the first day of a run.
    """
    rows: list[dict[str, Any]] = []
    before, runs = None, 0
    for day in days:
        if day.state not in BEST_STATES:
            runs += day.state != before
            top = begin + (runs + 1) % 2 * _FOOTING_HEIGHT / 2
            label = day.state if day.state != before else ""
            rows.append({"day": day.day.day, "top": top, "bottom": top + 2, "label": label})
        before = day.state
    return rows
