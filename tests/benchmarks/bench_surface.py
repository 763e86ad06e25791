"""How true the chances of footing are, and how long they take.

Run as ``python -m tests.benchmarks.bench_surface``. It prints, of invented mornings, how often bad
footing came in each class of stated chances: of forecasts that tell the truth on a track whose
words are known; then the whole way, with words learned from two years of a log and rain by a chain
of wet and dry days. It prints the Brier score against that of one who always states how often it
comes, and what each step takes, as a multiple of drawing the rain once. It exits with 1 when a
limit is passed.
"""

import sys
from collections.abc import Callable
from time import perf_counter

import numpy as np

from racecalc import surface
from racecalc.surface import ForecastDay
from tests.surface import invented_sky
from tests.surface.invented_sky import LATITUDE, SAND, Sky, Told

MORNINGS = 4_000
LEARNED, TOLD = 730, 3_650
SKIES = {
    "showers, half of the rain before work": Sky(),
    "wet spells, half of the rain before work": Sky(0.2, 0.7),
    "showers, all rain after work": Sky(before_work=0.0),
}
# The draws alone may err; the whole way has words to learn, and a forecast that knows no spells.
LIMIT_OFF, LIMIT_OFF_WHOLE_WAY = 0.015, 0.08
LIMIT_BRIER, LIMIT_BRIER_WHOLE_WAY = 0.75, 0.95
# Times drawing the rain of seven days ten thousand times.
LIMITS_TIMES = {"mornings": 10.0, "word chances": 20.0, "two years of water": 40.0, "words": 60.0}
RUNS = 5


def printed(title: str, told: Told, off: float, brier: float) -> bool:
    """Print how chances compare with what came; return whether a limit is passed."""
    found = told.reliability()
    skill = found.brier / found.brier_of_base_rate
    bias = float(told.stated.mean() - told.came.mean())
    print(f"\n{title}: {found.days:,} mornings")
    print(f"{'stated':>12}{'mornings':>10}{'mean':>8}{'came':>8}{'error':>8}")
    for row in found.table().to_dict("records"):
        error = np.sqrt(max(row["stated"] * (1 - row["stated"]), 0) / row["days"])
        print(
            f"{row['low']:>7.0%} to{row['high']:>5.0%}{row['days']:>7,}{row['stated']:>8.1%}"
            f"{row['came']:>8.1%}{error:>8.1%}"
        )
    for lead in (1, 3, 7):
        on = told.lead == lead
        stated, came = told.stated[on].mean(), told.came[on].mean()
        print(f"days ahead {lead}: stated {stated:.1%}, came {came:.1%}")
    print(f"stated {bias:+.1%} too often; Brier {found.brier:.4f}, {skill:.2f} of the base rate’s")
    return abs(bias) > off or skill > brier


def seconds(run: Callable[[], object]) -> float:
    """Return the best of some runs."""
    best = float("inf")
    for _ in range(RUNS):
        began = perf_counter()
        run()
        best = min(best, perf_counter() - began)
    return best


def steps() -> tuple[float, dict[str, float]]:
    """Return the seconds of drawing once, and of each other step."""
    days = [ForecastDay(0.4, 6.0, 4.0)] * invented_sky.AHEAD
    kept = invented_sky.days_of(Sky(), LEARNED, seed=4)
    last = kept.weather["date"].iloc[-1].date()
    rain = surface.draw_rain(days)
    depletion = surface.mornings(5.0, days, SAND, rain=rain)

    def water() -> object:
        return surface.daily_water(
            kept.weather, kept.log, "main", SAND, LATITUDE, invented_sky.FIRST, last
        )

    index = surface.morning_index(water(), SAND)  # type: ignore[arg-type]
    curves = surface.default_curves("dirt")
    return seconds(lambda: surface.draw_rain(days)), {
        "mornings": seconds(lambda: surface.mornings(5.0, days, SAND, rain=rain)),
        "word chances": seconds(lambda: surface.word_chances(depletion, SAND, curves)),
        "two years of water": seconds(water),
        "words": seconds(lambda: surface.learn(kept.log, "main", "dirt", index, last)),
    }


def main() -> int:
    """Print all of it and tell whether it keeps to the limits."""
    told = invented_sky.independent(MORNINGS, seed=11)
    failed = printed("True forecasts, known words", told, LIMIT_OFF, LIMIT_BRIER)
    for title, sky in SKIES.items():
        told = invented_sky.whole_way(sky, LEARNED, TOLD, seed=5)
        failed |= printed(
            f"The whole way, {title}", told, LIMIT_OFF_WHOLE_WAY, LIMIT_BRIER_WHOLE_WAY
        )
    once, others = steps()
    print(f"\ndrawing {surface.DRAWS:,} times: {once * 1000:.1f} ms")
    for name, took in others.items():
        print(f"{name:>20}: {took / once:6.1f} times that")
        failed |= took / once > LIMITS_TIMES[name]
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
