"""Which day for the next fast work: rules as small objects, and what they cost together."""

from racecalc.planning.choose import Weighed, fall_backs, propose, weigh
from racecalc.planning.rules import (
    BeforeRace,
    Cold,
    DayFacts,
    FastGround,
    Footing,
    Heat,
    InWork,
    Judgement,
    RestDays,
    Rule,
    Spacing,
    Waiting,
)
from racecalc.planning.value import pays_to_wait, relative_value

__all__ = [
    "BeforeRace",
    "Cold",
    "DayFacts",
    "FastGround",
    "Footing",
    "Heat",
    "InWork",
    "Judgement",
    "RestDays",
    "Rule",
    "Spacing",
    "Waiting",
    "Weighed",
    "fall_backs",
    "pays_to_wait",
    "propose",
    "relative_value",
    "weigh",
]
