"""The course, drawn to scale: rails, finish line and poles, on which a work is laid."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import track
from racecalc.digest import Course
from racecalc.figures.joined import drawn_from
from racecalc.notation import typeset, write_pole
from racecalc.page import INK, MUTED, POLES

__all__ = ["Drawn", "Places", "course_layers", "drawn_of", "told"]

# Where the book does not tell the width of a track, it is drawn this wide.
_USUAL_WIDTH_M = 20.0
_STEP_M = 10.0
_RAIL_POINTS = 121
# Places are written in centimetres.
_DECIMALS = 2
# Beside the outer rail there is room for the names of poles; inside the rail for times.
_LABEL_PIXELS = 13
_EDGE_PIXELS = 30
_POLE_SIZE = 44
_WIDE_FROM_PIXELS = 400

Places = list[dict[str, Any]]
"""Rows with ``x`` and ``y`` in metres, and what is said of each place."""


@dataclass(frozen=True)
class Drawn:
    """A course at a scale: how many metres a pixel of the drawing is.

    ``low`` and ``high`` are the corners of the drawing, in metres; ``start_in`` is the chute that
    is drawn with it.
    """

    course: Course
    oval: track.Oval
    width: int
    height: int
    low: tuple[float, float]
    high: tuple[float, float]
    start_in: track.Chute | None

    @property
    def pixel_m(self) -> float:
        """How many metres a pixel is."""
        return (self.high[0] - self.low[0]) / self.width

    @property
    def is_wide(self) -> bool:
        """Whether there is room for every sixteenth."""
        return self.width >= _WIDE_FROM_PIXELS

    @property
    def track_m(self) -> float:
        """How far the outer rail is from the measuring line, in metres."""
        width = self.oval.width_m or _USUAL_WIDTH_M
        return width - self.oval.rail_offset_m

    def axes(self) -> tuple[alt.X, alt.Y]:
        """Return the two axes of one scale, without a line or a label."""
        x_scale = dict(domain=[self.low[0], self.high[0]], nice=False, zero=False)
        y_scale = dict(domain=[self.low[1], self.high[1]], nice=False, zero=False)
        return alt.X("x:Q", axis=None, scale=x_scale), alt.Y("y:Q", axis=None, scale=y_scale)

    def at(self, to_finish_m: Sequence[float], out_m: float | npt.NDArray[np.float64]) -> Places:
        """Return ``x`` and ``y`` of places ``out_m`` metres outside the measuring line."""
        found = track.positions(self.oval, to_finish_m, start_in=self.start_in)
        return _places(found, out_m, self.oval.hand)

    def path(self, from_m: float, to_m: float, out_m: float | tuple[float, float]) -> Places:
        """Return a fine line from one place to another, in the order run.

        ``out_m`` is one for all of it, or those of its begin and end.
        """
        count = max(2, math.ceil((from_m - to_m) / _STEP_M) + 1)
        begin_m, end_m = out_m if isinstance(out_m, tuple) else (out_m, out_m)
        places = np.linspace(from_m, to_m, count).tolist()
        return self.at(places, np.linspace(begin_m, end_m, count))


def drawn_of(course: Course, width: int, start_in: track.Chute | None = None) -> Drawn | None:
    """Return a course at the scale that fills a width in pixels; none where it cannot be drawn."""
    oval = course.oval
    if oval is None or oval.finish_to_turn_m is None:
        return None
    reach = oval.turn_radius_m - oval.rail_offset_m + (oval.width_m or _USUAL_WIDTH_M)
    left = right = oval.straight_m / 2 + reach
    if start_in is not None:
        start = track.positions(oval, start_in.start_m, start_in=start_in).iloc[0]
        left, right = max(left, -float(start["x_m"])), max(right, float(start["x_m"]))
    pixel_m = (left + right) / (width - 2 * _EDGE_PIXELS)
    edge = _EDGE_PIXELS * pixel_m
    height = round((2 * reach + 2 * edge) / pixel_m)
    return Drawn(
        course, oval, width, height, (-left - edge, -reach - edge), (right + edge, reach + edge),
        start_in,
    )  # fmt: skip


def _places(found: pd.DataFrame, out_m: float | npt.NDArray[np.float64], hand: str) -> Places:
    """Return places so far outside those of the measuring line that `track.positions` found."""
    heading = np.radians(found["heading_deg"].to_numpy())
    # Outside is to the right of a left-handed course.
    side = 1.0 if hand == "left" else -1.0
    x = found["x_m"].to_numpy() + side * out_m * np.sin(heading)
    y = found["y_m"].to_numpy() - side * out_m * np.cos(heading)
    places = zip(x.round(_DECIMALS).tolist(), y.round(_DECIMALS).tolist(), strict=True)
    return [{"x": east, "y": north} for east, north in places]


def told(places: Places, **columns: Sequence[Any]) -> Places:
    """Return places with what is said of each of them, by name."""
    said = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
    return [place | words for place, words in zip(places, said, strict=True)]


def course_layers(drawn: Drawn, named: Iterable[float] = ()) -> list[Any]:
    """Return the layers of an empty course: rails, finish line and poles with their names.

    ``named`` are places whose poles are named in any case; in a small drawing the sixteenths
    between others go without a name.
    """
    return [*_rails(drawn), *_finish(drawn), *_poles(drawn, set(named))]


def _rails(drawn: Drawn) -> list[Any]:
    chute = drawn.start_in
    # The oval itself, whatever chute leads into it.
    lap = track.positions(drawn.oval, np.linspace(drawn.oval.lap_m, 0, _RAIL_POINTS))
    layers = []
    for out_m in (-drawn.oval.rail_offset_m, drawn.track_m):
        layers.append(_rail(drawn, _places(lap, out_m, drawn.oval.hand)))
        if chute is not None:
            line = drawn.path(chute.start_m, chute.joins_m, out_m)
            layers.append(_rail(drawn, line, [3, 2]))
    return layers


def _rail(drawn: Drawn, line: Places, dash: list[int] | None = None) -> Any:
    x, y = drawn.axes()
    rail = drawn_from(line).mark_line(
        color=MUTED, strokeWidth=0.8, strokeDash=dash or [1, 0], order=False, aria=False
    )
    return rail.encode(x=x, y=y)


def _finish(drawn: Drawn) -> list[Any]:
    x, y = drawn.axes()
    rails = (-drawn.oval.rail_offset_m, drawn.track_m)
    line = drawn_from([place for out_m in rails for place in drawn.at([0.0], out_m)]).mark_line(
        color=INK, strokeWidth=2, order=False, aria=False
    )
    beside = drawn.at([0.0], drawn.track_m + _LABEL_PIXELS * drawn.pixel_m)
    text = drawn_from(told(beside, text=["finish"])).mark_text(
        color=INK, fontSize=11, baseline="middle", aria=False
    )
    return [
        line.encode(x=x, y=y),
        text.encode(x=x, y=y, text=alt.Text("text:N")),
    ]


def _poles(drawn: Drawn, named: set[float]) -> list[Any]:
    standing = track.poles(drawn.oval.lap_m, drawn.course.spacing_m)
    wide = drawn.is_wide
    # The pole of a whole lap is the finish.
    standing = tuple(p for p in standing if abs(p.to_finish_m - drawn.oval.lap_m) > 1)
    places = [pole.to_finish_m for pole in standing]
    if not places:
        return []
    rows = told(
        drawn.at(places, -drawn.oval.rail_offset_m),
        colour=[POLES.get(pole.colour or "", MUTED) for pole in standing],
        words=[_pole_words(pole) for pole in standing],
    )
    x, y = drawn.axes()
    dots = drawn_from(rows).mark_point(
        filled=True, size=_POLE_SIZE, opacity=1, stroke=MUTED, strokeWidth=0.8
    )
    layers = [
        dots.encode(
            x=x,
            y=y,
            color=alt.Color("colour:N", scale=None, legend=None),
            description=alt.Description("words:N"),
        )
    ]
    shown = [pole for pole in standing if wide or _is_named(pole, named)]
    for small in (False, True):
        # A fraction of one sign is drawn small by every face, one of several signs is not.
        group = [pole for pole in shown if ("\N{FRACTION SLASH}" in typeset(pole.name)) == small]
        if group:
            layers.append(_names(drawn, group, 11 if small or not wide else 14))
    return layers


def _names(drawn: Drawn, poles: list[track.Pole], size: int) -> Any:
    x, y = drawn.axes()
    out_m = drawn.track_m + _LABEL_PIXELS * drawn.pixel_m
    names = told(
        drawn.at([pole.to_finish_m for pole in poles], out_m),
        text=[typeset(pole.name).removesuffix(" m") for pole in poles],
    )
    text = drawn_from(names).mark_text(color=INK, fontSize=size, baseline="middle", aria=False)
    return text.encode(x=x, y=y, text=alt.Text("text:N"))


def _pole_words(pole: track.Pole) -> str:
    colour = f", {pole.colour}" if pole.colour else ""
    return f"{typeset(write_pole(pole.to_finish_m))} pole{colour}"


def _is_named(pole: track.Pole, named: set[float]) -> bool:
    if any(abs(pole.to_finish_m - place) < 1 for place in named):
        return True
    return pole.colour in ("red", "green") or (
        pole.colour is None and round(pole.to_finish_m) % 200 == 0
    )
