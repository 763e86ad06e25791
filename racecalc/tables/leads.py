"""Tables of leads: pole by pole of one work, and by the parts of a course over a year."""

from racecalc.daybook import Barn
from racecalc.digest import PartLeads, TrackLeads, WorkLeads
from racecalc.notation import typeset
from racecalc.page import Column, Several, Table
from racecalc.words import NO_VALUE, day_of, lead_parts_note, written

__all__ = ["lead_parts", "lead_poles"]


def lead_poles(leads: WorkLeads | None) -> Table | None:
    """Return the leads of one work, a row for each pole where one was noted."""
    if leads is None:
        return None
    since = ["", *("the same" if one.lead else "changed" for one in leads.stretches)]
    rows = tuple(
        (
            f"{typeset(note.pole)}{', galloping out' if note.gallop_out else ''}",
            note.part or NO_VALUE,
            note.lead,
            change or NO_VALUE,
        )
        for note, change in zip(leads.notes, since, strict=True)
    )
    columns = (
        Column("pole"),
        Column("part"),
        Column("lead", strong=True),
        Column("since the one before"),
    )
    return Table(
        columns,
        rows,
        title=f"Leads on {day_of(leads.day)} at {leads.course.name}",
        note="The same at two poles does not tell that it was kept between them.",
        half=True,
        group="leads",
    )


def lead_parts(tracks: tuple[TrackLeads, ...], barn: Barn) -> Several | None:
    """Return how many poles were passed on each lead, by parts of the course; a table a track."""
    return Several(tuple(_by_part(track, barn) for track in tracks)) if tracks else None


def _by_part(track: TrackLeads, barn: Barn) -> Table:
    columns = (
        Column("part"),
        Column("left", "right"),
        Column("right", "right"),
        Column("works", "right"),
    )
    rows = tuple((one.part, *_counts(one, barn)) for one in track.parts)
    return Table(
        columns,
        (*rows, ("in all", *_counts(track, barn))),
        title=f"Leads at {track.course.name}, by part of the course",
        note=lead_parts_note(track),
        half=True,
        group="leads",
    )


def _counts(one: PartLeads | TrackLeads, barn: Barn) -> tuple[str, str, str]:
    return written(one.left, barn), written(one.right, barn), written(one.works, barn)
