"""Exercise tests: heart rate and lactate on speed, and what two tests say of a change."""

from racecalc.fitness.change import (
    REPEATS_WITHIN,
    TestChange,
    change,
)
from racecalc.fitness.exercise_test import (
    LACTATE_WITHIN_MIN,
    ExerciseTest,
    Recovery,
    Step,
    tests_of,
)
from racecalc.fitness.heart_rate import (
    HeartLine,
    heart_line,
    speed_at_heart_rate,
    speed_at_peak,
)
from racecalc.fitness.lactate import (
    LactateCurve,
    lactate_curve,
    speed_at_lactate,
    speed_on_curve,
    speed_on_parabola,
)
from racecalc.fitness.reading import (
    Reading,
    Straight,
    Why,
    inverse,
    straight,
)
from racecalc.fitness.recovery import (
    RECOVERY_CLASSES,
    RECOVERY_MINUTES,
    RecoveryClass,
)
from racecalc.fitness.threshold import (
    PLACES,
    bounds,
    place,
)

__all__ = [
    "LACTATE_WITHIN_MIN",
    "PLACES",
    "RECOVERY_CLASSES",
    "RECOVERY_MINUTES",
    "REPEATS_WITHIN",
    "ExerciseTest",
    "HeartLine",
    "LactateCurve",
    "Reading",
    "Recovery",
    "RecoveryClass",
    "Step",
    "Straight",
    "TestChange",
    "Why",
    "bounds",
    "change",
    "heart_line",
    "inverse",
    "lactate_curve",
    "place",
    "speed_at_heart_rate",
    "speed_at_lactate",
    "speed_at_peak",
    "speed_on_curve",
    "speed_on_parabola",
    "straight",
    "tests_of",
]
