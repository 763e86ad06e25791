"""Films of the feet: which was down when, how many at once, and the plane of symmetrical gaits."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc import gait
from racecalc.digest import Contact, GaitClip, GaitReport
from racecalc.figures.joined import below, drawn_from, layer
from racecalc.figures.theme import NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.page import INK, MUTED, RULE, RUST, SAGE, Picture
from racecalc.words import (
    FOOT_NAMES,
    brief_day,
    footfall_caption,
    footfall_words,
    gait_in_words,
    phase_caption,
    phase_words,
    written,
)

__all__ = ["footfalls", "phases"]

_ROW, _COUNT_HEIGHT, _PLANE_HEIGHT = 22, 66, 240
_NAMES_WIDTH, _SHORT_WIDTH, _SCALE_WIDTH = 88, 34, 40
# As on a page: the hind feet, then the fore feet.
_ORDER = ("LH", "RH", "LF", "RF")
_WIDE_STRIDES, _NARROW_STRIDES = 8, 4
# The plane shows a stride's share from a short contact of a gallop to a slow walk.
_DUTY_ENDS = (0.15, 0.8)
# The mark of the clip that is told in full, and of the others.
_LARGE, _SMALL = 80, 40
# Without a name a clip has a place only where that place is why; else its means are of no one gait.
_PLACED = ("between", "diagonal-sequence")
_PERCENT = "round(datum.value * 100) + ' %'"
# Where the names of regions stand: by their middle, the pace below and above the edges.
_REGIONS = (
    (0.03, "pace"),
    (0.125, "stepping pace"),
    (0.25, "single-foot, walk"),
    (0.375, "fox trot"),
    (0.5, "trot"),
    (0.75, "diagonal sequence"),
    (0.97, "pace"),
)


def footfalls(report: GaitReport) -> Picture | None:
    """Draw which foot was down when, and under it how many were."""
    clip = report.shown
    if clip is None or not clip.down:
        return None
    alt_text = footfall_words(clip)
    wide = _diagram(clip, report, WIDE_WIDTH - _NAMES_WIDTH, _WIDE_STRIDES, short=False)
    narrow = _diagram(clip, report, NARROW_WIDTH - _SHORT_WIDTH, _NARROW_STRIDES, short=True)
    return Picture(
        spec=specification(wide, alt_text),
        narrow=specification(narrow, alt_text),
        alt=alt_text,
        title="Footfalls",
        caption=footfall_caption(clip),
    )


def _diagram(clip: GaitClip, report: GaitReport, width: int, strides: int, *, short: bool) -> Any:
    shown = [one for one in clip.down if one.stride <= strides]
    end = max(one.on_s if one.off_s is None else one.off_s for one in shown)
    x = alt.X(
        "on:Q",
        title=None,
        scale=dict(domain=[0, end], nice=False),
        axis=dict(
            tickCount=5, grid=False, orient="top", labelExpr="datum.label + ' s'", labelFlush=True
        ),
    )
    feet = [foot for foot in _ORDER if foot in clip.reading.clip.seen]
    names = [foot if short else FOOT_NAMES[foot] for foot in feet]
    rows = pd.DataFrame([_contact(one, clip, report, short=short) for one in shown])
    y = alt.Y("foot:N", title=None, sort=names, axis=dict(domain=False))
    bars = _bars(rows[rows["off"].notna()], x, y)
    ticks = (
        drawn_from(rows[rows["off"].isna()])
        .mark_point(shape="triangle-down", filled=True, size=50, opacity=1)
        .encode(
            x=x,
            y=y,
            color=alt.Color("colour:N", scale=None),
            description=alt.Description("words:N"),
        )
    )
    top = layer(bars, ticks, width=width, height=_ROW * len(feet))
    steps = [piece for piece in clip.count if piece[0] < end]
    if not steps:
        return top
    return below(top, _count(steps, end, width), spacing=6)


def _bars(rows: pd.DataFrame, x: alt.X, y: alt.Y) -> Any:
    return (
        drawn_from(rows)
        .mark_bar(height=_ROW - 8)
        .encode(
            x=x,
            x2=alt.X2("off:Q"),
            y=y,
            color=alt.Color("colour:N", scale=None),
            description=alt.Description("words:N"),
        )
    )


def _contact(one: Contact, clip: GaitClip, report: GaitReport, *, short: bool) -> dict[str, Any]:
    said = f"stride {one.stride}: {FOOT_NAMES[one.foot]}" if one.stride else FOOT_NAMES[one.foot]
    share = next((s.duty.get(one.foot) for s in clip.each if s.number == one.stride), None)
    return {
        "foot": one.foot if short else FOOT_NAMES[one.foot],
        "on": one.on_s,
        "off": one.off_s,
        "colour": RUST if _leads(one, clip) else SAGE if one.foot in gait.PAIRS["hind"] else INK,
        "words": f"{said}, {written(share, report.barn)} of it" if share else said,
    }


def _leads(one: Contact, clip: GaitClip) -> bool:
    """Return whether a foot led its pair in that stride."""
    strides = clip.reading.strides
    if not 1 <= one.stride <= len(strides):
        return False
    hind, fore = strides[one.stride - 1].leads
    lead = hind if one.foot in gait.PAIRS["hind"] else fore
    return lead is not None and one.foot in gait.SIDES[lead]


def _count(steps: list[tuple[float, float, int]], end: float, width: int) -> Any:
    """Draw how many feet are down, as steps."""
    rows = pd.DataFrame([{"on": low, "off": min(high, end), "feet": n} for low, high, n in steps])
    return (
        drawn_from(rows)
        .mark_rect(color=MUTED, opacity=0.8, aria=False)
        .encode(
            x=alt.X("on:Q", title=None, scale=dict(domain=[0, end], nice=False), axis=None),
            x2=alt.X2("off:Q"),
            y=alt.Y(
                "feet:Q",
                title=None,
                scale=dict(domain=[0, 4], nice=False),
                axis=dict(values=[0, 1, 2, 3, 4], domain=False, format="d"),
            ),
            y2=alt.Y2Datum(0),
        )
        .properties(width=width, height=_COUNT_HEIGHT)
    )


def phases(report: GaitReport) -> Picture | None:
    """Draw the clips of symmetrical gaits on the plane of duty and lag, or nothing without one."""
    rows = [row for clip in report.clips for row in _on_the_plane(clip, report)]
    if not rows:
        return None
    alt_text = phase_words(report)
    return Picture(
        spec=specification(_plane(rows, WIDE_WIDTH - _SCALE_WIDTH), alt_text),
        narrow=specification(_plane(rows, NARROW_WIDTH - _SCALE_WIDTH), alt_text),
        alt=alt_text,
        title="Where the gait lies",
        caption=phase_caption(large=any(row["size"] == _LARGE for row in rows)),
    )


def _on_the_plane(clip: GaitClip, report: GaitReport) -> list[dict[str, Any]]:
    cycle = clip.reading.cycle
    if cycle is None or clip.reading.leads != (None, None) or "duty" in clip.unsure:
        return []
    if clip.gait.name == gait.UNCLEAR and clip.gait.why not in _PLACED:
        return []
    large = clip is report.shown
    return [
        {
            "duty": cycle.duty[gait.SIDES[side][0]],
            "lag": lag,
            "colour": RUST if large else SAGE,
            "size": _LARGE if large else _SMALL,
            "words": f"{brief_day(clip.day, report.last)}, {side} side: {gait_in_words(clip)}",
        }
        for side, lag in gait.fore_lag(cycle).items()
        if gait.SIDES[side][0] in cycle.duty and "lag" not in clip.unsure
    ]


def _plane(rows: list[dict[str, Any]], width: int) -> Any:
    x = alt.X(
        "duty:Q",
        title=None,
        scale=dict(domain=list(_DUTY_ENDS), nice=False, clamp=True),
        axis=dict(labelExpr=_PERCENT, grid=False, tickCount=6),
    )
    y = alt.Y(
        "lag:Q",
        title=None,
        scale=dict(domain=[0, 1], nice=False),
        axis=dict(labelExpr=_PERCENT, grid=False, values=[0, 0.25, 0.5, 0.75, 1], domain=False),
    )
    edges = drawn_from(pd.DataFrame({"lag": list(gait.LAG_EDGES)}))
    lines = edges.mark_rule(color=RULE, aria=False).encode(y=y)
    run = drawn_from(pd.DataFrame({"duty": [gait.RUN_BELOW]}))
    middle = run.mark_rule(color=MUTED, strokeDash=[3, 3], aria=False).encode(x=x)
    names = drawn_from(pd.DataFrame([{"lag": at, "name": name} for at, name in _REGIONS]))
    labels = names.mark_text(color=MUTED, align="right", dx=-4).encode(
        x=alt.value(width), y=y, text=alt.Text("name:N"), description=alt.Description("name:N")
    )
    dots = (
        drawn_from(rows)
        .mark_point(filled=True, opacity=0.9)
        .encode(
            x=x,
            y=y,
            color=alt.Color("colour:N", scale=None),
            size=alt.Size("size:Q", scale=None),
            description=alt.Description("words:N"),
        )
    )
    return layer(lines, middle, labels, dots, width=width, height=_PLANE_HEIGHT)
