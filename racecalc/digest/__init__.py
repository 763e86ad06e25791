"""One horse and one month, one work, or one sheet: the only room that brings subjects together."""

from racecalc.digest.body_model import (
    Compared,
    Measure,
    OffDay,
    Reading,
    Swing,
    Trend,
    Vital,
    VitalReading,
)
from racecalc.digest.body_report import BodyReport, Event, Line, Shoes, build_body
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
    Missing,
    Month,
    Race,
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
from racecalc.digest.size import Energy, Growth, TapeWeight
from racecalc.digest.trace import Trace, TracePole
from racecalc.digest.work_model import LinePoint, LooseClock, Section, Shape, Stand, Work

__all__ = [
    "KIND_UNITS",
    "MONTHS_FOR_USUAL",
    "BodyReport",
    "Call",
    "Compared",
    "Course",
    "Day",
    "Digest",
    "Energy",
    "Event",
    "Footing",
    "FootingEffect",
    "Furlong",
    "Ground",
    "Growth",
    "Horse",
    "LeadChange",
    "Line",
    "LinePoint",
    "LooseClock",
    "Measure",
    "Missing",
    "Month",
    "Number",
    "OffDay",
    "Place",
    "Plan",
    "PoleSheet",
    "Race",
    "Reading",
    "Section",
    "Shape",
    "Shoes",
    "Stand",
    "Swing",
    "TapeWeight",
    "Target",
    "Trace",
    "TracePole",
    "TrackLog",
    "Trend",
    "Vital",
    "VitalReading",
    "Wide",
    "Work",
    "WorkReview",
    "WorkTotals",
    "build",
    "build_body",
    "build_pole_sheet",
    "build_review",
]
