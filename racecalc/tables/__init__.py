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
    "body_figures",
    "calls",
    "changes",
    "energy",
    "footing",
    "furlongs",
    "ground",
    "growth",
    "key_figures",
    "leads",
    "measurements",
    "next_races",
    "numbers",
    "off_days",
    "orders",
    "quarters",
    "review_figures",
    "review_sections",
    "splits",
    "surface",
    "tape_weights",
    "trace",
    "trends",
    "vitals",
    "works",
]
