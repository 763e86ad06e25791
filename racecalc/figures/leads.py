"""The leads of a work on its oval: a letter at each pole, and where they were the same or not."""

from typing import Any

import altair as alt

from racecalc.digest import LeadNote, LeadStretch, WorkLeads
from racecalc.figures.course import Drawn, Places, course_layers, drawn_of, told
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.on_course import (
    ARROW_AT,
    direction,
    inside_m,
    line_on,
    start_mark,
    texts_inside,
)
from racecalc.figures.theme import NARROW_WIDTH, WIDE_WIDTH, specification
from racecalc.page import BLUE, INK, MUTED, RUST, Picture
from racecalc.words import (
    lead_change_place,
    lead_note_words,
    leads_picture_caption,
    leads_picture_words,
)

__all__ = ["leads"]

# Colour, width and dash; those of the two leads are told apart in black and white as well.
_SAME: dict[str, tuple[str, float, list[int] | None]] = {
    "left": (RUST, 5.0, None),
    "right": (BLUE, 5.0, [7, 4]),
}
_CHANGED: tuple[str, float] = (MUTED, 2.0)
_UNKNOWN: tuple[str, float, list[int]] = (MUTED, 1.2, [2, 3])
_CHANGED_HERE = ("changed here", "changed")
# Where it may stand, the best place first: along its stretch, and how far inside the rail.
_SHARES, _DEPTHS = (0.5, 0.35, 0.65, 0.2, 0.8), (28, 22, 16, 34, 40)
# The width of a letter in the widest of the faces, and half the height of a line; an arrow is as
# wide as some letters.
_LETTER_PIXELS, _HALF_LINE_PIXELS = 6.5, 6
_WIDE_AS_ARROW = "---"
# Of a way of a lap and more the last lap is drawn inside the first: both as shares of the track.
_FIRST, _LAST = 0.75, 0.3

# In pixels: left, right, low, high.
Box = tuple[float, float, float, float]


def leads(noted: WorkLeads | None) -> Picture | None:
    """Draw the leads of a work on its oval; nothing where none is noted or the oval not known."""
    if noted is None:
        return None
    wide = drawn_of(noted.course, WIDE_WIDTH, noted.start_in)
    small = drawn_of(noted.course, NARROW_WIDTH, noted.start_in)
    if wide is None or small is None:
        return None
    alt_text = leads_picture_words(noted)
    return Picture(
        spec=specification(_chart(noted, wide), alt_text),
        narrow=specification(_chart(noted, small), alt_text),
        alt=alt_text,
        caption=leads_picture_caption(noted),
    )


def _chart(noted: WorkLeads, drawn: Drawn) -> Any:
    lap_m = noted.course.lap_m
    layers = course_layers(drawn, named=[note.to_finish_m % lap_m for note in noted.notes])
    layers += _unknown(noted, drawn)
    for one in noted.stretches:
        pen = _SAME[one.lead] if one.lead else _CHANGED
        layers.append(_stroke(noted, drawn, one.begin.to_finish_m, one.end.to_finish_m, *pen))
    layers.append(start_mark(drawn, noted.start_m, _out_m(noted, drawn, noted.start_m)))
    letters = _letters(noted, drawn)
    layers += [_marks(noted, drawn), *texts_inside(drawn, letters, INK)]
    layers += _words(noted, drawn, letters)
    return layer(*layers, direction(drawn), width=drawn.width, height=drawn.height)


def _last_m(noted: WorkLeads) -> float:
    return min(noted.end_m, noted.notes[-1].to_finish_m)


def _out_m(noted: WorkLeads, drawn: Drawn, place_m: float) -> float:
    """Return how far outside the measuring line a place is drawn; no lap lies on another."""
    way_m = noted.start_m - _last_m(noted)
    if way_m < noted.course.lap_m - 1:
        return drawn.track_m / 2
    gone = (noted.start_m - place_m) / way_m
    return drawn.track_m * (_FIRST + (_LAST - _FIRST) * gone)


def _stroke(
    noted: WorkLeads,
    drawn: Drawn,
    from_m: float,
    to_m: float,
    colour: str,
    width: float,
    dash: list[int] | None = None,
) -> Any:
    out_m = (_out_m(noted, drawn, from_m), _out_m(noted, drawn, to_m))
    return line_on(drawn, from_m, to_m, out_m, colour, width, dash)


def _unknown(noted: WorkLeads, drawn: Drawn) -> list[Any]:
    """Draw the ground of the work before the first pole with a lead, and behind the last one."""
    first_m, last_m = noted.notes[0].to_finish_m, noted.notes[-1].to_finish_m
    ends = ((noted.start_m, first_m), (last_m, _last_m(noted)))
    return [
        _stroke(noted, drawn, from_m, to_m, *_UNKNOWN) for from_m, to_m in ends if from_m - to_m > 1
    ]


def _marks(noted: WorkLeads, drawn: Drawn) -> Any:
    x, y = drawn.axes()
    places = [
        place
        for note in noted.notes
        for place in drawn.at([note.to_finish_m], _out_m(noted, drawn, note.to_finish_m))
    ]
    rows = told(
        places,
        colour=[_SAME[note.lead][0] for note in noted.notes],
        words=[lead_note_words(note) for note in noted.notes],
    )
    marks = drawn_from(rows).mark_point(
        filled=True, size=70, opacity=1, stroke="#ffffff", strokeWidth=1.2
    )
    colour = alt.Color("colour:N", scale=None, legend=None)
    return marks.encode(x=x, y=y, color=colour, description=alt.Description("words:N"))


def _letters(noted: WorkLeads, drawn: Drawn) -> Places:
    """Return L or R at each pole, inside the rail; both where it was passed twice."""
    at = drawn.at([note.to_finish_m for note in noted.notes], inside_m(drawn))
    passed: dict[tuple[int, int], list[LeadNote]] = {}
    for note, place in zip(noted.notes, at, strict=True):
        passed.setdefault((round(place["x"]), round(place["y"])), []).append(note)
    groups = list(passed.values())
    return told(
        drawn.at([group[0].to_finish_m for group in groups], inside_m(drawn)),
        text=[" / ".join(note.lead[0].upper() for note in group) for group in groups],
        words=["; ".join(lead_note_words(note) for note in group) for group in groups],
    )


def _words(noted: WorkLeads, drawn: Drawn, letters: Places) -> list[Any]:
    """Write at each stretch with a change that it was there; shorter where that has no room."""
    if not noted.changed:
        return []
    taken = [_box(drawn, x, y, text) for x, y, text in _texts(letters)]
    taken.append(_box(drawn, 0.0, ARROW_AT * drawn.oval.turn_radius_m, _WIDE_AS_ARROW))
    ways = [(text, _placed(noted, drawn, text, taken)) for text in _CHANGED_HERE]
    text, found = next(((text, rows) for text, rows in ways if None not in rows), ways[-1])
    rows = [
        {"x": place[0], "y": place[1], "text": text, "words": f"changed {lead_change_place(one)}"}
        for one, place in zip(noted.changed, found, strict=True)
        if place
    ]
    return texts_inside(drawn, rows, MUTED)


def _placed(
    noted: WorkLeads, drawn: Drawn, text: str, taken: list[Box]
) -> list[tuple[float, float] | None]:
    """Return a place for the text at each change, clear of all other texts; none without room."""
    taken, found = list(taken), []
    for one in noted.changed:
        places = [_beside(drawn, one, share, pixels) for share in _SHARES for pixels in _DEPTHS]
        boxes = {place: _box(drawn, *place, text) for place in places}
        free = [p for p, box in boxes.items() if not any(_meet(box, other) for other in taken)]
        found.append(free[0] if free else None)
        taken += [boxes[place] for place in free[:1]]
    return found


def _texts(places: Places) -> list[tuple[float, float, str]]:
    return [(place["x"], place["y"], place["text"]) for place in places]


def _beside(drawn: Drawn, one: LeadStretch, share: float, pixels: float) -> tuple[float, float]:
    """Return where a text stands so far along a stretch and so far inside the rail."""
    begin_m, end_m = one.begin.to_finish_m, one.end.to_finish_m
    [at] = drawn.at([begin_m + share * (end_m - begin_m)], inside_m(drawn, pixels))
    return at["x"], at["y"]


def _box(drawn: Drawn, x_m: float, y_m: float, text: str) -> Box:
    """Return about what room a text inside the rail takes."""
    x, y, wide = x_m / drawn.pixel_m, y_m / drawn.pixel_m, _LETTER_PIXELS * len(text)
    edge_m = drawn.oval.straight_m / 2
    left = x if x_m < -edge_m else x - wide if x_m > edge_m else x - wide / 2
    return left, left + wide, y - _HALF_LINE_PIXELS, y + _HALF_LINE_PIXELS


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]
