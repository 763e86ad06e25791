"""Times over ground: speed, seconds per furlong and per 200 m, works cut at their clocked poles.

Every figure that a watch makes carries the error of the watch: see `clock_error_s`.
"""

from racecalc.pace.cuts import cut, sections
from racecalc.pace.margins import lengths
from racecalc.pace.pieces import fractions, furlongs, spacing_of
from racecalc.pace.shape import Evenness, FinishAgainstStart, evenness, finish_against_start
from racecalc.pace.speeds import seconds_per_200m, seconds_per_furlong, speed_m_s
from racecalc.pace.watch import (
    CLOCK_ERROR_S,
    CLOCK_SOURCES,
    clock_error_s,
    clock_sources,
    difference_error_s,
    is_difference,
)

__all__ = [
    "CLOCK_ERROR_S",
    "CLOCK_SOURCES",
    "Evenness",
    "FinishAgainstStart",
    "clock_error_s",
    "clock_sources",
    "cut",
    "difference_error_s",
    "evenness",
    "finish_against_start",
    "fractions",
    "furlongs",
    "is_difference",
    "lengths",
    "seconds_per_200m",
    "seconds_per_furlong",
    "sections",
    "spacing_of",
    "speed_m_s",
]
