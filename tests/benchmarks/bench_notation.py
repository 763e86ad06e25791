"""How fast columns are read: run as ``python -m tests.benchmarks.bench_notation``.

Prints seconds and cells a second for a million cells, and exits with 1 when a limit is passed.
"""

import random
import sys
from collections.abc import Callable
from time import perf_counter

from racecalc.notation import read_column

CELLS = 1_000_000
FEW = 20_000
LIMIT_FEW_S = 2.0
LIMIT_DISTINCT_S = 10.0

WRITTEN: dict[str, tuple[str, Callable[[int], str]]] = {
    "height, hands": ("height", lambda n: f"{n // 4 % 900 + 4}.{n % 4} {n // 3600 + 1}/512"),
    "height, cm": ("height", lambda n: f"{n / 100 + 1:.2f} cm"),
    "distance, furlongs": ("distance", lambda n: f"{n} 1/2 f"),
    "distance, mile and yards": ("distance", lambda n: f"{n + 1} mi 70 yd"),
    "distance, typographic": ("distance", lambda n: f"{n}½ f"),
    "clock, hundredths": ("clock", lambda n: f"{n // 6000}:{n // 100 % 60:02d}.{n % 100:02d}"),
    "weight": ("weight", lambda n: f"{n + 1:,} lb"),
    "speed": ("speed", lambda n: f"{n / 100 + 1:.2f} s/f"),
    "rain": ("rain", lambda n: f"{n / 100:.2f} in"),
    "temperature": ("temperature", lambda n: f"{n / 100:.2f} F"),
    "pole": ("pole", lambda n: f"{n + 100} m"),
    "refused": ("distance", lambda n: f"{n}"),
}


def seconds_to_read(cells: list[str], kind: str) -> float:
    began = perf_counter()
    read_column(cells, kind)
    return perf_counter() - began


def main() -> int:
    chooser = random.Random(1)
    worst = 0
    print(f"{'a million cells':28}{'20,000 distinct':>24}{'all distinct':>24}")
    for label, (kind, write) in WRITTEN.items():
        few = [write(n) for n in range(FEW)]
        few_s = seconds_to_read(chooser.choices(few, k=CELLS), kind)
        distinct = [write(n) for n in range(CELLS)]
        distinct_s = seconds_to_read(distinct, kind)
        worst |= few_s > LIMIT_FEW_S or distinct_s > LIMIT_DISTINCT_S
        rates = "".join(f"{s:>9.2f} s{CELLS / s:>11,.0f}/s" for s in (few_s, distinct_s))
        print(f"{label:28}{rates}   {len(set(distinct)):>9,} different")
    return int(worst)


if __name__ == "__main__":
    sys.exit(main())
