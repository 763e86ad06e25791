"""A horse's body over time: what was measured, and whether a change is larger than its error."""

from racecalc.body.change import Change, Noise, change, noise
from racecalc.body.context import SWINGS
from racecalc.body.repeatability import (
    SPREADS,
    OwnError,
    Spread,
    own_error,
    own_error_of,
    smallest_detectable_change,
)
from racecalc.body.series import (
    SHOE_ALLOWANCE_M,
    SHOE_ERROR_M,
    Reading,
    Series,
    age_years,
    barefoot,
    latest,
    series,
    shoes_add,
)
from racecalc.body.trend import FEWEST_READINGS, Trend, trend

__all__ = [
    "FEWEST_READINGS",
    "SHOE_ALLOWANCE_M",
    "SHOE_ERROR_M",
    "SPREADS",
    "SWINGS",
    "Change",
    "Noise",
    "OwnError",
    "Reading",
    "Series",
    "Spread",
    "Trend",
    "age_years",
    "barefoot",
    "change",
    "latest",
    "noise",
    "own_error",
    "own_error_of",
    "series",
    "shoes_add",
    "smallest_detectable_change",
    "trend",
]
