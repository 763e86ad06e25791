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
    found = []
    for moment, rows in fitness.groupby("date", sort=True):
        steps = [step for _, part in rows.groupby("step") for step in _steps(part) if _tells(step)]
        day = pd.Timestamp(str(moment)).date()
        steps.sort(key=lambda step: (step.speed_m_s, step.name))
        found.append(ExerciseTest(day, tuple(steps), _recoveries(rows)))
    return tuple(found)


def _steps(rows: pd.DataFrame) -> list[Step]:
    """Return what was read under one name: one step, or one for each speed noted during it."""
    during, name = rows[rows["minutes_after"].isna()], str(rows["step"].iloc[0])
    after = rows[rows["minutes_after"] <= LACTATE_WITHIN_MIN]
    speeds = sorted(set((during if len(during) else after)["speed_m_s"].dropna()))
    found = []
    for speed in speeds:
        own = during[during["speed_m_s"] == speed]
        lactate = float(own["lactate_mmol_l"].mean())
        if math.isnan(lactate) and len(speeds) == 1:
            lactate = float(after["lactate_mmol_l"].max())
        found.append(Step(name, float(speed), float(own["heart_rate_bpm"].mean()), lactate))
    return found


def _tells(step: Step) -> bool:
    return not (math.isnan(step.heart_rate_bpm) and math.isnan(step.lactate_mmol_l))


def _recoveries(rows: pd.DataFrame) -> tuple[Recovery, ...]:
    after: list[dict[Any, Any]] = rows[
        rows["minutes_after"].notna() & rows["heart_rate_bpm"].notna()
    ].to_dict("records")
    during = rows[rows["minutes_after"].isna()]
    fastest = during if len(during) else rows
    last = set(fastest.loc[fastest["speed_m_s"] == fastest["speed_m_s"].max(), "step"])
    found = [
        Recovery(
            str(row["step"]),
            row["step"] in last,
            float(row["minutes_after"]),
            float(row["heart_rate_bpm"]),
        )
        for row in after
    ]
    return tuple(sorted(found, key=lambda one: (one.minutes, one.step, one.heart_rate_bpm)))
