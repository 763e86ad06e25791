"""An exercise test as it was written down: steps of rising speed, and recovery after them."""

import math
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

__all__ = ["LACTATE_WITHIN_MIN", "ExerciseTest", "Recovery", "Step", "tests_of"]

# Lactate goes on rising in the blood for some minutes: studies sampled 2 and 5 minutes after.
LACTATE_WITHIN_MIN = 5.0

FloatArray = npt.NDArray[np.float64]
_Row = dict[Any, Any]


@dataclass(frozen=True)
class Step:
    """One step: its speed, and the heart rate and blood lactate that go with it; nan unknown."""

    name: str
    speed_m_s: float
    heart_rate_bpm: float
    lactate_mmol_l: float


@dataclass(frozen=True)
class Recovery:
    """A heart rate some minutes after a step; ``last`` where no step of the day was faster."""

    step: str
    last: bool
    minutes: float
    heart_rate_bpm: float


@dataclass(frozen=True)
class ExerciseTest:
    """The steps of one day, the slowest first, and the heart rates after."""

    day: date
    steps: tuple[Step, ...]
    recoveries: tuple[Recovery, ...]

    def points(self, what: str) -> tuple[FloatArray, FloatArray]:
        """Return the speeds, and the readings of ``heart_rate_bpm`` or ``lactate_mmol_l``."""
        known = [step for step in self.steps if not math.isnan(getattr(step, what))]
        speeds = np.array([step.speed_m_s for step in known], dtype=np.float64)
        return speeds, np.array([getattr(step, what) for step in known], dtype=np.float64)


def tests_of(fitness: pd.DataFrame) -> tuple[ExerciseTest, ...]:
    """Return the tests of one horse, one for each day, oldest first.

    A heart rate with ``minutes_after`` is a recovery. The heart rate of a step is the mean of those
    noted during it, and its lactate the mean of those; where there is none, the highest of the
    lactates taken within `LACTATE_WITHIN_MIN` minutes after, whatever speed stands beside them. Two
    steps at one speed stay two.

    Parameters
    ----------
    fitness : DataFrame
        ``date``, ``step``, ``speed_m_s``, ``heart_rate_bpm``, ``lactate_mmol_l``,
        ``minutes_after``; nan where unknown.

    Returns
    -------
    tuple of ExerciseTest
        The order of the rows given does not matter.
    """
    days: dict[date, list[_Row]] = {}
    for row in fitness.to_dict("records"):
        if pd.notna(row["date"]):
            days.setdefault(pd.Timestamp(row["date"]).date(), []).append(row)
    found = []
    for day, rows in sorted(days.items()):
        names = sorted({row["step"] for row in rows if pd.notna(row["step"])})
        steps = [step for name in names for step in _steps(name, rows) if _tells(step)]
        steps.sort(key=lambda step: (step.speed_m_s, step.name))
        found.append(ExerciseTest(day, tuple(steps), _recoveries(rows)))
    return tuple(found)


def _steps(name: str, rows: list[_Row]) -> list[Step]:
    """Return what was read under one name: one step, or one for each speed noted during it."""
    during = [row for row in rows if row["step"] == name and math.isnan(row["minutes_after"])]
    after = [
        row for row in rows if row["step"] == name and row["minutes_after"] <= LACTATE_WITHIN_MIN
    ]
    speeds = sorted(set(_known(during or after, "speed_m_s")))
    found = []
    for speed in speeds:
        own = [row for row in during if row["speed_m_s"] == speed]
        lactate = _mean(_known(own, "lactate_mmol_l"))
        if math.isnan(lactate) and len(speeds) == 1:
            lactate = max(_known(after, "lactate_mmol_l"), default=math.nan)
        found.append(Step(name, speed, _mean(_known(own, "heart_rate_bpm")), lactate))
    return found


def _known(rows: list[_Row], what: str) -> list[float]:
    return [float(row[what]) for row in rows if not math.isnan(row[what])]


def _mean(values: list[float]) -> float:
    return sum(values) / len(values) if values else math.nan


def _tells(step: Step) -> bool:
    return not (math.isnan(step.heart_rate_bpm) and math.isnan(step.lactate_mmol_l))


def _recoveries(rows: list[_Row]) -> tuple[Recovery, ...]:
    during = [row for row in rows if math.isnan(row["minutes_after"])] or rows
    fastest = max(_known(during, "speed_m_s"), default=math.nan)
    last = {row["step"] for row in during if row["speed_m_s"] == fastest}
    found = [
        Recovery(
            str(row["step"]),
            row["step"] in last,
            float(row["minutes_after"]),
            float(row["heart_rate_bpm"]),
        )
        for row in rows
        if not (math.isnan(row["minutes_after"]) or math.isnan(row["heart_rate_bpm"]))
    ]
    return tuple(sorted(found, key=lambda one: (one.minutes, one.step, one.heart_rate_bpm)))
