"""How much, how fast, how often: ground covered by a horse, and the load that it comes to."""

from racecalc.workload.classes import (
    CANTER_FROM_M_S,
    PUBLISHED_EDGES,
    Classed,
    by_class,
    classed,
    speed_edges,
)
from racecalc.workload.days_off import DaysOff, days_off
from racecalc.workload.ledger import FAST_SPEED_M_S, LEDGER_COLUMNS, ledger
from racecalc.workload.response import (
    best_day,
    break_even_day,
    decaying_sum,
    impulse_response,
)
from racecalc.workload.series import (
    ACUTE_DAYS,
    CHRONIC_DAYS,
    coupled_from_uncoupled,
    coupled_ratio,
    daily,
    ewma,
    rolling_load,
    uncoupled_ratio,
    weighted_ratio,
)
from racecalc.workload.sessions import (
    TRIMP_WEIGHTS,
    monotony,
    session_load,
    strain,
    training_impulse,
    zone_score,
)
from racecalc.workload.spans import (
    added,
    between_days,
    by_speed,
    last_days,
    month_bounds,
    totals,
    unmeasured,
)
from racecalc.workload.strides import (
    METRES_A_CYCLE,
    STRIDE_SOURCES,
    fore_force_n_per_kg,
    stride_rate_hz,
    strides,
)
from racecalc.workload.studies import (
    STUDIES,
    Study,
)
from racecalc.workload.usual import FEWEST_TIMED, USUAL_SPEEDS_M_S, with_usual_speeds

__all__ = [
    "ACUTE_DAYS",
    "CANTER_FROM_M_S",
    "CHRONIC_DAYS",
    "FAST_SPEED_M_S",
    "FEWEST_TIMED",
    "LEDGER_COLUMNS",
    "METRES_A_CYCLE",
    "PUBLISHED_EDGES",
    "STRIDE_SOURCES",
    "STUDIES",
    "TRIMP_WEIGHTS",
    "USUAL_SPEEDS_M_S",
    "Classed",
    "DaysOff",
    "Study",
    "added",
    "best_day",
    "between_days",
    "break_even_day",
    "by_class",
    "by_speed",
    "classed",
    "coupled_from_uncoupled",
    "coupled_ratio",
    "daily",
    "days_off",
    "decaying_sum",
    "ewma",
    "fore_force_n_per_kg",
    "impulse_response",
    "last_days",
    "ledger",
    "monotony",
    "month_bounds",
    "rolling_load",
    "session_load",
    "speed_edges",
    "strain",
    "stride_rate_hz",
    "strides",
    "totals",
    "training_impulse",
    "uncoupled_ratio",
    "unmeasured",
    "weighted_ratio",
    "with_usual_speeds",
    "zone_score",
]
