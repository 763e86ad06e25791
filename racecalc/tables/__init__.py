"""Tables and key figures: a digest in, finished text in rows out."""

from racecalc.tables.month import (
    ground,
    key_figures,
    measurements,
    next_races,
    splits,
    surface,
    works,
)
from racecalc.tables.numbers import numbers
from racecalc.tables.review import footing, furlongs, review_figures, review_sections, trace
from racecalc.tables.sheet import calls, leads, orders, quarters

__all__ = [
    "calls",
    "footing",
    "furlongs",
    "ground",
    "key_figures",
    "leads",
    "measurements",
    "next_races",
    "numbers",
    "orders",
    "quarters",
    "review_figures",
    "review_sections",
    "splits",
    "surface",
    "trace",
    "works",
]
