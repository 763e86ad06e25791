"""Charts: a digest in, a picture for the page out."""

from racecalc.figures.fitness import (
    against_thresholds,
    heart_rate,
    lactate,
)
from racecalc.figures.gait import footfalls, phases
from racecalc.figures.leads import leads
from racecalc.figures.load import (
    fast_line,
    smoothed,
    weeks,
)
from racecalc.figures.month import month
from racecalc.figures.next_work import plan_days
from racecalc.figures.oval import asked, newest, ran
from racecalc.figures.own_line import own_line
from racecalc.figures.sections import sections
from racecalc.figures.series import body_pictures, height, weight
from racecalc.figures.surface import water
from racecalc.figures.trace import trace
from racecalc.figures.vitals import vitals

__all__ = [
    "against_thresholds",
    "asked",
    "body_pictures",
    "fast_line",
    "footfalls",
    "heart_rate",
    "height",
    "lactate",
    "leads",
    "month",
    "newest",
    "own_line",
    "phases",
    "plan_days",
    "ran",
    "sections",
    "smoothed",
    "trace",
    "vitals",
    "water",
    "weeks",
    "weight",
]
