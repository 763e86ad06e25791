"""The work on its oval: where it began and ended, coloured by how fast each section was."""

from typing import Any

from racecalc.daybook import Barn
from racecalc.digest import Call, Digest, PoleSheet, Section, Work, WorkReview
from racecalc.figures.course import Drawn, course_layers, drawn_of, told
from racecalc.figures.joined import layer
from racecalc.figures.on_course import direction, inside_m, line_on, start_mark, texts_inside
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

# A card has room for its tables beside.
_CARD_WIDTH = 420
_TEMPO = {"quicker": (RUST, 7.0), "alike": (INK, 4.0), "slower": (OCHRE, 2.5)}


def ran(review: WorkReview) -> Picture | None:
    """Draw a work on its oval, or nothing where the oval is not known."""
    work, barn = review.work, review.barn
    wide = drawn_of(work.course, WIDE_WIDTH, work.start_in)
    small = drawn_of(work.course, NARROW_WIDTH, work.start_in)
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
    drawn = drawn_of(found[-1].course, HALF_WIDTH, found[-1].start_in) if found else None
    if drawn is None:
        return None
    work, barn = found[-1], digest.barn
    alt_text = oval_words(work, barn)
    return Picture(
        spec=specification(_ran(work, barn, drawn), alt_text),
        alt=alt_text,
        title=sections_title(work, barn),
        caption=oval_caption(work, brief=True),
        half=True,
        group="newest",
    )


def _ran(work: Work, barn: Barn, drawn: Drawn) -> Any:
    places = [work.start_m, *(section.to_finish_m for section in work.sections)]
    layers = course_layers(drawn, named=places)
    middle = drawn.track_m / 2
    timed = [section for section in work.sections if not section.gallop_out]
    layers += [_piece(drawn, section, middle) for section in timed]
    layers += _times(drawn, timed, barn) if timed else []
    clocked_m = timed[-1].to_finish_m if timed else work.start_m
    if clocked_m > work.end_m + 1:
        layers.append(line_on(drawn, clocked_m, work.end_m, middle, INK, 4.0))
    out = [section for section in work.sections if section.gallop_out]
    if out:
        layers.append(line_on(drawn, work.end_m, out[-1].to_finish_m, middle, MUTED, 1.2, [2, 3]))
    layers += [start_mark(drawn, work.start_m, middle), direction(drawn)]
    return layer(*layers, width=drawn.width, height=drawn.height)


def _piece(drawn: Drawn, section: Section, out_m: float) -> Any:
    colour, width = _TEMPO[section.tempo]
    return line_on(drawn, section.from_m, section.to_finish_m, out_m, colour, width)


def _times(drawn: Drawn, sections: list[Section], barn: Barn) -> list[Any]:
    """Write the running time at each clocked pole, inside the rail."""
    inside = inside_m(drawn)
    places = told(
        drawn.at([section.to_finish_m for section in sections], inside),
        text=[written(section.clock, barn) for section in sections],
        words=[
            f"At {typeset(one.pole)}: {written(one.clock, barn)}; section {written(one.time, barn)}"
            for one in sections
        ],
    )
    return texts_inside(drawn, places, INK)


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


def _is_marked(call: Call) -> bool:
    """Tell whether a small drawing has room for the watch at a pole."""
    return call.place.colour != "black"


def _asked(sheet: PoleSheet, drawn: Drawn) -> Any:
    run = sheet.plan.run
    middle = drawn.track_m / 2
    calls = sheet.calls
    layers = course_layers(drawn, named=[run.start_m, *(c.place.to_finish_m for c in calls)])
    if sheet.back_up is not None:
        behind = (sheet.back_up.to_finish_m - run.start_m) % run.lap_m
        from_m = run.start_m + behind
        layers.append(line_on(drawn, from_m, run.start_m, middle, MUTED, 1.5, [2, 3]))
    layers.append(line_on(drawn, run.start_m, run.end_m, middle, RUST, 4.0))
    layers.append(start_mark(drawn, run.start_m, middle))
    inside = inside_m(drawn)
    # A pole that is passed twice bears both times.
    passed: dict[int, list[Call]] = {}
    for call in calls:
        passed.setdefault(round(call.place.to_finish_m % run.lap_m), []).append(call)
    shown = [group for group in passed.values() if drawn.is_wide or _is_marked(group[0])]
    times = [" / ".join(written(call.watch, sheet.barn) for call in group) for group in shown]
    places = told(
        drawn.at([group[0].place.to_finish_m for group in shown], inside),
        text=times,
        words=[
            f"{typeset(group[0].place.pole)}: {time}"
            for group, time in zip(shown, times, strict=True)
        ],
    )
    layers += [*texts_inside(drawn, places, INK), direction(drawn)]
    return layer(*layers, width=drawn.width, height=drawn.height)
