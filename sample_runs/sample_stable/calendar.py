"""The days that the sample covers, and the one source of chance."""

import random
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

__all__ = ["FIRST_DAY", "LAST_DAY", "between", "chance", "day", "days"]

FIRST_DAY = date(2025, 5, 1)
LAST_DAY = date(2026, 10, 31)

_SEED = 20261031


def day(text: str) -> date:
    """Return the date of an ISO text."""
    return date.fromisoformat(text)


def days(first: date = FIRST_DAY, last: date = LAST_DAY) -> Iterator[date]:
    """Yield every day from the first to the last, both included."""
    for step in range((last - first).days + 1):
        yield first + timedelta(days=step)


def chance(*topic: str) -> random.Random:
    """Return the generator of a subject; the same words give the same stream on every machine."""
    return random.Random(f"{_SEED} {' '.join(topic)}")


def between(anchors: tuple[tuple[str, float], ...], on: date) -> float:
    """Return the value on a day, on straight lines between dated anchors, flat outside them."""
    points = [(day(text), value) for text, value in anchors]
    if on <= points[0][0]:
        return points[0][1]
    for (start, low), (end, high) in pairwise(points):
        if on <= end:
            return low + (high - low) * ((on - start) / (end - start))
    return points[-1][1]
