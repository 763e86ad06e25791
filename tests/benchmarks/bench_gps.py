"""How long it takes to follow a work, and how good its pole times are.

Run as ``python -m tests.benchmarks.bench_gps``; it prints milliseconds, and the errors of pole
times in simulation. It is no test: the milliseconds depend on the machine.
"""

import time

import numpy as np

from racecalc.gps import follow
from tests.gps.ride import ANCHOR, DAY, FURLONG_M, Receiver, file_of, mile, ride
from tests.gps.test_follow import simulated

SIX = 6 * FURLONG_M


def milliseconds(points) -> float:
    """Return the quickest of fifteen runs."""
    taken = []
    for _ in range(15):
        begun = time.perf_counter()
        follow(points, mile(), ANCHOR, SIX, SIX, DAY, FURLONG_M)
        taken.append(time.perf_counter() - begun)
    return min(taken) * 1e3


def main() -> None:
    """Print what it costs, and what it is worth."""
    follow(file_of(mile(), ANCHOR, ride(SIX, SIX)), mile(), ANCHOR, SIX, SIX, DAY, FURLONG_M)
    for jog_s, after_s in ((8, 10), (60, 60), (900, 900), (3600, 3600)):
        points = file_of(
            mile(), ANCHOR, ride(SIX, SIX, jog_s=jog_s, after_s=after_s), Receiver(0.1)
        )
        print(f"{len(points):6} fixes at 10 Hz: {milliseconds(points):6.1f} ms")
    print("furlong  rate   noise lasts   95 % within   within 0.2 s   inside error_s")
    for furlong_s in (12.0, 15.0):
        for receiver in (
            Receiver(1.0), Receiver(0.1), Receiver(1.0, lasting_s=9.5),
            Receiver(0.1, lasting_s=9.5), Receiver(1.0, lasting_s=30.0),
        ):  # fmt: skip
            errors, widths = simulated(ride(SIX, SIX, furlong_s), receiver, 200)
            away = np.abs(errors)
            print(
                f"{furlong_s:5.0f} s {1 / receiver.interval_s:4.0f} Hz {receiver.lasting_s:9.1f} s"
                f" {np.quantile(away, 0.95):11.3f} s {np.mean(away <= 0.2):13.1%}"
                f" {np.mean(away <= widths):15.1%}"
            )


if __name__ == "__main__":
    main()
