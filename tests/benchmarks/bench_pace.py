"""How fast works are cut and laid on an oval: run as ``python -m tests.benchmarks.bench_pace``.

Prints seconds for 10,000 and 100,000 works of 8 splits each, on one core: to cut them in the order
of a book and in no order, and to place their poles on the oval. Exits with 1 when 100,000 take more
than the limit for both together, or when in the order of a book the cost is not linear. In no order
the look-up of works outgrows the caches of the processor.
"""

import sys
from time import perf_counter

import numpy as np
import pandas as pd

from racecalc import pace, track
from racecalc.units import FOOT_M, FURLONG_M, MILE_M

FEW, MANY = 10_000, 100_000
SPLITS = 8
LIMIT_S = 1.0
# Ten times the works may take this many times as long: ten, and room for caches that overflow.
LIMIT_RATIO = 15.0
RUNS = 7


def works_and_splits(count: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Works of a mile and a furlong with a clock at each pole but the last."""
    chance = np.random.default_rng(1)
    ids = np.array([f"W{number}" for number in range(count)])
    clock = np.cumsum(chance.integers(55, 70, (count, SPLITS + 1)), axis=1) / 5
    works = pd.DataFrame(
        {"work": ids, "distance_m": (SPLITS + 1) * FURLONG_M, "time_s": clock[:, -1]}
    )
    splits = pd.DataFrame(
        {
            "work": ids.repeat(SPLITS),
            "to_finish_m": np.tile(np.arange(SPLITS, 0, -1) * FURLONG_M, count),
            "clock_s": clock[:, :-1].ravel(),
        }
    )
    return works, splits


def seconds_to_cut(count: int, in_order: bool) -> float:
    """Return the quickest of some runs, as others only waited for the machine."""
    works, splits = works_and_splits(count)
    if not in_order:
        splits = splits.sample(frac=1, random_state=1, ignore_index=True)
    one_s = pace.clock_error_s("fifths")
    found = []
    for _ in range(RUNS):
        began = perf_counter()
        cuts = pace.cut(works, splits, one_s=one_s)
        found.append(perf_counter() - began)
        if len(cuts) != count * (SPLITS + 1):
            raise RuntimeError(f"{len(cuts)} sections found of {count} works")
    return min(found)


def seconds_to_place(count: int) -> float:
    """Return how long it takes to find position, heading and part of every pole of the works."""
    _, splits = works_and_splits(count)
    mile = track.oval(MILE_M, MILE_M / 4, 285 * FOOT_M)
    found = []
    for _ in range(RUNS):
        began = perf_counter()
        placed = track.positions(mile, splits["to_finish_m"].to_numpy())
        found.append(perf_counter() - began)
        if len(placed) != count * SPLITS:
            raise RuntimeError(f"{len(placed)} places found of {count} works")
    return min(found)


def main() -> int:
    worst = 0.0
    ratios = []
    for in_order in (True, False):
        few_s, many_s = seconds_to_cut(FEW, in_order), seconds_to_cut(MANY, in_order)
        for count, seconds in ((FEW, few_s), (MANY, many_s)):
            print(
                f"{count:>7,} works of {SPLITS} splits, {'in' if in_order else 'no'} order: "
                f"{seconds:6.3f} s {count / seconds:>9,.0f}/s"
            )
        print(f"ten times the works take {many_s / few_s:.1f} times as long")
        worst = max(worst, many_s)
        ratios.append(many_s / few_s)
    few_s, many_s = seconds_to_place(FEW), seconds_to_place(MANY)
    print(f"{FEW * SPLITS:>7,} poles placed: {few_s:6.3f} s; {MANY * SPLITS:,}: {many_s:6.3f} s")
    print(f"ten times the poles take {many_s / few_s:.1f} times as long")
    print(f"cut and placed, {MANY:,} works: {worst + many_s:6.3f} s")
    return int(worst + many_s > LIMIT_S or ratios[0] > LIMIT_RATIO)


if __name__ == "__main__":
    sys.exit(main())
