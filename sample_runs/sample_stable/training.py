"""The daily log: what each horse did on the days between its works."""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from random import Random

from sample_stable.barn import MILE, TRAINING
from sample_stable.calendar import chance, day, days
from sample_stable.fitness import STEPS_M_S
from sample_stable.sky import NO_WORK_STATES
from sample_stable.story import Horse, Race
from sample_stable.works import States, Work
from sample_stable.writing import (
    METRES_PER_FURLONG,
    clock_text,
    distance_text,
    minutes_text,
)

__all__ = ["exercise_rows"]

# Metres per second, low and high.
_SPEED = {"walk": (1.7, 1.9), "jog": (3.8, 4.7), "canter": (7.3, 8.7), "gallop": (11.2, 12.6)}
_TIMES = {"treadmill": "15:00", "swim": "5:00"}
_NO_RECORD_CHANCE = 0.008


@dataclass(frozen=True)
class _Piece:
    """A part of a day: what, how far, and where it matters the time."""

    activity: str
    furlongs: Fraction | int | None = None
    time: str = ""
    on_track: bool = True
    note: str = ""


def exercise_rows(horse: Horse, works: list[Work], states: States) -> list[tuple[str, ...]]:
    """Return the daily log of a horse, works left out."""
    rng = chance("exercise", horse.id)
    work_days = {work.on: work for work in works}
    notes = {day(text): note for text, note in horse.day_notes}
    rows = []
    for on in days(horse.first_day, horse.last_day):
        pieces = _pieces(horse, on, work_days, rng)
        is_special = on in work_days or on in notes or horse.turn(on) in ("turnout", "walk")
        if not is_special and rng.random() < _NO_RECORD_CHANCE:
            continue
        tested = on.isoformat() in horse.test_days
        track = TRAINING.id if tested else _where(on, states, work_days)
        for position, piece in enumerate(pieces):
            note = piece.note or (notes.get(on, "") if position == len(pieces) - 1 else "")
            rows.append(_row(horse, on, piece, track, note, rng))
    return rows


def _where(on: date, states: States, work_days: dict[date, Work]) -> str:
    if on in work_days:
        return work_days[on].track.id
    return TRAINING.id if states[MILE.id, on] in NO_WORK_STATES else MILE.id


def _row(
    horse: Horse, on: date, piece: _Piece, track: str, note: str, rng: Random
) -> tuple[str, ...]:
    is_ridden = piece.activity in ("jog", "canter", "gallop")
    distance = distance_text(piece.furlongs) if piece.furlongs else ""
    time = piece.time
    if piece.furlongs and not time and piece.activity in _SPEED:
        seconds = float(piece.furlongs) * METRES_PER_FURLONG / rng.uniform(*_SPEED[piece.activity])
        time = minutes_text(seconds)
    if piece.activity == "race":
        track = MILE.id
    is_there = piece.on_track and piece.activity not in ("rest", "turnout", "walk")
    return (
        on.isoformat(),
        horse.id,
        piece.activity,
        distance,
        time,
        track if is_there else "",
        horse.rider if is_ridden else "",
        note,
    )


def _pieces(horse: Horse, on: date, work_days: dict[date, Work], rng: Random) -> list[_Piece]:
    races = {day(race.date): race for race in horse.races}
    if on in races:
        return _race_day(races[on])
    if on.isoformat() in horse.test_days:
        return _test_day()
    if on in work_days:
        return [_Piece("jog", 4)]
    yesterday = on - timedelta(days=1)
    if yesterday in work_days or yesterday.isoformat() in horse.test_days:
        return [_Piece("walk", 8)]
    since_race = min(((on - start).days for start in races if start < on), default=99)
    if since_race <= 3:
        return [_Piece("walk", 8)] if since_race < 3 else [_Piece("jog", 8)]
    return _TURNS[horse.turn(on)](horse, on, rng)


def _race_day(race: Race) -> list[_Piece]:
    return [
        _Piece("walk", 4),
        _Piece("race", race.furlongs, clock_text(race.fifths), note=race.note),
    ]


def _test_day() -> list[_Piece]:
    """Return the step test as ground: a jog, then five furlongs at each speed."""
    pieces = [_Piece("jog", 6, note="a step test, five furlongs at each speed")]
    for speed_m_s in STEPS_M_S:
        activity = "canter" if speed_m_s < 10 else "gallop"
        time = minutes_text(5 * METRES_PER_FURLONG / speed_m_s)
        pieces.append(_Piece(activity, 5, time))
    return pieces


def _turned_out(horse: Horse, on: date, rng: Random) -> list[_Piece]:
    return [_Piece("turnout")]


def _walking(horse: Horse, on: date, rng: Random) -> list[_Piece]:
    return [_Piece("walk", rng.choice((6, 8, 8)))]


def _easy(horse: Horse, on: date, rng: Random) -> list[_Piece]:
    if on.weekday() == 6:
        return [_Piece("rest")]
    if horse.has_pool_days and on.weekday() in (1, 4):
        activity = "swim" if on.weekday() == 1 else "treadmill"
        return [
            _Piece("walk", 4),
            _Piece(activity, None, _TIMES[activity], on_track=False),
        ]
    return [_Piece("walk", 4), _Piece("jog", rng.choice((8, 10, 12)))]


def _cantering(horse: Horse, on: date, rng: Random) -> list[_Piece]:
    if on.weekday() in (0, 2, 4, 6):
        return _easy(horse, on, rng)
    return [_Piece("jog", 8), _Piece("canter", rng.choice((6, 8, 8)))]


def _galloping(horse: Horse, on: date, rng: Random) -> list[_Piece]:
    if on.weekday() == 6:
        return [_Piece("rest")]
    if on.weekday() == 0:
        return [_Piece("walk", 4), _Piece("jog", rng.choice((10, 12)))]
    if horse.is_growing and on.weekday() in (2, 4):
        return [_Piece("jog", 8), _Piece("canter", 8)]
    far = (8, 8, 10) if horse.is_growing else (10, 10, 12, 12)
    return [_Piece("jog", rng.choice((6, 8))), _Piece("gallop", rng.choice(far))]


_TURNS = {
    "turnout": _turned_out,
    "walk": _walking,
    "easy": _easy,
    "canter": _cantering,
    "gallop": _galloping,
    "work": _galloping,
}
