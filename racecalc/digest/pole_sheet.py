"""The card for a work that is to be done: poles, the watch at each, leads, the way round."""

import math
from dataclasses import dataclass, replace
from datetime import date

from racecalc import track, units
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.course import Course, courses_of
from racecalc.digest.model import Horse
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import clock_error_of, horse_of
from racecalc.errors import NotationError, OutOfRangeError
from racecalc.notation import (
    Clock,
    read_clock,
    read_distance,
    read_length,
    read_pole,
    read_speed,
    write_distance,
    write_pole,
)

__all__ = ["Call", "LeadChange", "Place", "Plan", "PoleSheet", "Wide", "build_pole_sheet"]

_ASKED = "racecalc.digest.build_pole_sheet"

# A pace of an exercising horse, from a slow gallop up to the fastest that was ever run.
_SLOWEST_M_S, _FASTEST_M_S = 6.0, 20.5
_SHORTEST_M, _LONGEST_M = 100.0, units.FURLONG_M * 16
# More rows than these do not fit on the one page of a card.
_MOST_CALLS = 8
_CHANGES_OF_A_LAP = 4
_WIDEST_TOLERANCE_S = 2.0
_SAME_PLACE_M = 0.01


@dataclass(frozen=True)
class Plan:
    """A work laid on its track; in a chute, if it begins there."""

    course: Course
    run: track.Run
    chute: track.Chute | None


@dataclass(frozen=True)
class Place:
    """A place on the course: its pole, the colour of that, and the part where it lies.

    ``colour`` is missing at the finish, at metric poles and where no pole stands; ``part`` and
    ``lead`` (which horses usually take there) where it is not known where the turns are.
    """

    pole: str
    colour: str | None
    to_finish_m: float
    part: str | None
    lead: str | None


@dataclass(frozen=True)
class Call:
    """A pole on the way, and the watch there: as asked, and at the edges of the tolerance."""

    place: Place
    watch: Number
    early: Number
    late: Number


@dataclass(frozen=True)
class LeadChange:
    """Where a turn or a straight begins on the first lap, and the lead that horses usually take.

    ``offset`` is how far after ``after``, the pole passed before.
    """

    part: str
    lead: str
    to_finish_m: float
    after: str
    offset: Number


@dataclass(frozen=True)
class Wide:
    """A path outside the measuring line: the extra ground of the work, and its time as asked."""

    off_rail: Number
    extra: Number
    takes: Number


@dataclass(frozen=True)
class PoleSheet:
    """A work that is to be done, laid on its track.

    ``back_up`` is the pole to back up to, and missing where none stands behind the start, as in a
    chute; ``wide`` is the path asked for, ``wider`` what three feet, or a metre, more cost on one
    turn.
    """

    barn: Barn
    horse: Horse | None
    day: date
    plan: Plan
    distance: Number
    time: Number
    pace: Number
    speed: Number
    tolerance: Number
    run_up: Number
    clock_error: Number
    start: Place
    back_up: Place | None
    calls: tuple[Call, ...]
    leads: tuple[LeadChange, ...]
    wide: Wide | None
    wider: Wide | None
    bank: Number | None
    data_hash: str

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the sheet, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_pole_sheet(
    record: HorseBook,
    track_id: str,
    distance: str,
    asked: str,
    *,
    start: str = "",
    day: str,
    tolerance: float = 0.2,
    run_up: str = "",
    off_rail: str = "",
) -> PoleSheet:
    """Lay a work that is to be done on its track.

    Parameters
    ----------
    record : HorseBook
        A slice of the daybook; of no horse, or of the one that works.
    track_id : str
        The id of the track.
    distance : str
        Length of the work, such as ``6 f`` or ``1200 m``.
    asked : str
        The time of the whole work, such as ``1:13``, or its pace, such as ``12.2 s/f``.
    start : str
        The pole where it begins, such as ``3/4``, or ``chute``; blank: the work ends at the finish.
    day : str
        The day, ``2026-10-28``.
    tolerance : float
        How far the pace may be off either way, in seconds a furlong.
    run_up : str
        How far behind the start the horse turns and gallops in; blank: a furlong, or 200 m where
        the poles stand in metres.
    off_rail : str
        How far from the rail the work is run, such as ``20 ft``; blank: on the measuring line.

    Raises
    ------
    NotationError
        If a text cannot be read.
    OutOfRangeError
        If the track is unknown, has no such pole, or no horse can do what is asked.
    """
    course = _course(record, track_id)
    distance_m = _between(
        float(read_distance(distance)), _SHORTEST_M, _LONGEST_M, "distance", distance
    )
    speed = _speed(asked, distance_m, record.barn.clock)
    if not 0 <= tolerance <= _WIDEST_TOLERANCE_S:
        raise OutOfRangeError(
            f"tolerance of {tolerance:g} s a furlong: give 0 to {_WIDEST_TOLERANCE_S:g}"
        )
    plan = _plan(course, distance_m, start)
    run_up_m = float(read_distance(run_up)) if run_up else course.piece_m
    if run_up_m >= course.lap_m:
        raise OutOfRangeError(
            f"run-up “{run_up}”: a lap of {course.name} is {write_distance(course.lap_m)}; "
            "give less"
        )
    return PoleSheet(
        barn=record.barn,
        horse=horse_of(record) if record.horse else None,
        day=_day(day),
        plan=plan,
        distance=_asked("distance", distance_m, "distance"),
        time=_asked("time", distance_m / speed, "watch"),
        pace=_asked("seconds_per_furlong", units.FURLONG_M / speed, "pace"),
        speed=_asked("speed", speed, "speed"),
        tolerance=_asked("tolerance", tolerance, "pace_range", "common practice, unless asked for"),
        run_up=_asked("run_up", run_up_m, "distance", "common practice, unless asked for"),
        clock_error=clock_error_of(record.barn),
        start=_place(plan, plan.run.start_m),
        back_up=_back_up(plan, run_up_m),
        calls=_calls(plan, speed, tolerance),
        leads=_leads(plan),
        wide=_wide(plan, speed, off_rail) if off_rail else None,
        wider=_wider(course, speed, record.barn),
        bank=_bank(course, speed),
        data_hash=record.data_hash,
    )


def _plan(course: Course, distance_m: float, start: str) -> Plan:
    if start == "chute":
        return Plan(
            course,
            track.run(course.lap_m, course.spacing_m, distance_m),
            _chute(course, distance_m),
        )
    begin_m = float(read_pole(start)) if start else None
    return Plan(course, track.run(course.lap_m, course.spacing_m, distance_m, begin_m), None)


def _course(record: HorseBook, track_id: str) -> Course:
    courses = courses_of(record.tables["tracks"])
    if track_id not in courses:
        raise OutOfRangeError(
            f"no track has the id “{track_id}”; there are {', '.join(courses) or 'none'}"
        )
    return courses[track_id]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise NotationError(f"day “{text}” is no date; write it as 2026-10-28") from None


def _speed(asked: str, distance_m: float, clock: Clock) -> float:
    """Read a time of the whole work, or a pace."""
    try:
        speed = distance_m / float(read_clock(asked, clock=clock))
    except (NotationError, ZeroDivisionError):
        try:
            speed = float(read_speed(asked))
        except NotationError:
            raise NotationError(
                f"asked “{asked}” is neither a time nor a pace; write the time of the whole work, "
                "such as 1:13 2/5, or a pace, such as 12.2 s/f or 35 mph"
            ) from None
    return _between(speed, _SLOWEST_M_S, _FASTEST_M_S, "asked", asked)


def _between(value: float, low: float, high: float, name: str, text: str) -> float:
    if not low <= value <= high:
        what = {
            "distance": f"give {write_distance(_SHORTEST_M)} to {write_distance(_LONGEST_M)}",
            "asked": f"that is {value:.1f} m/s; give {low:g} to {high:g} m/s",
        }[name]
        raise OutOfRangeError(f"{name} “{text}”: {what}")
    return value


def _asked(name: str, value: float, kind: str, caveat: str | None = None) -> Number:
    return Number(f"sheet.{name}", value, kind, _ASKED, 0, caveat=caveat)


def _chute(course: Course, distance_m: float) -> track.Chute:
    chute = course.chute_at(distance_m)
    if chute is not None:
        return chute
    known = ", ".join(write_distance(m) for m in (course.oval.chutes_m if course.oval else ()))
    raise OutOfRangeError(
        f"{course.name} has no chute for {write_distance(distance_m)}; "
        f"{f'it has {known}' if known else 'fill chutes in tracks'}"
    )


def _place(plan: Plan, to_finish_m: float) -> Place:
    course = plan.course
    part = course.part_at(to_finish_m, plan.chute)
    return Place(
        pole=write_pole(to_finish_m),
        colour=None if part == "chute" else course.colour_at(to_finish_m),
        to_finish_m=to_finish_m,
        part=part,
        lead=course.usual_lead(part),
    )


def _back_up(plan: Plan, run_up_m: float) -> Place | None:
    """Return the nearest pole that stands at least the run-up behind the start."""
    if plan.chute is not None:
        return None
    lap_m, start_m = plan.course.lap_m, plan.run.start_m
    standing = track.poles(lap_m, plan.course.spacing_m)
    behind = {
        place_m: track.between_m(lap_m, place_m, start_m)
        for place_m in (0.0, *(pole.to_finish_m for pole in standing))
    }
    enough = [place_m for place_m, way_m in behind.items() if way_m >= run_up_m - _SAME_PLACE_M]
    return _place(plan, min(enough, key=lambda place_m: behind[place_m])) if enough else None


def _calls(plan: Plan, speed: float, tolerance: float) -> tuple[Call, ...]:
    calls = []
    for passing in plan.run.passings:
        pole, gone = passing.pole, passing.run_m
        at_s, off_s = gone / speed, tolerance * float(units.furlongs(gone))
        name = f"sheet.{pole.name}"
        calls.append(
            Call(
                place=replace(_place(plan, pole.to_finish_m), pole=pole.name),
                watch=Number(f"{name}.watch", at_s, "watch", _ASKED, 0),
                early=Number(f"{name}.early", at_s - off_s, "watch", _ASKED, 0),
                late=Number(f"{name}.late", at_s + off_s, "watch_late", _ASKED, 0),
            )
        )
    return _thinned(calls)


def _thinned(calls: list[Call]) -> tuple[Call, ...]:
    """Leave out every other pole until a card has room; the end stays."""
    step = 1
    while len(calls[::-step]) > _MOST_CALLS:
        step *= 2
    return tuple(calls[::-step][::-1])


def _leads(plan: Plan) -> tuple[LeadChange, ...]:
    course, run = plan.course, plan.run
    if course.oval is None:
        return ()
    places = [(write_pole(run.start_m), run.start_m)]
    places += [(passing.pole.name, passing.pole.to_finish_m) for passing in run.passings]
    found: list[LeadChange] = []
    for part, to_finish_m in _corners(plan, course.oval):
        after, place_m = [place for place in places if place[1] >= to_finish_m - 1e-6][-1]
        offset = Number(
            f"sheet.lead.{part}",
            max(place_m - to_finish_m, 0.0),
            "offset",
            "racecalc.track.turns",
            0,
            sources=("practice_leads",),
        )
        found.append(LeadChange(part, course.usual_lead(part) or "", to_finish_m, after, offset))
    # The same, lap after lap.
    return tuple(found[:_CHANGES_OF_A_LAP])


def _corners(plan: Plan, oval: track.Oval) -> tuple[tuple[str, float], ...]:
    """Return where turns and straights begin on the way; in a chute the straight has begun."""
    begin_m = plan.run.start_m if plan.chute is None else plan.chute.joins_m
    return track.turns(oval, begin_m, plan.run.end_m)


def _wide(plan: Plan, speed: float, off_rail: str) -> Wide:
    oval, name = plan.course.oval, plan.course.name
    if oval is None:
        raise OutOfRangeError(
            f"off the rail “{off_rail}”: it is not known where the turns of {name} are; fill "
            "straight and finish_to_turn in tracks"
        )
    off_m = float(read_length(off_rail))
    if oval.width_m is not None and off_m > oval.width_m:
        raise OutOfRangeError(
            f"off the rail “{off_rail}”: {name} is {oval.width_m:.1f} m wide; give less"
        )
    begin_m = plan.run.start_m if plan.chute is None else plan.chute.joins_m
    extra_m = track.extra_m(oval, off_m - oval.rail_offset_m, begin_m, plan.run.end_m)
    return _wide_of("wide", off_m, float(extra_m), speed)


def _wide_of(name: str, off_m: float, extra_m: float, speed: float) -> Wide:
    made_by = "racecalc.track.extra_m"
    return Wide(
        off_rail=Number(f"sheet.{name}.off_rail", off_m, "offset", _ASKED, 0),
        extra=Number(f"sheet.{name}.extra", extra_m, "extra", made_by, 0),
        takes=Number(f"sheet.{name}.time", extra_m / speed, "small_time", made_by, 0),
    )


def _wider(course: Course, speed: float, barn: Barn) -> Wide | None:
    """Return what a path a step further out costs on one whole turn, on any radius."""
    out_m = 1.0 if barn.units == "metric" else 3 * units.FOOT_M
    return _wide_of("wider", out_m, math.pi * out_m, speed) if course.oval else None


def _bank(course: Course, speed: float) -> Number | None:
    if course.oval is None:
        return None
    slope = float(track.neutral_bank(speed, course.oval.turn_radius_m))
    return Number("sheet.neutral_bank", 100 * slope, "bank", "racecalc.track.neutral_bank", 0)
