"""The words of a pole sheet: for the rider who goes the work and the clocker who times it."""

from racecalc.digest import Course, LeadChange, Place, PoleSheet, Wide
from racecalc.notation import typeset, write_pole
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, full_day, number_word
from racecalc.words.works import (
    distance_in_words,
    part_in_words,
    place_in_words,
    time_in_words,
)
from racecalc.words.written import written

__all__ = [
    "as_asked_words",
    "back_up_words",
    "break_off_words",
    "end_words",
    "lead_change",
    "sheet_cautions",
    "sheet_masthead",
    "sheet_notes",
    "sheet_oval_words",
    "tidy_pole",
]


def sheet_masthead(sheet: PoleSheet) -> Masthead:
    """Return the head of the card."""
    course, barn = sheet.plan.course, sheet.barn
    far = distance_in_words(sheet.distance, barn)
    hand = f", {course.oval.hand}-handed" if course.oval else ""
    where = f"{course.name}, {course.surface}{hand}"
    return Masthead(
        name=sheet.horse.name if sheet.horse else f"{capital(far)}",
        when=full_day(sheet.day),
        day=sheet.day.isoformat(),
        subtitle=f"{far} at {where}" if sheet.horse else where,
        audience="pole sheet, for rider and clocker",
        barn=barn.name,
        trainer=barn.trainer,
        language=barn.language,
        paper=barn.paper,
        description=f"The poles of {far} at {course.name}, and what the watch should show.",
    )


def back_up_words(sheet: PoleSheet) -> tuple[str, str, str]:
    """Return where to back up to, its colour, and what to do there."""
    if sheet.plan.chute:
        return "chute", "", "walk in, turn at its end"
    if sheet.back_up is None:
        return "–", "", "no pole stands far enough behind the start"
    return _name(sheet.back_up, sheet), sheet.back_up.colour or "", "back up to, turn, gallop in"


def break_off_words(sheet: PoleSheet) -> tuple[str, str, str, str]:
    """Return where to break off, its colour, that it is there, and on which part and lead."""
    place = sheet.start
    where = part_in_words(place.part) if place.part else ""
    if sheet.plan.chute:
        where = "at its start"
    lead = f"{place.lead} lead" if place.lead else ""
    name = "chute" if sheet.plan.chute else _name(place, sheet)
    return name, place.colour or "", "break off", ", ".join(t for t in (where, lead) if t)


def end_words(sheet: PoleSheet) -> tuple[str, str, str]:
    """Return where the work ends, its colour, and how often the finish is passed before."""
    end = sheet.calls[-1].place
    past = sheet.plan.run.times_past_finish
    on_the_way = {0: "", 1: "after passing the finish once"}.get(
        past, f"after passing the finish {number_word(past)} times"
    )
    name = tidy_pole(end, sheet.plan.course)
    return name, end.colour or "", on_the_way


def as_asked_words(sheet: PoleSheet) -> str:
    """Write which times are as asked: "1:12 to 1:14⅖ is as asked"."""
    last = sheet.calls[-1]
    if not sheet.tolerance.value:
        return f"{written(sheet.pace, sheet.barn)} a furlong, {written(sheet.speed, sheet.barn)}"
    early, late = written(last.early, sheet.barn), written(last.late, sheet.barn)
    return f"{early} to {late} is as asked"


def _even_pace(sheet: PoleSheet) -> str:
    barn = sheet.barn
    pace, speed = written(sheet.pace, barn), written(sheet.speed, barn)
    within = f", {written(sheet.tolerance, barn)} either way" if sheet.tolerance.value else ""
    return (
        f"{capital(written(sheet.distance, barn))} in {time_in_words(sheet.time, barn)} at an even "
        f"pace is {pace} a furlong{within}, {speed}."
    )


def _name(place: Place, sheet: PoleSheet) -> str:
    return tidy_pole(place, sheet.plan.course)


def sheet_oval_words(sheet: PoleSheet) -> str:
    """Describe the picture of the sheet: the way of the work, and the watch at the end."""
    course, barn = sheet.plan.course, sheet.barn
    begin = place_in_words(sheet.start.to_finish_m, course)
    end = place_in_words(sheet.calls[-1].place.to_finish_m, course)
    if sheet.plan.chute:
        begin = "the chute"
    return (
        f"The oval of {course.name} drawn to scale, with {distance_in_words(sheet.distance, barn)} "
        f"on it, from {begin} to {end}; the watch there shows {written(sheet.time, barn)}."
    )


def lead_change(change: LeadChange, sheet: PoleSheet) -> str:
    """Write where a turn or straight begins: "85 ft after the ½ pole"."""
    after = place_in_words(_place_of(change, sheet), sheet.plan.course)
    if round(change.offset.value) == 0:
        return f"at {after}"
    return f"{written(change.offset, sheet.barn)} after {after}"


def _place_of(change: LeadChange, sheet: PoleSheet) -> float:
    return change.to_finish_m + change.offset.value


def sheet_notes(sheet: PoleSheet) -> Prose:
    """Say how far the watch can be trusted, what running wide costs, and what is not known."""
    barn, course = sheet.barn, sheet.plan.course
    parts = [
        f"{_even_pace(sheet)} The watch: running times since the start; by hand, times within "
        f"{written(sheet.clock_error, barn)} of each other are alike. The tolerance grows with "
        "every furlong: from and to are its edges."
    ]
    if sheet.wide:
        parts.append(_off_the_rail(sheet.wide, sheet))
    if sheet.wider and sheet.bank:
        wide = sheet.wider
        parts.append(
            f"Wide: every {written(wide.off_rail, barn)} further out adds "
            f"{written(wide.extra, barn)} to each whole turn, {written(wide.takes, barn)} at this "
            f"pace. A turn of this radius would ask for no sideways grip at a bank of "
            f"{written(sheet.bank, barn)}; real banks are far lower, and that is no defect."
        )
    parts += _round_again(sheet)
    if course.oval is None:
        parts.append(
            f"The book does not tell where the turns of {course.name} are, so there is no picture "
            "and no word on leads."
        )
    return Prose(tuple(parts), title="To know", style="small")


def _off_the_rail(wide: Wide, sheet: PoleSheet) -> str:
    barn = sheet.barn
    extra, takes = (written(n, barn).lstrip("\N{MINUS SIGN}") for n in (wide.extra, wide.takes))
    way, less = ("longer", "more") if wide.extra.value >= 0 else ("shorter", "less")
    return (
        f"{written(wide.off_rail, barn)} off the rail the work is {extra} {way} than measured, "
        f"{takes} at this pace: the watch at the end shows that much {less} for the same speed."
    )


def _round_again(sheet: PoleSheet) -> list[str]:
    """Say how the book wants a work written that passes the finish."""
    run, parts = sheet.plan.run, []
    if run.end_m % run.lap_m > 1 and run.times_past_finish:
        parts.append(
            "This work ends past the finish. The daybook takes works to the finish or to a pole "
            "before it; ground past the finish is written as galloping out."
        )
    first = sheet.calls[0].place
    if run.times_past_finish and first.to_finish_m > run.lap_m + 1:
        parts.append(
            "In the splits of the daybook a pole is named by all that is left, whole laps as well: "
            f"the first one here is {typeset(write_pole(first.to_finish_m))}."
        )
    return parts


def sheet_cautions(sheet: PoleSheet) -> Prose:
    """Return the usual cautions of the morning; common practice, and second to the track's."""
    return Prose(
        (
            "Look at girth and tack; helmet fastened, vest on. Back up along the outside, out of "
            "the way of those who work; at speed go the track’s own way. Look behind before "
            "moving to the rail, and before pulling up.",
            "Pull up for a siren, a loose horse, or a horse that does not feel right: no time is "
            "worth a stride on it. Tell the clocker horse, distance and start. The trainer, the "
            "outriders, the track’s rules and local law come before this card.",
        ),
        title="Before you go",
        style="caution",
    )


def tidy_pole(place: Place, course: Course) -> str:
    """Write a pole for a column: "¾", "finish"."""
    return place_in_words(place.to_finish_m, course).removeprefix("the ").removesuffix(" pole")
