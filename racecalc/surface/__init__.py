"""The surface of a track: its log, its words, how it dries, and what that has meant there."""

from racecalc.surface.entries import Rain, StateOn, log, rain_between, state_on
from racecalc.surface.learned import BEFORE_WORK, ODD, WordCurves, default_curves, learn_curves
from racecalc.surface.order import DRYING_ORDER, OUTSIDE_ORDER, workable
from racecalc.surface.outlook import (
    DRAWS,
    RAIN_SHAPE,
    ForecastDay,
    draw_rain,
    mornings,
    start_from_word,
    word_chances,
)
from racecalc.surface.record import (
    Reliability,
    after_rain,
    checked,
    daily_water,
    evapotranspiration,
    learn,
    morning_index,
)

__all__ = [
    "BEFORE_WORK",
    "DRAWS",
    "DRYING_ORDER",
    "ODD",
    "OUTSIDE_ORDER",
    "RAIN_SHAPE",
    "ForecastDay",
    "Rain",
    "Reliability",
    "StateOn",
    "WordCurves",
    "after_rain",
    "checked",
    "daily_water",
    "default_curves",
    "draw_rain",
    "evapotranspiration",
    "learn",
    "learn_curves",
    "log",
    "morning_index",
    "mornings",
    "rain_between",
    "start_from_word",
    "state_on",
    "word_chances",
    "workable",
]
