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
from racecalc.tables.gait import clip_feet, clip_strides, clips, gait_figures, support
from racecalc.tables.leads import lead_parts, lead_poles
from racecalc.tables.load import (
    load_figures,
    speeds,
    studies,
    usuals,
)
from racecalc.tables.month import ground, key_figures, splits, what_next, works
from racecalc.tables.next_work import next_figures, plan_calls, plan_days, plan_works
from racecalc.tables.numbers import numbers
from racecalc.tables.review import footing, furlongs, review_figures, review_sections, trace
from racecalc.tables.sheet import calls, leads, orders, quarters
from racecalc.tables.surface import air, checks, edges, outlook, surface

__all__ = [
    "air",
    "asked",
    "body_figures",
    "calls",
    "changes",
    "checks",
    "clip_feet",
    "clip_strides",
    "clips",
    "edges",
    "energy",
    "fitness_figures",
    "footing",
    "furlongs",
    "gait_figures",
    "ground",
    "growth",
    "key_figures",
    "lead_parts",
    "lead_poles",
    "leads",
    "load_figures",
    "measurements",
    "month_test",
    "next_figures",
    "numbers",
    "off_days",
    "orders",
    "outlook",
    "plan_calls",
    "plan_days",
    "plan_works",
    "quarters",
    "review_figures",
    "review_sections",
    "speeds",
    "splits",
    "steps",
    "studies",
    "support",
    "surface",
    "tape_weights",
    "tests",
    "trace",
    "trends",
    "usuals",
    "vitals",
    "what_next",
    "works",
]
