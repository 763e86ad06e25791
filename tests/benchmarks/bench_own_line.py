"""How long a line takes, and how often it holds.

Run as ``python -m tests.benchmarks.bench_own_line``. It prints for strings of several sizes the
time to learn from a year of works; and, for invented works, how many of 100 fell inside the
interval and how wide it is against that of one who knows every effect. It exits with 1 when a limit
is passed.
"""

import sys
from time import perf_counter

import pandas as pd

from racecalc import own_line
from tests.invented_string import NOISE, String, foretold

SIZES = ((300, 10), (1_000, 30), (10_000, 100))
LIMIT_300_S = 0.1
LIMIT_10_000_S = 2.0
REPEATS = 60
BARNS = (
    (8, 0.0),
    (12, 0.0),
    (30, 0.0),
    (100, 0.0),
    (300, 0.0),
    (1_000, 0.0),
    (100, 0.03),
    (300, 0.03),
)
LIMITS_INSIDE = (0.925, 1.0)


def seconds_to_learn(works: int, horses: int) -> float:
    """Return the best of three."""
    table = String(1, horses).works(works)
    best = float("inf")
    for _ in range(3):
        began = perf_counter()
        own_line.fit(table)
        best = min(best, perf_counter() - began)
    return best


def held(works: int, mistimed: float) -> tuple[float, float, float]:
    """Return what part of works was foretold, what part of these fell inside, and the width."""
    told = pd.concat([foretold(String(seed), works, mistimed=mistimed) for seed in range(REPEATS)])
    said = told[told["expected_s"].notna()]
    width = (said["high_s"] - said["low_s"]) / 2 / (1.96 * NOISE * said["middle_s"])
    inside = float((said["verdict"] == "as expected").mean())
    return len(said) / len(told), inside, float(width.mean())


def main() -> int:
    failed = False
    for works, horses in SIZES:
        seconds = seconds_to_learn(works, horses)
        print(f"{works:>6,} works of {horses:>3} horses: {seconds * 1000:8.0f} ms")
        failed |= works == 300 and seconds > LIMIT_300_S
        failed |= works == 10_000 and seconds > LIMIT_10_000_S
    print(f"{'earlier works':>14}{'mistimed':>10}{'foretold':>10}{'inside':>9}{'width':>8}")
    for works, mistimed in BARNS:
        part, inside, width = held(works, mistimed)
        print(f"{works:>14,}{mistimed:>10.0%}{part:>10.1%}{inside:>9.1%}{width:>8.2f}")
        failed |= not LIMITS_INSIDE[0] <= inside <= LIMITS_INSIDE[1]
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
