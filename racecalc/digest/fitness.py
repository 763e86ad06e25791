"""Exercise tests of one horse as a report tells of them, each against the one before."""

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pandas as pd

from racecalc import fitness, units
from racecalc.digest.fitness_model import FitnessTest, Recovered, TestChanged, TestStep, Threshold
from racecalc.digest.number import Number

__all__ = ["in_short", "newest_test", "tests_until", "without_steps"]

_READ = "racecalc.daybook.read"

# A test older than this says little of a horse in training. A choice.
_OLD = timedelta(days=183)

# Between the steps a line is drawn through so many points.
_POINTS = 30

_SOURCES = {
    "v4": ("lindner_2010", "davie_evans_2000", "steady_lactate"),
    "v200": ("gallop_heart_rate_2019", "lindner_2010"),
    "v_peak": ("vermeulen_evans_2006",),
}
# V200 and the speed at the highest rate are published to repeat within 2 %; of V4 nothing is.
_REPEATS = {"v4": None, "v200": fitness.REPEATS_WITHIN, "v_peak": fitness.REPEATS_WITHIN}


def newest_test(tests: tuple[FitnessTest, ...], last: date) -> FitnessTest | None:
    """Return the newest test, where it is not older than half a year."""
    return tests[-1] if tests and last - tests[-1].day <= _OLD else None


def in_short(test: FitnessTest) -> FitnessTest:
    """Return a test without its steps, and without what only a report on tests has room for."""
    peak = replace(test.v_peak, pace=None)
    return replace(without_steps(test), v_peak=peak, peak=None, heart_line=(), lactate_curve=())


def without_steps(test: FitnessTest) -> FitnessTest:
    """Return a test without its steps, and of its recoveries only that after a minute."""
    return replace(test, steps=(), recovered=())


def tests_until(table: pd.DataFrame, last: date) -> tuple[FitnessTest, ...]:
    """Return the tests up to a day, oldest first, each compared with the one before it.

    Parameters
    ----------
    table : DataFrame
        The daybook's table ``fitness`` of one horse.
    last : date
        The last day.
    """
    found = fitness.tests_of(table[table["date"] <= pd.Timestamp(last)])
    told: list[FitnessTest] = []
    for test in found:
        if test.steps or test.recoveries:
            told.append(_told(test, told[-1] if told else None))
    return tuple(told)


def _told(test: fitness.ExerciseTest, before: FitnessTest | None) -> FitnessTest:
    name = f"fitness.{test.day.isoformat()}"
    line = fitness.heart_line(*test.points("heart_rate_bpm"))
    curve = fitness.lactate_curve(*test.points("lactate_mmol_l"))
    readings = {
        "v4": fitness.speed_at_lactate(curve),
        "v200": fitness.speed_at_heart_rate(line),
        "v_peak": fitness.speed_at_peak(line),
    }
    read = {what: _threshold(name, what, one, before) for what, one in readings.items()}
    # A page has no room for more of the highest rate than its pace.
    read["v_peak"] = replace(read["v_peak"], low=None, high=None, change=None)
    recovered = _recovered(name, test)
    recovery = _after_a_minute(recovered)
    return FitnessTest(
        day=test.day,
        steps=tuple(_step(f"{name}.{n}", step) for n, step in enumerate(test.steps, 1)),
        **read,
        peak=_beats(f"{name}.peak", line.peak_bpm, len(test.steps)) if line else None,
        recovered=recovered,
        recovery=recovery,
        recovery_change=_recovery_change(name, recovery, before),
        heart_line=_heart_points(line),
        lactate_curve=_curve_points(curve),
    )


def _threshold(
    name: str, what: str, reading: fitness.Reading, before: FitnessTest | None
) -> Threshold:
    made_by = {
        "v4": "racecalc.fitness.speed_at_lactate",
        "v200": "racecalc.fitness.speed_at_heart_rate",
        "v_peak": "racecalc.fitness.speed_at_peak",
    }[what]

    def number(key: str, value: float | None) -> Number | None:
        if value is None:
            return None
        return Number(f"{name}.{what}{key}", value, "threshold", made_by, 1, _SOURCES[what])

    return Threshold(
        what=what,
        pace=number("", reading.speed_m_s),
        low=number(".low", reading.low_m_s),
        high=number(".high", reading.high_m_s),
        why=reading.why,
        reading=reading,
        change=_changed(name, what, reading, before),
    )


def _changed(
    name: str, what: str, reading: fitness.Reading, before: FitnessTest | None
) -> TestChanged | None:
    """Return the change since the test before, where both were read."""
    if before is None:
        return None
    found = fitness.change(getattr(before, what).reading, reading, _REPEATS[what])
    if found is None:
        return None
    sources = ("vermeulen_evans_2006",) if _REPEATS[what] else ()
    made_by = "racecalc.fitness.change"

    def number(key: str, value: float, kind: str) -> Number:
        return Number(f"{name}.{what}.{key}", value, kind, made_by, 2, sources)

    then, now = (_pace(one) for one in (getattr(before, what).reading, reading))
    # What a speed may be off, as a pace: at this pace a second is so many metres a second.
    limit = found.limit_m_s and found.limit_m_s * now * then / units.FURLONG_M
    return TestChanged(
        since=before.day,
        difference=number("change", now - then, "pace_change"),
        limit=None if limit is None else number("limit", limit, "pace_error"),
        real=found.real,
    )


def _pace(reading: fitness.Reading) -> float:
    """Return the seconds a furlong of a speed that was read."""
    return float(units.seconds_per_furlong(reading.speed_m_s or math.nan))


def _step(name: str, step: fitness.Step) -> TestStep:
    lactate = None
    if not np.isnan(step.lactate_mmol_l):
        lactate = Number(f"{name}.lactate", step.lactate_mmol_l, "lactate", _READ, 1)
    return TestStep(
        name=step.name,
        speed=Number(f"{name}.speed", step.speed_m_s, "speed", _READ, 1),
        heart_rate=_beats(f"{name}.heart_rate", step.heart_rate_bpm, 1),
        lactate=lactate,
    )


def _beats(name: str, value: float, rows: int) -> Number | None:
    return None if np.isnan(value) else Number(name, value, "pulse", _READ, rows)


def _recovered(name: str, test: fitness.ExerciseTest) -> tuple[Recovered, ...]:
    """Return the heart rates after the fastest step, by the minute."""
    return tuple(
        Recovered(
            one.minutes,
            Number(
                f"{name}.recovery.{one.minutes:g}min", one.heart_rate_bpm, "pulse", _READ, 1
            ),
        )
        for one in test.recoveries
        if one.last
    )  # fmt: skip


def _after_a_minute(recovered: tuple[Recovered, ...]) -> Number | None:
    found = [one.beats for one in recovered if one.minutes == fitness.RECOVERY_MINUTES]
    return found[0] if found else None


def _recovery_change(
    name: str, recovery: Number | None, before: FitnessTest | None
) -> Number | None:
    if recovery is None or before is None or before.recovery is None:
        return None
    difference = recovery.value - before.recovery.value
    made_by = "racecalc.digest.build_fitness"
    return Number(f"{name}.recovery.change", difference, "beats_change", made_by, 2)


def _heart_points(line: fitness.HeartLine | None) -> tuple[tuple[float, float], ...]:
    """Return the ends of the line; it goes on level from where it reaches the plateau."""
    if line is None:
        return ()
    ends = [line.slowest_m_s, line.fastest_m_s]
    points = [(speed, float(line.line.at(speed))) for speed in ends]
    if line.plateau_bpm is not None and line.level_m_s is not None and line.line.slope > 0:
        meets = line.line.middle_x + (line.plateau_bpm - line.line.middle_y) / line.line.slope
        points = [points[0], (meets, line.plateau_bpm)]
        points.append((max(line.level_m_s, meets), line.plateau_bpm))
    return tuple(points)


def _curve_points(curve: fitness.LactateCurve) -> tuple[tuple[float, float], ...]:
    if curve.line is None:
        return ()
    speeds = np.linspace(curve.speed_m_s[0], curve.speed_m_s[-1], _POINTS)
    return tuple(zip(speeds.tolist(), curve.at(speeds).tolist(), strict=True))
