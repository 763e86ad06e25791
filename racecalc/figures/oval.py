"""The work on its oval: where it began and ended, coloured by how fast each section was."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc.daybook import Barn
from racecalc.digest import Digest, PoleSheet, Section, Work, WorkReview
from racecalc.figures.course import Drawn, course_layers, drawn_of
from racecalc.figures.theme import HALF_WIDTH, NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.notation import typeset
from racecalc.page import INK, MUTED, OCHRE, RUST, Picture
from racecalc.words import (
    oval_caption,
    oval_words,
    sections_title,
    sheet_oval_words,
    written,
)

__all__ = ["asked", "newest", "ran"]

# Inside the rail there is room for the times.
_INSIDE_PIXELS = 20
# A card has room for its tables beside.
_CARD_WIDTH = 500
_TEMPO = {"quicker": (RUST, 7.0), "alike": (INK, 4.0), "slower": (OCHRE, 2.5)}


def ran(review: WorkReview) -> Picture | None:
    """Draw a work on its oval, or nothing where the oval is not known."""
    work, barn = review.work, review.barn
    wide, small = drawn_of(work.course, WIDE_WIDTH), drawn_of(work.course, NARROW_WIDTH)
    if wide is None or small is None:
        return None
    alt_text = oval_words(work, barn)
    return Picture(
        spec=specification(_ran(work, barn, wide), alt_text),
        narrow=specification(_ran(work, barn, small), alt_text),
        alt=alt_text,
        caption=oval_caption(work),
    )


def newest(digest: Digest) -> Picture | None:
    """Draw the month's newest work whose oval is known."""
    found = [work for work in digest.works if drawn_of(work.course, HALF_WIDTH)]
    drawn = drawn_of(found[-1].course, HALF_WIDTH) if found else None
    if drawn is None:
        return None
    work, barn = found[-1], digest.barn
    alt_text = oval_words(work, barn)
    return Picture(
        spec=specification(_ran(work, barn, drawn), alt_text),
        alt=alt_text,
        title=sections_title(work, barn),
        caption=oval_caption(work),
        half=True,
        group="newest",
    )


def _ran(work: Work, barn: Barn, drawn: Drawn) -> Any:
    places = [work.start_m, *(section.to_finish_m for section in work.sections)]
    layers = course_layers(drawn, named=places)
    middle = drawn.track_m / 2
    timed = [section for section in work.sections if not section.gallop_out]
    if timed:
        layers += [_piece(drawn, section, middle) for section in timed]
        layers.append(_times(drawn, timed, barn))
    else:
        layers.append(_line(drawn, work.start_m, work.end_m, middle, INK, 4.0))
    out = [section for section in work.sections if section.gallop_out]
    if out:
        layers.append(_line(drawn, work.end_m, out[-1].to_finish_m, middle, MUTED, 1.2, [2, 3]))
    layers.append(_start(drawn, work.start_m, middle))
    return alt.layer(*layers).properties(width=drawn.width, height=drawn.height)


def _piece(drawn: Drawn, section: Section, out_m: float) -> Any:
    colour, width = _TEMPO[section.tempo]
    return _line(drawn, section.from_m, section.to_finish_m, out_m, colour, width)


def _line(
    drawn: Drawn,
    from_m: float,
    to_m: float,
    out_m: float,
    colour: str,
    width: float,
    dash: list[int] | None = None,
) -> Any:
    x, y = drawn.axes()
    line = alt.Chart(drawn.path(from_m, to_m, out_m)).mark_line(
        color=colour, strokeWidth=width, strokeDash=dash or [1, 0], aria=False
    )
    return line.encode(x=x, y=y, order="order:Q")


def _times(drawn: Drawn, sections: list[Section], barn: Barn) -> Any:
    """Write the time of each section inside the rail, in the middle of its ground."""
    middles = [(section.from_m + section.to_finish_m) / 2 for section in sections]
    inside = -drawn.oval.rail_offset_m - _INSIDE_PIXELS * drawn.pixel_m
    frame = drawn.at(middles, inside).assign(
        text=[written(section.time, barn) for section in sections],
        words=[
            f"To {typeset(section.pole)}: {written(section.time, barn)}" for section in sections
        ],
    )
    return _texts(drawn, frame, INK)


def _texts(drawn: Drawn, frame: pd.DataFrame, colour: str) -> Any:
    x, y = drawn.axes()
    text = alt.Chart(frame).mark_text(color=colour, fontSize=11, baseline="middle")
    return text.encode(x=x, y=y, text="text:N", description="words:N")


def _start(drawn: Drawn, start_m: float, out_m: float) -> Any:
    x, y = drawn.axes()
    frame = drawn.at([start_m], out_m).assign(words="start of the work")
    mark = alt.Chart(frame).mark_point(
        shape="square", filled=True, color=INK, size=60, opacity=1, stroke="#ffffff"
    )
    return mark.encode(x=x, y=y, description="words:N")


def asked(sheet: PoleSheet) -> Picture | None:
    """Draw a work that is to be done, with the watch at each pole."""
    plan = sheet.plan
    wide = drawn_of(plan.course, _CARD_WIDTH, plan.chute)
    small = drawn_of(plan.course, NARROW_WIDTH, plan.chute)
    if wide is None or small is None:
        return None
    alt_text = sheet_oval_words(sheet)
    return Picture(
        spec=specification(_asked(sheet, wide), alt_text),
        narrow=specification(_asked(sheet, small), alt_text),
        alt=alt_text,
    )


def _asked(sheet: PoleSheet, drawn: Drawn) -> Any:
    run = sheet.plan.run
    middle = drawn.track_m / 2
    calls = sheet.calls
    layers = course_layers(drawn, named=[run.start_m, *(c.place.to_finish_m for c in calls)])
    if sheet.back_up is not None:
        behind = (sheet.back_up.to_finish_m - run.start_m) % run.lap_m
        from_m = run.start_m + behind
        layers.append(_line(drawn, from_m, run.start_m, middle, MUTED, 1.5, [2, 3]))
    layers.append(_line(drawn, run.start_m, run.end_m, middle, RUST, 4.0))
    layers.append(_start(drawn, run.start_m, middle))
    inside = -drawn.oval.rail_offset_m - _INSIDE_PIXELS * drawn.pixel_m
    # A pole that is passed twice bears the later time; the table has both.
    last = {round(call.place.to_finish_m % run.lap_m): call for call in calls}
    shown = [call for call in last.values() if drawn.is_wide or call.place.colour != "black"]
    frame = drawn.at([call.place.to_finish_m for call in shown], inside).assign(
        text=[written(call.watch, sheet.barn) for call in shown],
        words=[f"{typeset(call.place.pole)}: {written(call.watch, sheet.barn)}" for call in shown],
    )
    layers.append(_texts(drawn, frame, INK))
    return alt.layer(*layers).properties(width=drawn.width, height=drawn.height)
