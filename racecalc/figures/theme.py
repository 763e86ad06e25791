"""The look that all charts share: one serif face, a light grid or none, direct labels."""

from datetime import date
from typing import Any

import altair as alt
from altair.utils import schemapi

from racecalc.figures.joined import Joined, named_once, plain
from racecalc.page import FACE, INK, MUTED, RULE

__all__ = [
    "HALF_WIDTH",
    "NARROW_WIDTH",
    "WIDE_WIDTH",
    "date_axis",
    "first_chart",
    "moment",
    "specification",
]

# In pixels of the drawing; on paper a wide chart fills the text width.
WIDE_WIDTH = 640
HALF_WIDTH = 285
NARROW_WIDTH = 300

_LABEL_SIZE = 11

_CONFIG: dict[str, Any] = {
    "font": FACE,
    "background": "transparent",
    "view": {"continuousWidth": 300, "continuousHeight": 300, "stroke": None},
    "axis": {
        "labelColor": MUTED,
        "labelFontSize": _LABEL_SIZE,
        "titleColor": MUTED,
        "titleFontSize": _LABEL_SIZE,
        "titleFontWeight": "normal",
        "domainColor": MUTED,
        "tickColor": RULE,
        "gridColor": RULE,
        "ticks": False,
    },
    "legend": {
        "labelColor": INK,
        "labelFontSize": _LABEL_SIZE,
        "title": None,
        "symbolStrokeWidth": 0,
    },
    "text": {"color": INK, "fontSize": _LABEL_SIZE},
    # Every mark is described by its own words; see the `description` channel of each chart.
    "aria": True,
}

_HEAD = {"$schema": alt.SCHEMA_URL, "config": _CONFIG}


def date_axis(form: str, ticks: Any) -> dict[str, Any]:
    """Return an axis of dates; the outer labels stay inside the picture."""
    # The padding keeps dates clear of the lowest value, which stands in the corner; a reader's own
    # face may be wider than ours, so that labels need room between them.
    return dict(
        format=form,
        grid=False,
        tickCount=ticks,
        labelOverlap=True,
        labelSeparation=10,
        labelPadding=8,
        labelFlush=True,
    )


def first_chart() -> None:
    """Prepare a process for many charts.

    The first of a process costs more than the later ones. From then on charts are not compared
    with the schema part by part, which takes most of their time: they are where a kernel makes
    them, and the tests hold both to be the same.
    """
    rows = alt.InlineData(values=[{"x": 1.0}])
    specification(alt.Chart(rows).mark_point().encode(x=alt.X("x:Q")), "")
    schemapi.disable_debug_mode()


def moment(day: date) -> str:
    """Write a day as Vega-Lite reads it: midnight in universal time, wherever it is drawn."""
    return f"{day.isoformat()}T00:00:00Z"


def specification(chart: alt.Chart | Joined, alt_text: str) -> dict[str, Any]:
    """Return the Vega-Lite specification of a chart in the common look.

    Raises
    ------
    altair.SchemaValidationError
        If the chart is not a valid specification; after `first_chart` nothing is compared.
    """
    drawn = {**_HEAD, "description": alt_text, **named_once(plain(chart))}
    if schemapi.DEBUG_MODE:
        alt.TopLevelSpec.validate(drawn)
    return drawn
