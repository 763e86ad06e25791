"""Leads as they were noted at the poles: of one work, and by the parts of a course over a year."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pandas as pd

from racecalc import track
from racecalc.daybook import HorseBook
from racecalc.digest.course import Course, courses_of
from racecalc.digest.leads_model import LeadNote, LeadStretch, PartLeads, TrackLeads, WorkLeads
from racecalc.digest.number import Number
from racecalc.digest.work import chute_of, start_of
from racecalc.notation import write_pole
from racecalc.workload import between_days

__all__ = ["LEAD_STUDIES", "LeadStudy", "leads_of", "leads_until", "newest_leads"]

_READ = "racecalc.daybook.read"
_YEAR_DAYS = 365
# Poles are read exactly; a centimetre only absorbs float noise.
_SAME_PLACE_M = 0.01


@dataclass(frozen=True)
class LeadStudy:
    """What a study found of the lead that horses prefer: percent on the right one, and when."""

    key: str
    right_pct: float
    when: str


# Abstracts of both; they disagree.
LEAD_STUDIES = (
    LeadStudy("williams_norris_2007", 90.0, "preferred the right lead"),
    LeadStudy("cully_2018", 48.74, "left the starting stalls on it"),
)


def leads_of(row: Mapping[Any, Any], splits: pd.DataFrame, course: Course) -> WorkLeads | None:
    """Return the leads noted in one work, or nothing where none was.

    Parameters
    ----------
    row : dict
        The work's row in the daybook's table.
    splits : DataFrame
        The horse's table of splits.
    course : Course
        The track of the work.
    """
    own = splits[splits["work"] == row["work"]].sort_values("to_finish_m", ascending=False)
    noted = own[own["lead"].notna()]
    if noted.empty:
        return None
    start_m = start_of(row, course)
    end_m, chute = start_m - float(row["distance_m"]), chute_of(row, course, start_m)
    notes = tuple(
        _note(float(place_m), str(lead), course, chute, end_m)
        for place_m, lead in zip(noted["to_finish_m"], noted["lead"], strict=True)
    )
    stretches = tuple(
        LeadStretch(begin, end, _parts(course, chute, begin, end)) for begin, end in pairwise(notes)
    )
    changes = sum(stretch.lead is None for stretch in stretches)
    name = f"works.{row['work']}.leads"
    return WorkLeads(
        work=row["work"],
        day=row["date"].date(),
        course=course,
        start_m=start_m,
        end_m=end_m,
        start_in=chute,
        notes=notes,
        stretches=stretches,
        without=tuple(write_pole(float(m)) for m in own[own["lead"].isna()]["to_finish_m"]),
        noted=_count(f"{name}.noted", len(notes), _READ, len(own)),
        poles=_count(f"{name}.poles", len(own), _READ, len(own)),
        changes=_count(f"{name}.changes", changes, "racecalc.digest.leads.leads_of", len(notes))
        if changes
        else None,
    )


def _count(name: str, value: int, made_by: str, n: int) -> Number:
    return Number(name, float(value), "count", made_by, n)


def _note(
    place_m: float, lead: str, course: Course, chute: track.Chute | None, end_m: float
) -> LeadNote:
    part = course.part_at(place_m, chute)
    return LeadNote(
        pole=write_pole(place_m),
        colour=None if part == "chute" else course.colour_at(place_m),
        to_finish_m=place_m,
        part=part,
        lead=lead,
        gallop_out=place_m < end_m - _SAME_PLACE_M,
    )


def _parts(
    course: Course, chute: track.Chute | None, begin: LeadNote, end: LeadNote
) -> tuple[str, ...]:
    """Return the parts that a stretch covers, each once though it is more than a lap."""
    if course.oval is None or begin.part is None:
        return ()
    found, from_m = [begin.part], begin.to_finish_m
    if begin.part == "chute" and chute is not None:
        if end.to_finish_m > chute.joins_m - _SAME_PLACE_M:
            return ("chute",)
        found, from_m = ["chute", chute.part], chute.joins_m
    found += [part for part, _ in track.turns(course.oval, from_m, end.to_finish_m)]
    return tuple(dict.fromkeys(found))


def leads_until(record: HorseBook, last: date) -> tuple[TrackLeads, ...]:
    """Return the leads noted in the works of the year up to a day, the most used track first.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    last : date
        The last day.
    """
    by_track: dict[str, list[WorkLeads]] = {}
    for leads in _of_year(record, last):
        by_track.setdefault(leads.course.id, []).append(leads)
    ordered = sorted(by_track.values(), key=lambda works: (-len(works), works[0].course.id))
    return tuple(_of_track(works, last) for works in ordered)


def newest_leads(record: HorseBook, last: date) -> WorkLeads | None:
    """Return the newest work with leads in the year up to a day, or nothing where there is none."""
    found = _of_year(record, last)
    return found[-1] if found else None


def _first_day(last: date) -> date:
    return last - timedelta(days=_YEAR_DAYS - 1)


def _of_year(record: HorseBook, last: date) -> list[WorkLeads]:
    """Return the works with leads of the year up to a day, the oldest first."""
    courses, splits = courses_of(record.tables["tracks"]), record.tables["splits"]
    inside = between_days(record.tables["works"], _first_day(last), last)
    ordered = inside.sort_values(["date", "work"], kind="stable").to_dict("records")
    found = (leads_of(row, splits, courses[row["track"]]) for row in ordered)
    return [leads for leads in found if leads is not None]


def _of_track(works: Sequence[WorkLeads], last: date) -> TrackLeads:
    course = works[0].course
    name = f"leads.{course.id}"
    left, right, count = _counts(name, works, None)
    here = {note.part for leads in works for note in leads.notes}
    parts = (part for part in track.PARTS if part in here)
    return TrackLeads(
        course=course,
        first=_first_day(last),
        last=last,
        parts=tuple(PartLeads(part, *_counts(f"{name}.{part}", works, part)) for part in parts),
        left=left,
        right=right,
        works=count,
    )


def _counts(
    name: str, works: Sequence[WorkLeads], part: str | None
) -> tuple[Number, Number, Number]:
    """Count the poles passed on each lead, on one part or all, and the works with such a pole."""
    found = [
        (leads.work, note.lead)
        for leads in works
        for note in leads.notes
        if part is None or note.part == part
    ]
    made_by = "racecalc.digest.leads.leads_until"
    left, right = (sum(lead == side for _, lead in found) for side in ("left", "right"))
    return (
        _count(f"{name}.left", left, made_by, len(found)),
        _count(f"{name}.right", right, made_by, len(found)),
        _count(f"{name}.works", len({work for work, _ in found}), made_by, len(found)),
    )
