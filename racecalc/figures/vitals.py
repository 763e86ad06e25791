"""Temperature and pulse day by day, against the horse's own normal."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc import units
from racecalc.digest import BodyReport, Vital
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, date_axis, moment, specification
from racecalc.page import INK, OCHRE, RUST, Picture, Several
from racecalc.words import capital, day_of, pronouns, vital_caption, vital_picture_words, written

__all__ = ["vitals"]

_HEIGHT = 110
_FEWEST_POINTS = 5


def vitals(report: BodyReport) -> Several:
    """Draw temperature and pulse, where there are readings enough."""
    found = [
        _picture(vital, report)
        for vital in report.vitals
        if len({one.day for one in vital.readings}) >= _FEWEST_POINTS
    ]
    return Several(tuple(found))


def _picture(vital: Vital, report: BodyReport) -> Picture:
    alt_text = vital_picture_words(vital, report)
    their = capital(pronouns(report.horse.sex).possessive)
    return Picture(
        spec=specification(_chart(vital, report), alt_text),
        alt=alt_text,
        title=f"{their} {vital.what}",
        caption=vital_caption(vital),
        half=True,
        group="vitals",
    )


# Of a reading, and of one that is off.
_LOOKS: tuple[dict[str, Any], ...] = (
    {"shape": "circle", "colour": INK, "size": 14},
    {"shape": "diamond", "colour": RUST, "size": 60},
)


def _chart(vital: Vital, report: BodyReport) -> Any:
    metric = report.barn.units == "metric"
    off = {(one.day, one.number.value) for one in vital.off}
    frame = pd.DataFrame(
        {
            "day": moment(one.day),
            "value": _on_axis(one.number.value, vital.what, metric),
            **_LOOKS[(one.day, one.number.value) in off],
            "words": f"{day_of(one.day)} {one.day.year}: {written(one.number, report.barn)}",
        }
        for one in vital.readings
    )
    unit = "" if vital.what == "pulse" else " °C" if metric else " °F"
    axis = date_axis("%-d %b", 4)
    x = alt.X("day:T", title=None, axis=axis, scale=dict(type="utc", padding=8))
    y = alt.Y(
        "value:Q",
        title=None,
        scale=dict(zero=False, padding=8),
        axis=dict(labelExpr=f"datum.label + '{unit}'", tickCount=4, domain=False),
    )
    points = (
        drawn_from(frame)
        .mark_point(filled=True, opacity=1)
        .encode(
            x=x,
            y=y,
            shape=alt.Shape("shape:N", scale=None),
            color=alt.Color("colour:N", scale=None),
            size=alt.Size("size:Q", scale=None),
            description=alt.Description("words:N"),
        )
    )
    return layer(*_normal(vital, frame, x, metric), points, width=HALF_WIDTH, height=_HEIGHT)


def _normal(vital: Vital, frame: pd.DataFrame, x: alt.X, metric: bool) -> list[Any]:
    """Return the band of the horse's own normal, where it is known."""
    if vital.low is None or vital.high is None:
        return []
    low, high = (_on_axis(end.value, vital.what, metric) for end in (vital.low, vital.high))
    ends = [frame["day"].iloc[0], frame["day"].iloc[-1]]
    band = pd.DataFrame({"day": ends, "low": low, "high": high})
    y = alt.Y("low:Q", title=None)
    area = drawn_from(band).mark_area(color=OCHRE, opacity=0.28, aria=False)
    return [area.encode(x=x, y=y, y2=alt.Y2("high:Q"))]


def _on_axis(value: float, what: str, metric: bool) -> float:
    if what == "pulse" or metric:
        return value
    return float(units.fahrenheit(value))
