"""A horse's body over time: what was measured, and whether a change is larger than its error."""

from racecalc.body.change import (
    SPREADS,
    Change,
    Spread,
    change,
    noise,
    smallest_detectable_change,
)
from racecalc.body.series import Reading, Series, age_years, latest, series

__all__ = [
    "SPREADS",
    "Change",
    "Reading",
    "Series",
    "Spread",
    "age_years",
    "change",
    "latest",
    "noise",
    "series",
    "smallest_detectable_change",
]
