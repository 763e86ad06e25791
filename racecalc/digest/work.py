"""One work from its row in the book: time, pace and speed, cut at the poles that were clocked."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from racecalc import pace, track, units
from racecalc.daybook import HorseBook
from racecalc.digest import line
from racecalc.digest.course import Course, courses_of
from racecalc.digest.number import Number
from racecalc.digest.rows import rows_of
from racecalc.digest.settings import clock_sources_of, one_clock_s
from racecalc.digest.work_model import LinePoint, LooseClock, Section, Stand, Work
from racecalc.notation import write_pole

__all__ = ["Records", "chute_of", "cut_of", "records_of", "splits_of", "start_of", "work_of"]

_SPLITS = "racecalc.pace.sections"
_READ = "racecalc.daybook.read"

# Poles and distances are read exactly; a centimetre only absorbs float noise.
_SAME_PLACE_M = 0.01


@dataclass(frozen=True)
class Records:
    """What the works of one horse are told from.

    Parameters
    ----------
    works, splits : DataFrame
        The horse's tables of the daybook, all months.
    courses : dict
        Every `Course` of the book by track id.
    one_s : float
        How far one hand-taken time may lie from the true one, in seconds.
    clock_sources : tuple of str
        Where that is from.
    stands : dict
        How works stand to the horse's line, by work id.
    """

    works: pd.DataFrame
    splits: pd.DataFrame
    courses: Mapping[str, Course]
    one_s: float
    clock_sources: tuple[str, ...]
    stands: Mapping[str, Stand]


def records_of(record: HorseBook, timed: Sequence[str]) -> tuple[Records, tuple[LinePoint, ...]]:
    """Return what works are told from, and the line over works like the last one named.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    timed : sequence of str
        The ids of the timed works that are told of.
    """
    works, one_s = record.tables["works"], one_clock_s(record.barn)
    same = line.alike(works, timed[-1]) if timed else works.iloc[:0]
    expected = line.expected(
        works,
        record.tables["string"],
        one_s,
        record.barn.clock,
        dict.fromkeys([*timed, *same["work"]]),
    )
    records = Records(
        works=works,
        splits=record.tables["splits"],
        courses=courses_of(record.tables["tracks"]),
        one_s=one_s,
        clock_sources=clock_sources_of(record.barn),
        stands=line.stands(expected),
    )
    return records, line.points(same, expected)


def work_of(row: Mapping[Any, Any], records: Records) -> Work:
    """Return one work, from its row in the table of works."""
    name = f"works.{row['work']}"
    distance_m, time_s = float(row["distance_m"]), float(row["time_s"])
    course = records.courses[row["track"]]
    start_m = start_of(row, course)
    own = splits_of(row, records)
    timed, cut = time_s > 0, cut_of(row, records, own)
    return Work(
        id=row["work"],
        day=row["date"].date(),
        course=course,
        start_m=start_m,
        end_m=start_m - distance_m,
        start_in=chute_of(row, course, start_m),
        manner=row["manner"],
        effort=row["effort"],
        from_gate=bool(row["from_gate"]),
        state=row["state"],
        distance=Number(f"{name}.distance", distance_m, "distance", _READ, 1),
        time=Number(f"{name}.time", time_s, "clock", _READ, 1) if timed else None,
        pace=_pace(f"{name}.seconds_per_furlong", distance_m, time_s) if timed else None,
        speed=_speed(f"{name}.speed", distance_m, time_s) if timed else None,
        sections=_sections(name, row, cut, own, records.one_s, course),
        loose=_loose(name, cut, own, course),
        stand=records.stands.get(row["work"]),
        note=row["note"],
    )


def start_of(row: Mapping[Any, Any], course: Course) -> float:
    """Return what is left to the finish where a work begins, whole laps included, in metres."""
    distance_m, pole_m = float(row["distance_m"]), float(row["from_pole_m"])
    if not pole_m > 0:
        return distance_m
    laps = max(0, math.ceil((distance_m - pole_m - _SAME_PLACE_M) / course.lap_m))
    return pole_m + laps * course.lap_m


def chute_of(row: Mapping[Any, Any], course: Course, start_m: float) -> track.Chute | None:
    """Return the chute in which a work began: from the gate, or where the oval has no pole."""
    chute = course.chute_at(start_m)
    at_a_pole = course.pole_at(start_m) is not None
    return None if chute is None or (at_a_pole and not row["from_gate"]) else chute


def _loose(
    name: str, cut: pd.DataFrame | None, own: pd.DataFrame, course: Course
) -> tuple[LooseClock, ...]:
    """Return the clocks that end no section, as those behind an end that was not clocked."""
    if cut is None:
        return ()
    known = set(cut["to_finish_m"].round(1))
    clocked = zip(own["clock_s"], own["to_finish_m"], own["lead"], strict=True)
    loose = [one for one in clocked if one[0] > 0 and round(float(one[1]), 1) not in known]
    return tuple(
        LooseClock(
            pole=write_pole(float(place_m)),
            colour=course.colour_at(float(place_m)),
            clock=Number(
                f"{name}.clock.{write_pole(float(place_m))}", float(clock_s), "clock", _READ, 1
            ),
            lead=lead,
        )
        for clock_s, place_m, lead in sorted(loose, key=lambda one: one[0])
    )


def _pace(name: str, distance_m: float, time_s: float) -> Number:
    value = float(pace.seconds_per_furlong(distance_m, time_s))
    return Number(name, value, "pace", "racecalc.pace.seconds_per_furlong", 1)


def _speed(name: str, distance_m: float, time_s: float) -> Number:
    value = float(pace.speed_m_s(distance_m, time_s))
    return Number(name, value, "speed", "racecalc.pace.speed_m_s", 1)


def splits_of(row: Mapping[Any, Any], records: Records) -> pd.DataFrame:
    """Return the splits of a work."""
    own: pd.DataFrame = records.splits[records.splits["work"] == row["work"]]
    return own


def cut_of(row: Mapping[Any, Any], records: Records, own: pd.DataFrame) -> pd.DataFrame | None:
    """Cut a work at its own splits; one clocked nowhere but at its end has no sections to show."""
    if own.empty:
        return None
    return pace.sections(
        row["distance_m"],
        row["time_s"],
        own["to_finish_m"],
        own["clock_s"],
        from_pole_m=start_of(row, records.courses[row["track"]]),
        one_s=records.one_s,
    )


def _sections(
    name: str,
    row: Mapping[Any, Any],
    cut: pd.DataFrame | None,
    own: pd.DataFrame,
    one_s: float,
    course: Course,
) -> tuple[Section, ...]:
    if cut is None:
        return ()
    leads = dict(zip(own["to_finish_m"].round(1), own["lead"], strict=True))
    found = tuple(_section(name, section, leads, course) for section in rows_of(cut))
    # One test for the whole work: sections of an even work are not told apart.
    if pace.evenness(cut, one_s).verdict == "even":
        return found
    mean = float(row["time_s"]) / float(units.furlongs(row["distance_m"]))
    return tuple(replace(section, tempo=_tempo(section, mean)) for section in found)


def _tempo(section: Section, mean: float) -> str:
    """Compare a section with the mean pace of its work; alike where that is not known."""
    difference = section.pace_s - mean
    if not abs(difference) > section.pace_error_s:
        return "alike"
    return "quicker" if difference < 0 else "slower"


def _section(
    name: str,
    row: Mapping[Any, Any],
    leads: Mapping[float, str | None],
    course: Course,
) -> Section:
    to_finish_m = float(row["to_finish_m"])
    pole = write_pole(to_finish_m)
    return Section(
        pole=pole,
        colour=course.colour_at(to_finish_m),
        from_m=float(row["from_m"]),
        to_finish_m=to_finish_m,
        distance_m=float(row["distance_m"]),
        gallop_out=bool(row["gallop_out"]),
        time=Number(f"{name}.split.{pole}", float(row["time_s"]), "split", _SPLITS, 2),
        clock=Number(f"{name}.clock.{pole}", float(row["clock_s"]), "clock", _READ, 1),
        pace_s=float(row["seconds_per_furlong"]),
        pace_error_s=float(row["pace_error_s"]),
        tempo="alike",
        lead=leads.get(round(to_finish_m, 1)),
    )
