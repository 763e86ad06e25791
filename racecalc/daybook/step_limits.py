"""What a row of an exercise test can hold: impossible values are errors, unlikely ones warnings.

The limits are this project's own choice. Hearts of Thoroughbreds at a gallop are printed at 213 and
214 beats a minute in the middle (standard deviations 5 and 11); the ends taken here, 20 at rest and
241 at a gallop, are remembered, not read. Lactate after a race or a run to fatigue is printed at
22.5 and 23.0 mmol/L in the middle (23 horses, standard error 1.2: one horse in forty lies above
34.5), so that 35 is rare; 0.3 at rest is remembered.
"""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from racecalc.daybook.table import Mask, Table

__all__ = ["check_readings"]

Floats = npt.NDArray[np.float64]

_HEART = (15.0, 260.0)
_USUAL_HEART = (20.0, 241.0)
_LEAST_DURING = 60.0  # a trot is printed at 140
_MOST_LACTATE = 60.0
_USUAL_LACTATE = (0.3, 35.0)
_MG_DL = 9.008  # one mmol of lactic acid is 90.08 mg
_DAY_MIN, _LATE_MIN = 1440.0, 180.0
# A walk is at most 2.5 m/s; sprints over 6 furlongs are won at 17.5 to 18 m/s.
_STEP_M_S = (2.5, 18.0)


def check_readings(table: Table) -> None:
    """Check each row of the table of exercise tests by itself.

    Heart rate and lactate in each other's columns are an error that says so. A reading without
    ``minutes_after`` was taken during its step. Speeds that no horse has are found elsewhere.
    """
    heart, lactate = table.values("heart_rate_bpm"), table.values("lactate_mmol_l")
    minutes, speed = table.values("minutes_after"), table.values("speed_m_s")
    exchanged = _exchanged(heart, lactate)
    table.flag(
        exchanged,
        "heart_rate",
        lambda i: (
            f"{table.cell(i, 'heart_rate')} and the lactate {table.cell(i, 'lactate')} stand in "
            "each other's columns; exchange them"
        ),
    )
    _check_heart(table, heart, np.isnan(minutes), exchanged)
    _check_lactate(table, lactate, exchanged)
    _check_minutes(table, minutes)
    slow_or_fast = _outside(speed, *_STEP_M_S) & np.isnan(minutes) & ~table.refused
    says = _unlikely(table, "speed", "a step is trotted, cantered or galloped, 2.5 to 18 m/s")
    table.flag(slow_or_fast, "speed", says, "warning")


def _outside(values: Floats, low: float, high: float) -> Mask:
    return np.asarray((values < low) | (values > high), dtype=np.bool_)


def _exchanged(heart: Floats, lactate: Floats) -> Mask:
    """Return where each value is one of the other kind, and one of them impossible where it is."""
    as_lactate = ~_outside(heart, 0, _USUAL_LACTATE[1]) & ~np.isnan(heart)
    as_heart = ~_outside(lactate, _USUAL_LACTATE[1], _HEART[1]) & ~np.isnan(lactate)
    impossible = (heart < _HEART[0]) | (lactate > _MOST_LACTATE)
    return np.asarray(as_lactate & as_heart & impossible, dtype=np.bool_)


def _check_heart(table: Table, heart: Floats, during: Mask, told: Mask) -> None:
    def impossible(i: int) -> str:
        alone = heart[i] < _HEART[0] and not table.text(i, "lactate")
        act = "if it is lactate, write it under lactate" if alone else "correct it"
        value = table.cell(i, "heart_rate")
        return f"{value} is impossible: a heart beats 15 to 260 times a minute; {act}"

    wrong = _outside(heart, *_HEART) & ~told
    table.flag(wrong, "heart_rate", impossible)
    rare = _outside(heart, *_USUAL_HEART) & ~wrong & ~told
    says = _unlikely(table, "heart_rate", "few hearts beat outside 20 to 241 times a minute")
    table.flag(rare, "heart_rate", says, "warning")
    table.flag(
        during & (heart < _LEAST_DURING) & ~rare & ~wrong & ~told,
        "heart_rate",
        lambda i: (
            f"{table.cell(i, 'heart_rate')} is unlikely during a step: a heart beats 60 to 241 "
            "times a minute then; check it, or fill in minutes_after if it was read later"
        ),
        "warning",
    )


def _check_lactate(table: Table, lactate: Floats, told: Mask) -> None:
    def impossible(i: int) -> str:
        value = table.cell(i, "lactate")
        said = f"{value} is impossible: lactate is more than 0 and at most 60 mmol/L"
        return f"{said}; {_meant(table, i, float(lactate[i]))}"

    wrong = ((lactate <= 0) | (lactate > _MOST_LACTATE)) & ~told
    table.flag(wrong, "lactate", impossible)
    rare = _outside(lactate, *_USUAL_LACTATE) & ~wrong & ~told
    says = _unlikely(table, "lactate", "lactate is seldom outside 0.3 to 35 mmol/L")
    table.flag(rare, "lactate", says, "warning")


def _meant(table: Table, i: int, lactate: float) -> str:
    """Say what to do about a lactate that no horse has."""
    if lactate == 0:
        return "leave the cell blank where the meter showed no figure"
    if _LEAST_DURING < lactate <= _HEART[1] and not table.text(i, "heart_rate"):
        return "if it is a heart rate, write it under heart_rate"
    if 0 < lactate / _MG_DL <= _USUAL_LACTATE[1]:
        return f"if mg/dL were meant, write {lactate / _MG_DL:.1f}"
    return "correct it"


def _check_minutes(table: Table, minutes: Floats) -> None:
    def says(why: str) -> Callable[[int], str]:
        def message(i: int) -> str:
            in_seconds = minutes[i] / 60
            short = in_seconds <= _LATE_MIN and minutes[i] > 0
            act = f"if seconds were meant, write {in_seconds:.3g}" if short else "correct it"
            return f"{table.cell(i, 'minutes_after')} {why}; {act}"

        return message

    wrong = _outside(minutes, 0, _DAY_MIN)
    table.flag(wrong, "minutes_after", says("is impossible: a recovery is read within a day"))
    late = says("is unlikely: a recovery is read within 180 minutes")
    table.flag((minutes > _LATE_MIN) & ~wrong, "minutes_after", late, "warning")


def _unlikely(table: Table, column: str, said: str) -> Callable[[int], str]:
    return lambda i: f"{table.cell(i, column)} is unlikely: {said}; check it"
