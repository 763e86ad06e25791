"""What is laid on a drawn course: lines, texts inside the rail, the start, the way of running."""

from typing import Any, Literal

import altair as alt

from racecalc.figures.course import Drawn, Places, told
from racecalc.figures.joined import drawn_from
from racecalc.page import INK, MUTED

__all__ = ["ARROW_AT", "direction", "inside_m", "line_on", "start_mark", "texts_inside"]

# Inside the rail there is room for texts.
_INSIDE_PIXELS = 12
# How far from the middle of the course the arrow stands, as a share of the radius of the turns.
ARROW_AT = -0.3


def inside_m(drawn: Drawn, pixels: float = _INSIDE_PIXELS) -> float:
    """Return how far outside the measuring line a text lies that is so far inside the rail."""
    return -drawn.oval.rail_offset_m - pixels * drawn.pixel_m


def line_on(
    drawn: Drawn,
    from_m: float,
    to_m: float,
    out_m: float | tuple[float, float],
    colour: str,
    width: float,
    dash: list[int] | None = None,
) -> Any:
    """Draw a line from one place to another; with two ``out_m`` it drifts across the track."""
    x, y = drawn.axes()
    line = drawn_from(drawn.path(from_m, to_m, out_m)).mark_line(
        color=colour, strokeWidth=width, strokeDash=dash or [1, 0], order=False, aria=False
    )
    return line.encode(x=x, y=y)


def texts_inside(drawn: Drawn, places: Places, colour: str) -> list[Any]:
    """Write texts inside the rail, on the turns away from it."""
    x, y = drawn.axes()
    edge = drawn.oval.straight_m / 2
    sides: dict[Literal["left", "center", "right"], Places] = {
        "left": [place for place in places if place["x"] < -edge],
        "center": [place for place in places if abs(place["x"]) <= edge],
        "right": [place for place in places if place["x"] > edge],
    }
    layers = []
    for align, here in sides.items():
        if here:
            text = drawn_from(here).mark_text(
                color=colour, fontSize=11, baseline="middle", align=align
            )
            layers.append(
                text.encode(
                    x=x, y=y, text=alt.Text("text:N"), description=alt.Description("words:N")
                )
            )
    return layers


def start_mark(drawn: Drawn, start_m: float, out_m: float) -> Any:
    """Mark where the work begins."""
    x, y = drawn.axes()
    mark = drawn_from(told(drawn.at([start_m], out_m), words=["start of the work"])).mark_point(
        shape="square", filled=True, color=INK, size=60, opacity=1, stroke="#ffffff"
    )
    return mark.encode(x=x, y=y, description=alt.Description("words:N"))


def direction(drawn: Drawn) -> Any:
    """Point an arrow along the home straight, in the middle of the course."""
    x, y = drawn.axes()
    left = drawn.oval.hand == "left"
    arrow = "\N{RIGHTWARDS ARROW}" if left else "\N{LEFTWARDS ARROW}"
    words = "the way of running, on the home straight"
    place = {"x": 0.0, "y": ARROW_AT * drawn.oval.turn_radius_m, "text": arrow, "words": words}
    text = drawn_from([place]).mark_text(color=MUTED, fontSize=18, baseline="middle")
    return text.encode(x=x, y=y, text=alt.Text("text:N"), description=alt.Description("words:N"))
