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
from racecalc.digest.fitness_model import (
    Asked,
    FitnessTest,
    Over,
    Piece,
    TestChanged,
    TestStep,
    Threshold,
)
from racecalc.digest.fitness_report import FitnessReport, build_fitness
from racecalc.digest.footing_effect import FootingEffect
from racecalc.digest.ground import MONTHS_FOR_USUAL
from racecalc.digest.load_model import (
    Load,
    LoadPoint,
    LoadSpan,
    Since,
    SpeedClass,
    Strides,
    Week,
)
from racecalc.digest.load_report import LoadReport, Smoothed, Usual, build_load
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
    "Asked",
    "BodyReport",
    "Call",
    "Compared",
    "Course",
    "Day",
    "Digest",
    "Energy",
    "Event",
    "FitnessReport",
    "FitnessTest",
    "Footing",
    "FootingEffect",
    "Furlong",
    "Ground",
    "Growth",
    "Horse",
    "LeadChange",
    "Line",
    "LinePoint",
    "Load",
    "LoadPoint",
    "LoadReport",
    "LoadSpan",
    "LooseClock",
    "Measure",
    "Missing",
    "Month",
    "Number",
    "OffDay",
    "Over",
    "Piece",
    "Place",
    "Plan",
    "PoleSheet",
    "Race",
    "Reading",
    "Section",
    "Shape",
    "Shoes",
    "Since",
    "Smoothed",
    "SpeedClass",
    "Stand",
    "Strides",
    "Swing",
    "TapeWeight",
    "Target",
    "TestChanged",
    "TestStep",
    "Threshold",
    "Trace",
    "TracePole",
    "TrackLog",
    "Trend",
    "Usual",
    "Vital",
    "VitalReading",
    "Week",
    "Wide",
    "Work",
    "WorkReview",
    "WorkTotals",
    "build",
    "build_body",
    "build_fitness",
    "build_load",
    "build_pole_sheet",
    "build_review",
]
