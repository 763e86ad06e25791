"""Step tests: speed, heart rate and blood lactate, five steps and two readings of recovery.

The lines are group lines in print, moved a little for the horse and its training: heart rate
rises by 6.1 beats/min for each m/s from 116.5 (least squares on the group means of eleven
Thoroughbreds, Korean journal article JAKO201912262462412), lactate as 0.08 exp(0.33 v) (Davie and
Evans 2000, Vet J 159:252-258, sand).
"""

import math

from sample_stable.calendar import chance
from sample_stable.story import Horse
from sample_stable.writing import miles_per_hour_text

__all__ = ["STEPS_M_S", "fitness_rows"]

_MILES_PER_HOUR = 0.44704
STEPS_M_S = tuple(mph * _MILES_PER_HOUR for mph in (16, 20, 25, 28, 32))


def fitness_rows(horse: Horse) -> list[tuple[str, ...]]:
    """Return the step tests of a horse; each later test finds it a little fitter."""
    rows = []
    for count, on in enumerate(horse.test_days):
        rng = chance("fitness", horse.id, on)
        fitter_m_s = 0.25 * count
        for step, speed_m_s in enumerate(STEPS_M_S, 1):
            felt = speed_m_s - fitter_m_s
            beats = 116.5 + 6.1 * felt + rng.gauss(0, 1.2)
            lactate = 0.08 * math.exp(0.33 * felt) * (1 + rng.gauss(0, 0.05))
            speed = miles_per_hour_text(speed_m_s)
            rows.append((on, horse.id, str(step), speed, f"{beats:.0f}", f"{lactate:.1f}", ""))
        for minutes, beats, factor in ((1, 128 - 5 * count, 0.0), (5, 88 - 3 * count, 0.95)):
            after = f"{lactate * factor:.1f}" if factor else ""
            heart_rate = f"{beats + rng.gauss(0, 2):.0f}"
            rows.append((on, horse.id, str(len(STEPS_M_S)), speed, heart_rate, after, str(minutes)))
    return rows
