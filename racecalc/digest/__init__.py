"""One horse and one month: the only room that brings the subjects together."""

from racecalc.digest.build import build
from racecalc.digest.ground import MONTHS_FOR_USUAL
from racecalc.digest.model import (
    KIND_UNITS,
    Day,
    Digest,
    Footing,
    Ground,
    Horse,
    Measure,
    Missing,
    Month,
    Number,
    Quickest,
    Race,
    Reading,
    Section,
    Swing,
    Target,
    TrackLog,
    Work,
    WorkTotals,
)

__all__ = [
    "KIND_UNITS",
    "MONTHS_FOR_USUAL",
    "Day",
    "Digest",
    "Footing",
    "Ground",
    "Horse",
    "Measure",
    "Missing",
    "Month",
    "Number",
    "Quickest",
    "Race",
    "Reading",
    "Section",
    "Swing",
    "Target",
    "TrackLog",
    "Work",
    "WorkTotals",
    "build",
]
