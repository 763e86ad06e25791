"""The days of a plan: the chance of rain, of a track too wet, and the order of choice."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc.digest import NextWork, PlanDay
from racecalc.figures.joined import below, drawn_from, layer, sized
from racecalc.figures.theme import NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.page import BLUE, INK, MUTED, RULE, RUST, Picture
from racecalc.words import (
    NO_VALUE,
    day_of,
    days_caption,
    days_words,
    objections,
    plan_mark,
    short_day,
    written,
)

__all__ = ["plan_days"]

_RAIN_HEIGHT, _WET_HEIGHT, _LABEL_HEIGHT = 46, 84, 42
_BAR_SHARE = 0.6
_FULL = 100
_COLUMNS = ["left", "right", "bad", "rain", "colour", "edge", "words"]


def plan_days(plan: NextWork) -> Picture | None:
    """Draw the days that were weighed, or nothing where nothing is known of rain or footing."""
    if not any(day.outlook.bad or day.outlook.rain_chance for day in plan.days):
        return None
    alt_text = days_words(plan)
    return Picture(
        spec=specification(_chart(plan, WIDE_WIDTH), alt_text),
        narrow=specification(_chart(plan, NARROW_WIDTH), alt_text),
        alt=alt_text,
        title="The days ahead",
        caption=days_caption(plan),
    )


def _chart(plan: NextWork, width: int) -> Any:
    scale = dict(domain=[0, len(plan.days)], nice=False)
    rows = pd.DataFrame([_row(at, day, plan) for at, day in enumerate(plan.days)], columns=_COLUMNS)
    parts = []
    if rows["rain"].notna().any():
        rain = rows.assign(colour=BLUE, edge=BLUE)
        parts.append(sized(_bars(rain, "rain", scale), width, _RAIN_HEIGHT))
    if rows["bad"].notna().any():
        parts.append(sized(_bars(rows, "bad", scale), width, _WET_HEIGHT))
    return below(*parts, _labels(plan, width, scale), spacing=4)


def _bars(rows: pd.DataFrame, what: str, scale: dict[str, Any]) -> Any:
    axis = dict(tickCount=2, domain=False, labelExpr="datum.label + ' %'")
    title = {"rain": "rain", "bad": "too wet"}[what]
    return (
        drawn_from(rows[rows[what].notna()])
        .mark_rect(strokeWidth=1)
        .encode(
            x=alt.X("left:Q", axis=None, scale=scale),
            x2=alt.X2("right:Q"),
            y=alt.Y(f"{what}:Q", title=title, axis=axis, scale=dict(domain=[0, _FULL])),
            y2=alt.Y2Datum(0),
            fill=alt.Fill("colour:N", scale=None),
            stroke=alt.Stroke("edge:N", scale=None),
            description=alt.Description("words:N"),
        )
    )


def _row(at: int, day: PlanDay, plan: NextWork) -> tuple[Any, ...]:
    on, half = day.outlook, _BAR_SHARE / 2
    forecast = on.basis == "forecast"
    parts = [day_of(day.day)]
    if on.bad:
        parts.append(f"too wet {written(on.bad, plan.barn)}")
    if on.rain_chance:
        parts.append(f"rain {written(on.rain_chance, plan.barn)}")
    told = (plan_mark(day.day, plan), objections(day, plan))
    parts += [text for text in told if text not in ("", NO_VALUE)]
    return (
        at + 0.5 - half,
        at + 0.5 + half,
        on.bad.value if on.bad else None,
        on.rain_chance.value if on.rain_chance else None,
        RUST if forecast else RULE,
        RUST if forecast else MUTED,
        ", ".join(parts),
    )


def _labels(plan: NextWork, width: int, scale: dict[str, Any]) -> Any:
    """Write each day, and which choice it is; "no", and grey, where it is refused."""
    rows = []
    for at, day in enumerate(plan.days):
        weekday, number = short_day(day.day).split()
        choice = plan_mark(day.day, plan).removesuffix(" choice") if day.allowed else "no"
        first = day.day == plan.best
        rows.append(
            {
                "at": at + 0.5,
                "weekday": weekday,
                "number": number,
                "choice": choice,
                "colour": INK if day.allowed else MUTED,
                "weight": "bold" if first else "normal",
            }
        )
    base = drawn_from(rows).encode(x=alt.X("at:Q", axis=None, scale=scale))
    texts = []
    for weight in ("bold", "normal"):
        part = base.transform_filter(f"datum.weight == '{weight}'")
        for field, height in (("weekday", 7), ("number", 20), ("choice", 34)):
            marks = part.mark_text(fontWeight=weight, fontSize=11, baseline="middle", aria=False)
            texts.append(
                marks.encode(
                    text=f"{field}:N",
                    y=alt.value(height),
                    color=alt.Color("colour:N", scale=None),
                )
            )
    return layer(*texts, width=width, height=_LABEL_HEIGHT)
