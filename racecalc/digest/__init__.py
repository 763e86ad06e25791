"""One horse and one month, one work, or one sheet: the only room that brings subjects together."""

from racecalc.digest.build import build
from racecalc.digest.course import Course
from racecalc.digest.footing_effect import FootingEffect
from racecalc.digest.ground import MONTHS_FOR_USUAL
from racecalc.digest.model import (
    Day,
    Digest,
    Footing,
    Ground,
    Horse,
    Measure,
    Missing,
    Month,
    Race,
    Reading,
    Swing,
    Target,
    TrackLog,
    WorkTotals,
)
from racecalc.digest.number import KIND_UNITS, Number
from racecalc.digest.pole_sheet import (
    Call,
    LeadChange,
    Place,
    Plan,
    PoleSheet,
    Wide,
    build_pole_sheet,
)
from racecalc.digest.review import Furlong, WorkReview, build_review
from racecalc.digest.trace import Trace, TracePole
from racecalc.digest.work_model import LinePoint, LooseClock, Section, Shape, Stand, Work

__all__ = [
    "KIND_UNITS",
    "MONTHS_FOR_USUAL",
    "Call",
    "Course",
    "Day",
    "Digest",
    "Footing",
    "FootingEffect",
    "Furlong",
    "Ground",
    "Horse",
    "LeadChange",
    "LinePoint",
    "LooseClock",
    "Measure",
    "Missing",
    "Month",
    "Number",
    "Place",
    "Plan",
    "PoleSheet",
    "Race",
    "Reading",
    "Section",
    "Shape",
    "Stand",
    "Swing",
    "Target",
    "Trace",
    "TracePole",
    "TrackLog",
    "Wide",
    "Work",
    "WorkReview",
    "WorkTotals",
    "build",
    "build_pole_sheet",
    "build_review",
]
