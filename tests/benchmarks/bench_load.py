"""How fast the load of a barn is added up: run as ``python -m tests.benchmarks.bench_load``.

Prints seconds, on one core, for the ledger and all series of load of 500 and 1,000 horses with a
row of exercise for each of the days of five years. Exits with 1 when 1,000 horses take more than
the limit, or twice the horses cost more than twice the time and some room.
"""

import sys
from datetime import date
from time import perf_counter

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc import workload

FEW, MANY = 500, 1_000
FIRST, LAST = date(2022, 1, 1), date(2026, 12, 31)
LIMIT_S = 5.0
LIMIT_RATIO = 2.6
RUNS = 3
ACTIVITIES = ("walk", "jog", "canter", "gallop", "race")


def exercise(horses: int) -> pd.DataFrame:
    """One row for each day and horse, in the order of days as a book has it."""
    days = pd.date_range(FIRST, LAST)
    chance = np.random.default_rng(7)
    count = len(days) * horses
    names = np.array([f"horse-{number:04d}" for number in range(horses)], dtype=object)
    distance = chance.integers(4, 16, count) * 201.168
    return pd.DataFrame(
        {
            "date": np.repeat(days.to_numpy(), horses),
            "horse": np.tile(names, len(days)),
            "activity": np.array(ACTIVITIES, dtype=object)[chance.integers(0, 5, count)],
            "distance_m": distance,
            "time_s": distance / chance.uniform(2, 17, count),
        }
    )


def no_works() -> tuple[pd.DataFrame, pd.DataFrame]:
    """The ledger takes works as well; here all ground is in the daily log."""
    works = {"work": [], "date": [], "horse": [], "distance_m": [], "time_s": [], "from_pole_m": []}
    splits = {"work": [], "to_finish_m": [], "clock_s": []}
    texts = {"work": object, "horse": object}
    return (
        pd.DataFrame(works).astype(texts).assign(date=pd.to_datetime([])),
        pd.DataFrame(splits).astype({"work": object}),
    )


def series(loads: npt.NDArray[np.float64]) -> int:
    """Compute every series of load; return how many numbers that were."""
    windows = np.lib.stride_tricks.sliding_window_view(loads, 7, axis=0)
    found = [
        *(workload.rolling_load(loads, days) for days in (7, 30, 60)),
        *(workload.ewma(loads, days) for days in (7, 28)),
        workload.coupled_ratio(loads),
        workload.uncoupled_ratio(loads),
        workload.weighted_ratio(loads),
        workload.monotony(np.moveaxis(windows, -1, 0)),
        workload.strain(np.moveaxis(windows, -1, 0)),
        *(workload.decaying_sum(loads, days) for days in (7.0, 42.0)),
    ]
    return sum(one.size for one in found)


def seconds(horses: int) -> tuple[float, float]:
    """Return the quickest of some runs for the ledger with its days, and for the series."""
    table, (works, splits) = exercise(horses), no_works()
    found = []
    for _ in range(RUNS):
        began = perf_counter()
        ground = workload.with_usual_speeds(workload.ledger(table, works, splits))
        _, _, loads = workload.daily(ground, FIRST, LAST)
        between = perf_counter()
        series(loads)
        found.append((between - began, perf_counter() - between))
    return min(found, key=sum)


def main() -> int:
    """Print the seconds and tell whether they keep to the limits."""
    totals = {}
    for horses in (FEW, MANY):
        ledger, smoothed = seconds(horses)
        totals[horses] = ledger + smoothed
        print(f"{horses:5d} horses: ledger {ledger:.2f} s, series {smoothed:.2f} s")
    ratio = totals[MANY] / totals[FEW]
    print(f"twice the horses: {ratio:.2f} times as long")
    return int(totals[MANY] > LIMIT_S or ratio > LIMIT_RATIO)


if __name__ == "__main__":
    sys.exit(main())
