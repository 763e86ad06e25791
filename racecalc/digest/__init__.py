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
    Recovered,
    TestChanged,
    TestStep,
    Threshold,
)
from racecalc.digest.fitness_report import FitnessReport, build_fitness
from racecalc.digest.footing_effect import FootingEffect
from racecalc.digest.gait_model import ClipStride, Contact, FootDown, GaitClip, GaitInShort, Sized
from racecalc.digest.gait_report import GaitReport, build_gait
from racecalc.digest.ground import MONTHS_FOR_USUAL
from racecalc.digest.leads import LEAD_STUDIES, leads_until, newest_leads
from racecalc.digest.leads_model import (
    LeadNote,
    LeadStretch,
    PartLeads,
    TrackLeads,
    WorkLeads,
)
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
from racecalc.digest.next_model import NextWork, PlanDay, PlanWork, PoleCall, Reason
from racecalc.digest.next_work import build_next_work
from racecalc.digest.number import KIND_UNITS, Number
from racecalc.digest.outlook_model import Air, NextInShort, Outlook, OutlookDay
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
from racecalc.digest.surface_model import Ahead, Checked, SurfaceReport, WaterDay, WordEdge, WordRow
from racecalc.digest.surface_report import build_surface
from racecalc.digest.trace import Trace, TracePole
from racecalc.digest.work_model import LinePoint, LooseClock, Section, Shape, Stand, Work

AnyReport = (
    BodyReport
    | Digest
    | FitnessReport
    | GaitReport
    | LoadReport
    | NextWork
    | PoleSheet
    | SurfaceReport
    | WorkReview
)
"""Everything that a page can tell of."""

__all__ = [
    "KIND_UNITS",
    "LEAD_STUDIES",
    "MONTHS_FOR_USUAL",
    "Ahead",
    "Air",
    "AnyReport",
    "Asked",
    "BodyReport",
    "Call",
    "Checked",
    "ClipStride",
    "Compared",
    "Contact",
    "Course",
    "Day",
    "Digest",
    "Energy",
    "Event",
    "FitnessReport",
    "FitnessTest",
    "FootDown",
    "Footing",
    "FootingEffect",
    "Furlong",
    "GaitClip",
    "GaitInShort",
    "GaitReport",
    "Ground",
    "Growth",
    "Horse",
    "LeadChange",
    "LeadNote",
    "LeadStretch",
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
    "NextInShort",
    "NextWork",
    "Number",
    "OffDay",
    "Outlook",
    "OutlookDay",
    "Over",
    "PartLeads",
    "Piece",
    "Place",
    "Plan",
    "PlanDay",
    "PlanWork",
    "PoleCall",
    "PoleSheet",
    "Race",
    "Reading",
    "Reason",
    "Recovered",
    "Section",
    "Shape",
    "Shoes",
    "Since",
    "Sized",
    "Smoothed",
    "SpeedClass",
    "Stand",
    "Strides",
    "SurfaceReport",
    "Swing",
    "TapeWeight",
    "Target",
    "TestChanged",
    "TestStep",
    "Threshold",
    "Trace",
    "TracePole",
    "TrackLeads",
    "TrackLog",
    "Trend",
    "Usual",
    "Vital",
    "VitalReading",
    "WaterDay",
    "Week",
    "Wide",
    "WordEdge",
    "WordRow",
    "Work",
    "WorkLeads",
    "WorkReview",
    "WorkTotals",
    "build",
    "build_body",
    "build_fitness",
    "build_gait",
    "build_load",
    "build_next_work",
    "build_pole_sheet",
    "build_review",
    "build_surface",
    "leads_until",
    "newest_leads",
]
