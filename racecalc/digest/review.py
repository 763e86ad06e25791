"""One work looked at closely: its furlongs, the fractions, the horse's line, the GPS track."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from racecalc import pace
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.course import Course
from racecalc.digest.footing_effect import FootingEffect, footing_effects
from racecalc.digest.leads import leads_of
from racecalc.digest.leads_model import WorkLeads
from racecalc.digest.model import Horse
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import clock_error_of, horse_of
from racecalc.digest.trace import Trace, trace_of
from racecalc.digest.work import Records, cut_of, records_of, splits_of, start_of, work_of
from racecalc.digest.work_model import LinePoint, Section, Shape, Work
from racecalc.errors import OutOfRangeError
from racecalc.notation import write_pole

__all__ = ["Furlong", "WorkReview", "build_review"]


_METRIC_PIECE_M = 200.0
# What was asked of a work, from least to most.
_EFFORTS = ("easy", "steady", "threshold", "sharp", "full")
_FEWEST_TO_COMPARE = 3
# One running time alone is no set of fractions.
_FEWEST_FRACTIONS = 2


@dataclass(frozen=True)
class Furlong:
    """A furlong of a work, or 200 m of a metric one, up to a pole.

    ``interpolated`` tells that a pole at one of its ends was missed, and its time set at even pace
    between the clocks before and after. ``length`` is there for a piece that is not a whole one.
    """

    pole: str
    colour: str | None
    distance_m: float
    length: Number | None
    gallop_out: bool
    interpolated: bool
    time: Number


@dataclass(frozen=True)
class WorkReview:
    """One work, with what it is compared with.

    ``line`` is the horse's line over works of one distance, track and start, up to this one.
    ``pace`` is the mean, a furlong or, of a metric work, 200 m, and ``paces`` those of the
    work's sections, in their order; ``fractions`` the running times at
    the quarters, as far as clocked; ``furlongs`` the work by furlongs, or by 200 m, where a pole
    was missed, and none where every pole was clocked; ``asked_more`` whether
    more was asked than in every earlier work of the line, ``quickest_of`` how many works of the
    line it is the quickest of, beyond the error of the watch; ``footing`` what each state of the
    track did to times; ``trace`` what a GPS receiver saw, if any; ``leads`` those noted, if any.
    """

    barn: Barn
    horse: Horse
    work: Work
    pace: Number | None
    paces: tuple[Number, ...]
    shape: Shape | None
    fractions: tuple[Number, ...]
    furlongs: tuple[Furlong, ...]
    line: tuple[LinePoint, ...]
    asked_more: bool
    quickest_of: Number | None
    footing: tuple[FootingEffect, ...]
    trace: Trace | None
    leads: WorkLeads | None
    clock_error: Number
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the review, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_review(record: HorseBook, work: str) -> WorkReview:
    """Return the review of one work of the horse.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    work : str
        The id of the work.

    Raises
    ------
    OutOfRangeError
        If the slice holds no such work.
    """
    works = record.tables["works"]
    rows = works[works["work"] == work]
    if rows.empty:
        known = ", ".join(works["work"].tail(5)) or "none"
        raise OutOfRangeError(
            f"no work of {record.horse} has the id “{work}”; its newest are {known}"
        )
    row = rows.iloc[0].to_dict()
    timed = [work] if row["time_s"] > 0 else []
    records, line = records_of(record, timed)
    found = work_of(row, records)
    tracks = record.tables["tracks"]
    at = tracks[tracks["track"] == row["track"]].iloc[0].to_dict()
    clock_error = clock_error_of(record.barn)
    return WorkReview(
        barn=record.barn,
        horse=horse_of(record),
        work=found,
        pace=_mean_pace(found),
        paces=tuple(_pace(found, section) for section in found.sections),
        shape=_shape(found, cut_of(row, records, splits_of(row, records)), records.one_s),
        fractions=_fractions(row, records),
        furlongs=_furlongs(row, records, found.course),
        line=line,
        asked_more=_asked_more(line),
        quickest_of=_quickest_of(line, clock_error.value),
        footing=footing_effects(works, record.tables["string"], row["track"], row["date"])
        if timed
        else (),
        trace=trace_of(record.tables["gps"], at, found, clock_error.value),
        leads=leads_of(row, records.splits, found.course),
        clock_error=clock_error,
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )


def _is_metric(work: Work) -> bool:
    return pace.spacing_of(work.distance.value) == _METRIC_PIECE_M


def _mean_pace(work: Work) -> Number | None:
    if work.time is None or not _is_metric(work):
        return work.pace
    value = float(pace.seconds_per_200m(work.distance.value, work.time.value))
    name = f"works.{work.id}.seconds_per_200m"
    return Number(name, value, "pace_200m", "racecalc.pace.seconds_per_200m", 1)


def _pace(work: Work, section: Section) -> Number:
    if _is_metric(work):
        value = float(pace.seconds_per_200m(section.distance_m, section.time.value))
        name = f"works.{work.id}.pace_200m.{section.pole}"
        return Number(name, value, "pace_200m", "racecalc.pace.seconds_per_200m", 2)
    name = f"works.{work.id}.pace.{section.pole}"
    return Number(name, section.pace_s, "pace", "racecalc.pace.sections", 2)


def _asked_more(line: tuple[LinePoint, ...]) -> bool:
    """Tell whether the newest work was asked for more; not where one effort is not known."""
    efforts = [point.effort for point in line]
    if len(efforts) < _FEWEST_TO_COMPARE or None in efforts:
        return False
    *before, newest = (_EFFORTS.index(effort) for effort in efforts if effort)
    return newest > max(before)


def _quickest_of(line: tuple[LinePoint, ...], difference_s: float) -> Number | None:
    *before, newest = (point.time.value for point in line) if line else (0.0,)
    if len(line) < _FEWEST_TO_COMPARE or not newest < min(before) - difference_s:
        return None
    name = f"line.{line[-1].work}.quickest_of"
    return Number(name, len(line), "count", "racecalc.digest.build_review", len(line))


def _clocks(row: Mapping[Any, Any], records: Records) -> dict[str, Any]:
    """Return what `racecalc.pace` wants to know of one work."""
    own = splits_of(row, records)
    return {
        "distance_m": row["distance_m"],
        "time_s": row["time_s"],
        "to_finish_m": own["to_finish_m"],
        "clock_s": own["clock_s"],
        "from_pole_m": start_of(row, records.courses[row["track"]]),
    }


def _fractions(row: Mapping[Any, Any], records: Records) -> tuple[Number, ...]:
    found = pace.fractions(**_clocks(row, records))
    if len(found) < _FEWEST_FRACTIONS:
        return ()
    return tuple(
        Number(
            f"works.{row['work']}.fraction.{write_pole(one['to_finish_m'])}",
            float(one["clock_s"]),
            "clock",
            "racecalc.pace.fractions",
            1,
        )
        for one in found.to_dict("records")
    )


def _furlongs(row: Mapping[Any, Any], records: Records, course: Course) -> tuple[Furlong, ...]:
    clocks = _clocks(row, records)
    cut = pace.furlongs(**clocks, one_s=records.one_s, spacing_m=course.piece_m)
    # Without a clock on the way, even furlongs would be the mean said over and over.
    if clocks["clock_s"].empty or not cut["interpolated"].any():
        return ()
    known = cut[cut["time_s"].notna()]
    return tuple(_furlong(row["work"], one, course) for one in known.to_dict("records"))


def _furlong(work: str, row: Mapping[Any, Any], course: Course) -> Furlong:
    to_finish_m = round(float(row["to_finish_m"]), 6)
    pole = write_pole(to_finish_m)
    guessed = bool(row["interpolated"])
    return Furlong(
        pole=pole,
        colour=course.colour_at(to_finish_m),
        distance_m=float(row["distance_m"]),
        length=None
        if row["whole"]
        else Number(
            f"works.{work}.furlong.{pole}.length",
            float(row["distance_m"]),
            "distance",
            "racecalc.pace.furlongs",
            0,
        ),
        gallop_out=bool(row["gallop_out"]),
        interpolated=guessed,
        time=Number(
            f"works.{work}.furlong.{pole}",
            float(row["time_s"]),
            "interpolated" if guessed else "split",
            "racecalc.pace.furlongs",
            2,
            caveat="interpolated at even pace" if guessed else None,
        ),
    )


def _shape(work: Work, cut: pd.DataFrame | None, one_s: float) -> Shape | None:
    """Tell how a work was run, where it has a time and clocks enough on the way to tell."""
    if cut is None or work.time is None:
        return None
    timed = cut[~cut["gallop_out"]]
    # A standing start is no pace: from the gate the first section is left aside.
    timed = timed.iloc[1:] if work.from_gate else timed
    even = pace.evenness(timed, one_s)
    finish = pace.finish_against_start(timed, one_s)
    if even.verdict is None and math.isnan(finish.change_s):
        return None

    def told(key: str, value: float, kind: str, by: str) -> Number | None:
        name = f"works.{work.id}.{key}"
        return None if math.isnan(value) else Number(name, value, kind, by, len(timed))

    return Shape(
        spread=told("spread", even.spread_s, "pace_range", "racecalc.pace.evenness"),
        even=None if even.verdict is None else even.verdict == "even",
        finish=told(
            "finish", finish.change_s, "pace_difference", "racecalc.pace.finish_against_start"
        )
        if finish.verdict
        else None,
        finish_verdict=finish.verdict,
    )
