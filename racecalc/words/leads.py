"""The words of leads: which was noted where, and between which poles it changed; facts only."""

from collections.abc import Sequence
from itertools import groupby

from racecalc.daybook import Barn
from racecalc.digest import LEAD_STUDIES, Course, LeadNote, LeadStretch, TrackLeads, WorkLeads
from racecalc.notation import typeset
from racecalc.page import Prose
from racecalc.words.grammar import capital, day_of, full_day, listed, number_word
from racecalc.words.works import part_in_words, place_in_words, pole_in_words
from racecalc.words.written import written

__all__ = [
    "LEAD_CAUTION",
    "lead_change_place",
    "lead_note_words",
    "lead_parts_note",
    "lead_practice",
    "lead_sources",
    "leads_picture_caption",
    "leads_picture_words",
    "leads_summary",
]

LEAD_CAUTION = (
    "Which lead a horse takes, and whether and where it changes, has many ordinary causes: the "
    "turn, habit, tiredness, balance. What was noted is no finding of soundness; that is the vet’s."
)


def leads_summary(leads: WorkLeads | None, barn: Barn, *, dated: bool = False) -> Prose | None:
    """Tell on which lead the horse passed which poles, and where it changed, and no more.

    ``dated`` says in the title of which work it is, for a page that is not of that work alone.
    """
    if leads is None:
        return None
    sentences = [_noted(leads, barn), _changes(leads, barn), _without(leads)]
    facts = " ".join(text for text in sentences if text)
    title = "Leads, as noted at the poles"
    if dated:
        title += f" on {day_of(leads.day)} {leads.day.year} at {leads.course.name}"
    return Prose((facts, LEAD_CAUTION), title=title)


def _noted(leads: WorkLeads, barn: Barn) -> str:
    noted, poles = written(leads.noted, barn), written(leads.poles, barn)
    whole = leads.noted.value == leads.poles.value
    of = f"all {poles}" if whole and leads.poles.value > 1 else f"{noted} of {poles}"
    pole = "pole" if leads.poles.value == 1 else "poles"
    return f"Noted at {of} clocked {pole}: {_runs(leads)}."


def _runs(leads: WorkLeads) -> str:
    """Write "right at the ⅝ pole on the backstretch; left at the ⅜ and ¼ poles in the far turn"."""
    runs = (
        f"{lead} {listed(_by_part(tuple(run)))}"
        for lead, run in groupby(leads.notes, key=lambda note: note.lead)
    )
    return "; ".join(runs)


def _by_part(notes: Sequence[LeadNote]) -> list[str]:
    found = []
    for (part, out), here in groupby(notes, key=lambda note: (note.part, note.gallop_out)):
        where = f" {part_in_words(part)}" if part else ""
        poles = _poles([note.pole for note in here])
        found.append(f"at {poles}{where}{', galloping out' if out else ''}")
    return found


def _poles(poles: Sequence[str]) -> str:
    """Write "the ⅜ and ¼ poles", "the ⅛ pole and the finish"."""
    if len(poles) == 1 or "finish" in poles:
        return listed([pole_in_words(pole) for pole in poles])
    return f"the {listed([typeset(pole) for pole in poles])} poles"


def _changes(leads: WorkLeads, barn: Barn) -> str:
    if not leads.stretches:
        return "Of one pole alone no change can be told."
    if leads.changes is None:
        return "No change shows; one there and back between two poles would not show at them."
    noun = "change" if leads.changes.value == 1 else "changes"
    where = listed([_changed(stretch) for stretch in leads.changed])
    return f"At least {written(leads.changes, barn)} {noun}: {where}."


def _changed(stretch: LeadStretch) -> str:
    """Write "between the ⅝ and the ⅜ pole (backstretch, far turn)"."""
    parts = f" ({', '.join(stretch.parts)})" if stretch.parts else ""
    return f"{lead_change_place(stretch)}{parts}"


def lead_change_place(stretch: LeadStretch) -> str:
    """Write "between the ⅝ and the ⅜ pole", "between the ⅛ pole and the finish"."""
    begin, end = stretch.begin.pole, stretch.end.pole
    first = pole_in_words(begin)
    if "finish" not in (begin, end):
        first = first.removesuffix(" pole")
    return f"between {first} and {pole_in_words(end)}"


def _without(leads: WorkLeads) -> str:
    if not leads.without:
        return ""
    return f"No lead was noted at {_poles(leads.without)}."


def lead_note_words(note: LeadNote) -> str:
    """Write "At the ⅝ pole on the backstretch: right lead"."""
    return f"{capital(_by_part((note,))[0])}: {note.lead} lead"


def lead_practice(course: Course) -> str:
    """Say which lead is usual where, and that studies of preference disagree."""
    lead = {part: course.usual_lead(part) for part in ("far turn", "home straight")}
    if lead["far turn"] is None or course.oval is None:
        return ""
    studies = ", in another ".join(
        f"{number_word(round(study.right_pct / 10))} in ten {study.when}" for study in LEAD_STUDIES
    )
    return (
        f"On a {course.oval.hand}-handed track horses usually take the {lead['far turn']} lead in "
        f"the turns and the {lead['home straight']} one on the straights: common practice, and "
        f"horses differ. Studies of whether they prefer one disagree: in one about {studies}."
    )


def lead_sources(course: Course) -> tuple[str, ...]:
    """Return the keys of what `lead_practice` leans on at this track."""
    if not lead_practice(course):
        return ()
    return ("practice_leads", *(study.key for study in LEAD_STUDIES))


def leads_picture_words(leads: WorkLeads) -> str:
    """Describe the picture: the way of the work, which lead was noted where, where it changed."""
    course = leads.course
    begin = "the chute" if leads.start_in else place_in_words(leads.start_m, course)
    last = leads.notes[-1]
    out = f", galloping out to {pole_in_words(last.pole)}" if last.gallop_out else ""
    changed = listed([lead_change_place(stretch) for stretch in leads.changed])
    parts = [
        f"The oval of {course.name} drawn to scale, with the work of {day_of(leads.day)} on it, "
        f"from {begin} to {place_in_words(leads.end_m, course)}{out}. Leads noted: {_runs(leads)}.",
        f"Changed {changed}." if changed else "",
        _without(leads),
    ]
    return " ".join(part for part in parts if part)


def leads_picture_caption(leads: WorkLeads) -> str:
    """Say what lines and letters mean, each only where it is there."""
    hand = leads.course.oval.hand if leads.course.oval else "left"
    both = [stretch.lead for stretch in leads.stretches]
    marks = {
        "left": "Solid: left at both ends.",
        "right": "Dashed: right at both ends.",
        None: "Thin: changed somewhere on it.",
    }
    parts = [f"Run {hand}-handed. L, R: the lead noted at a pole."]
    parts += [text for lead, text in marks.items() if lead in both]
    edge_m = leads.notes[-1].to_finish_m
    if leads.start_m - leads.notes[0].to_finish_m > 1 or edge_m - leads.end_m > 1:
        parts.append("Dotted: not noted.")
    return " ".join(parts)


def lead_parts_note(track: TrackLeads) -> str:
    """Say of which works the poles are counted."""
    hand = f" Run {track.course.oval.hand}-handed." if track.course.oval else ""
    return (
        f"Poles passed on each lead, in works from {full_day(track.first)} to "
        f"{full_day(track.last)}, galloping out included.{hand}"
    )
