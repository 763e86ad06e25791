"""Tables and key figures: a digest in, finished text in rows out."""

from racecalc.tables.body import (
    body_figures,
    changes,
    energy,
    growth,
    measurements,
    off_days,
    tape_weights,
    trends,
    vitals,
)
from racecalc.tables.fitness import (
    asked,
    fitness_figures,
    month_test,
    steps,
    tests,
)
from racecalc.tables.load import (
    load_figures,
    speeds,
    studies,
    usuals,
)
from racecalc.tables.month import (
    ground,
    key_figures,
    next_races,
    splits,
    surface,
    works,
)
from racecalc.tables.numbers import numbers
from racecalc.tables.review import footing, furlongs, review_figures, review_sections, trace
from racecalc.tables.sheet import calls, leads, orders, quarters

__all__ = [
    "asked",
    "body_figures",
    "calls",
    "changes",
    "energy",
    "fitness_figures",
    "footing",
    "furlongs",
    "ground",
    "growth",
    "key_figures",
    "leads",
    "load_figures",
    "measurements",
    "month_test",
    "next_races",
    "numbers",
    "off_days",
    "orders",
    "quarters",
    "review_figures",
    "review_sections",
    "speeds",
    "splits",
    "steps",
    "studies",
    "surface",
    "tape_weights",
    "tests",
    "trace",
    "trends",
    "usuals",
    "vitals",
    "works",
]
