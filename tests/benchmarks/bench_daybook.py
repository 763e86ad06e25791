"""How fast a large daybook is read: a stable of 1,000 horses over five years.

Run as ``python -m tests.benchmarks.bench_daybook [megabytes]``; it prints seconds, rates and the
largest memory. It is no test: the figures depend on the machine.
"""

import random
import resource
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd

from racecalc import daybook
from racecalc.daybook.body_limits import ages, check_measurements, warn_of_unlikely
from racecalc.daybook.lengths import check_lengths
from racecalc.daybook.own_record import check_own_record
from racecalc.daybook.table import Table
from racecalc.notation import write_clock
from tests.daybook.stable import TABLES, write_book

HORSES = [f"h{number:04}" for number in range(1000)]
FIRST = date(2022, 1, 1)


def days(count: int, chance: random.Random) -> list[str]:
    return [(FIRST + timedelta(days=chance.randrange(1700))).isoformat() for _ in range(count)]


def exercise(megabytes: float, chance: random.Random) -> str:
    """Return an exercise table of about that size."""
    lines, size = [TABLES["exercise"].splitlines()[0]], 0
    distances = ["1 1/2 mi", "2 mi", "1 mi 70 yd", "6 f", "1200 m", ""]
    while size < megabytes * 1e6:
        for day in days(10_000, chance):
            kind = chance.choice(["walk", "jog", "canter", "gallop", "rest"])
            far = "" if kind == "rest" else chance.choice(distances)
            note = chance.choice(["", "", f"note {chance.randrange(10**6)} of the day"])
            rider = f"Rider {chance.randrange(40)}"
            line = f"{day},{chance.choice(HORSES)},{kind},{far},,main,{rider},{note}"
            lines.append(line)
            size += len(line) + 1
    return "\n".join(lines) + "\n"


def works(count: int, chance: random.Random) -> tuple[str, str]:
    """Return works of five furlongs, and their splits."""
    rows, splits = [TABLES["works"].splitlines()[0]], [TABLES["splits"].splitlines()[0]]
    for number, day in enumerate(days(count, chance)):
        clocks, clock = [], 0.0
        for _ in range(6):
            clock += chance.randrange(58, 66) / 5
            clocks.append(write_clock(clock, "fifths"))
        work = f"w{number}"
        horse = chance.choice(HORSES)
        rows.append(f"{work},{day},{horse},main,5 f,{clocks[4]},5/8,breezing,no,fast,steady,,,")
        poles = ["1/2", "3/8", "1/4", "1/8", "finish", "+1/8"]
        splits += [f"{work},{pole},{c}," for pole, c in zip(poles, clocks, strict=True)]
    return "\n".join(rows) + "\n", "\n".join(splits) + "\n"


def body_checks(count: int) -> None:
    """Print how long the checks of so many measurements take."""
    chance = np.random.default_rng(7)
    middles = {"weight": 470.0, "height": 1.62, "girth": 1.85, "length": 1.65, "cannon": 0.2}
    what = chance.choice(np.array(list(middles), dtype=object), count)
    rows = {
        "date": pd.Timestamp(FIRST) + pd.to_timedelta(chance.integers(0, 1700, count), "D"),
        "horse": chance.choice(np.array(HORSES, dtype=object), count),
        "what": what,
        "value": pd.Series(what).map(middles) * chance.normal(1, 0.006, count),
        "method": chance.choice(np.array(["scale", "tape", None], dtype=object), count),
        "row": np.arange(count) + 2,
    }
    refused = np.zeros(count, dtype=np.bool_)
    table = Table(daybook.SCHEMA["measurements"], "measurements", pd.DataFrame(rows), refused)
    age = ages(table, dict.fromkeys(HORSES, 2019.0))
    for name, check in {
        "limits": lambda: warn_of_unlikely(table, age, check_measurements(table, age)),
        "own record": lambda: check_own_record(table, age),
        "lengths": lambda: check_lengths(table),
    }.items():
        began = time.perf_counter()
        check()
        took = (time.perf_counter() - began) * 1000
        print(f"{name} of {count:,} measurements checked in {took:.0f} ms")


def main(megabytes: float) -> None:
    """Write the stable, read it, cut slices, and print what that took."""
    chance = random.Random(7)
    work_rows, split_rows = works(100_000, chance)
    horses = "horse,name,foaled\n" + "".join(f"{h},Horse {h},2019\n" for h in HORSES)
    with tempfile.TemporaryDirectory() as folder:
        path = write_book(
            Path(folder),
            horses=horses,
            shares=None,
            exercise=exercise(megabytes, chance),
            works=work_rows,
            splits=split_rows,
            **dict.fromkeys(["measurements", "fitness", "footfalls", "targets"]),
        )
        size = sum(file.stat().st_size for file in path.iterdir()) / 1e6
        began = time.perf_counter()
        book = daybook.read(path)
        took = time.perf_counter() - began
        rows = sum(book.rows_read.values())
        print(f"{size:.0f} MB, {rows:,} rows read in {took:.1f} s ({rows / took:,.0f} rows/s)")
        print(f"{len(book.problems)} problems")
        began = time.perf_counter()
        for horse in HORSES[:20]:
            daybook.slice_for(book, horse)
        print(f"a slice in {(time.perf_counter() - began) / 20 * 1000:.0f} ms")
    body_checks(1_000_000)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    print(f"largest memory {memory:.2f} GB")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 50.0)
