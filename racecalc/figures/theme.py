"""The look that all charts share: one serif face, a light grid or none, direct labels."""

from datetime import date
from typing import Any

import altair as alt

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
    "view": {"stroke": None},
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


def date_axis(form: str, ticks: Any) -> alt.Axis:
    """Return an axis of dates; the outer labels stay inside the picture."""
    # The padding keeps dates clear of the lowest value, which stands in the corner; a reader's own
    # face may be wider than ours, so that labels need room between them.
    return alt.Axis(
        format=form,
        grid=False,
        tickCount=ticks,
        labelOverlap=True,
        labelSeparation=10,
        labelPadding=8,
        labelFlush=True,
    )


def first_chart() -> None:
    """Describe a chart that nobody sees: the first of a process costs more than the later ones."""
    rows = alt.InlineData(values=[{"x": 1.0}])
    specification(alt.Chart(rows).mark_point().encode(x="x:Q"), "")


def moment(day: date) -> str:
    """Write a day as Vega-Lite reads it: midnight in universal time, wherever it is drawn."""
    return f"{day.isoformat()}T00:00:00Z"


def specification(chart: Any, alt_text: str) -> dict[str, Any]:
    """Return the Vega-Lite specification of a chart in the common look.

    Raises
    ------
    altair.SchemaValidationError
        If the chart is not a valid specification.
    """
    drawn: dict[str, Any] = chart.properties(description=alt_text).configure(**_CONFIG).to_dict()
    return drawn
