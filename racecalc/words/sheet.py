"""The words of a pole sheet: for the rider who goes the work and the clocker who times it."""

from racecalc.digest import LeadChange, Place, PoleSheet
from racecalc.notation import typeset
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, full_day
from racecalc.words.works import distance_in_words, place_in_words, time_in_words
from racecalc.words.written import written

__all__ = [
    "lead_change",
    "sheet_cautions",
    "sheet_masthead",
    "sheet_notes",
    "sheet_orders",
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


def sheet_orders(sheet: PoleSheet) -> Prose:
    """Return the orders of the work, in the order in which the rider needs them."""
    sentences = (_back_up(sheet), _begin(sheet), _end(sheet), _asked(sheet))
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _back_up(sheet: PoleSheet) -> str:
    if sheet.back_up is None:
        return "Walk into the chute and turn at its end." if sheet.plan.chute else ""
    return f"Back up to {_place(sheet.back_up, sheet)}, turn, and gallop in."


def _begin(sheet: PoleSheet) -> str:
    if sheet.plan.chute:
        return "Break off at the start of the chute."
    where = f", on the {sheet.start.part}" if sheet.start.part else ""
    if sheet.start.part and sheet.start.part.endswith("turn"):
        where = f", in the {sheet.start.part}"
    lead = f", on the {sheet.start.lead} lead" if sheet.start.lead else ""
    return f"Break off at {_place(sheet.start, sheet)}{where}{lead}."


def _end(sheet: PoleSheet) -> str:
    end, lap_m = sheet.calls[-1].place, sheet.plan.course.lap_m
    past = sheet.plan.run.times_past_finish
    on_the_way = {0: "", 1: " once past the finish,"}.get(past, f" {past} times past the finish,")
    if end.pole == "end":
        return f"The work ends between poles,{on_the_way} after the last one below."
    if abs(end.to_finish_m) < 1:
        return f"The work ends{on_the_way} at the finish."
    colour = f" ({end.colour})" if end.colour else ""
    return f"The work ends{on_the_way} at {place_in_words(end.to_finish_m, lap_m)}{colour}."


def _asked(sheet: PoleSheet) -> str:
    barn = sheet.barn
    pace, speed = written(sheet.pace, barn), written(sheet.speed, barn)
    return (
        f"Asked: {written(sheet.distance, barn)} in {time_in_words(sheet.time, barn)}; {pace} a "
        f"furlong, within {written(sheet.tolerance, barn)} either way; {speed}."
    )


def _place(place: Place, sheet: PoleSheet) -> str:
    name = place_in_words(place.to_finish_m, sheet.plan.course.lap_m)
    return f"{name} ({place.colour})" if place.colour else name


def sheet_oval_words(sheet: PoleSheet) -> str:
    """Describe the picture of the sheet: the way of the work, and the watch at the end."""
    course, barn = sheet.plan.course, sheet.barn
    begin = place_in_words(sheet.start.to_finish_m, course.lap_m)
    end = place_in_words(sheet.calls[-1].place.to_finish_m, course.lap_m)
    if sheet.plan.chute:
        begin = "the chute"
    return (
        f"The oval of {course.name} drawn to scale, with {distance_in_words(sheet.distance, barn)} "
        f"on it, from {begin} to {end}; the watch there shows {written(sheet.time, barn)}."
    )


def lead_change(change: LeadChange, sheet: PoleSheet) -> str:
    """Write where a turn or straight begins: "85 ft after the ½ pole"."""
    after = place_in_words(_place_of(change, sheet), sheet.plan.course.lap_m)
    if round(change.offset.value) == 0:
        return f"at {after}"
    return f"{written(change.offset, sheet.barn)} after {after}"


def _place_of(change: LeadChange, sheet: PoleSheet) -> float:
    return change.to_finish_m + change.offset.value


def sheet_notes(sheet: PoleSheet) -> Prose:
    """Say how far the watch can be trusted, what running wide costs, and what is not known."""
    barn, course = sheet.barn, sheet.plan.course
    parts = [
        "The watch: running times since the start, as a watch shows them when the pace is even; "
        f"by hand, times within {written(sheet.clock_error, barn)} of each other are alike. "
        "The tolerance grows with every furlong: not before and not after are its edges."
    ]
    if sheet.wide:
        parts.append(
            f"Run {written(sheet.wide.off_rail, barn)} off the rail, the work is "
            f"{written(sheet.wide.extra, barn)} longer than measured, "
            f"{written(sheet.wide.takes, barn)} at this pace; the times above do not count it."
        )
    if sheet.three_feet_wide and sheet.bank:
        wide = sheet.three_feet_wide
        parts.append(
            f"Wide: every {written(wide.off_rail, barn)} further out adds "
            f"{written(wide.extra, barn)} to each whole turn, {written(wide.takes, barn)} at this "
            f"pace. A turn of this radius would ask for no sideways grip at a bank of "
            f"{written(sheet.bank, barn)}; real banks are far lower, and that is no defect."
        )
    if course.oval is None:
        parts.append(
            f"The book does not tell where the turns of {course.name} are, so there is no picture "
            "and no word on leads."
        )
    return Prose(tuple(parts), title="To know", style="small")


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
        title="First",
        style="caution",
    )


def tidy_pole(place: Place, lap_m: float) -> str:
    """Write a pole for a column: "¾", "finish"."""
    return typeset(
        place_in_words(place.to_finish_m, lap_m).removeprefix("the ").removesuffix(" pole")
    )
