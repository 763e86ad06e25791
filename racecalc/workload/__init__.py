"""How much, how fast, how often: ground covered by a horse, and the load that it comes to."""

from racecalc.workload.days_off import DaysOff, days_off
from racecalc.workload.ledger import FAST_SPEED_M_S, LEDGER_COLUMNS, ledger
from racecalc.workload.spans import (
    between_days,
    by_speed,
    last_days,
    month_bounds,
    totals,
    unmeasured,
)

__all__ = [
    "FAST_SPEED_M_S",
    "LEDGER_COLUMNS",
    "DaysOff",
    "between_days",
    "by_speed",
    "days_off",
    "last_days",
    "ledger",
    "month_bounds",
    "totals",
    "unmeasured",
]
