"""One number of a report: a stable name, a value in SI, and where it comes from."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

__all__ = ["KIND_UNITS", "Number", "numbers_in"]

# How a kind of number is measured. The printed form of a kind is decided in `racecalc.words`.
KIND_UNITS = {
    "count": "1",
    "distance": "m",
    "ground": "m",
    # Ground at fast speed, in the unit of works: furlongs, or kilometres.
    "fast_ground": "m",
    # How often a foot came down, and one amount of ground over another.
    "strides": "1",
    "ratio": "1",
    "day_ground": "m",
    "clock": "s",
    "split": "s",
    "seconds": "s",
    "pace": "s/furlong",
    "pace_200m": "s/200m",
    "speed": "m/s",
    "threshold": "m/s",
    "height": "m",
    "height_change": "m",
    "weight": "kg",
    "height_noise": "m",
    "weight_change": "kg",
    "weight_noise": "kg",
    "condition": "score",
    "condition_change": "score",
    "condition_noise": "score",
    # Measures taken with a tape round a part of the horse.
    "girth": "m",
    "girth_change": "m",
    "girth_noise": "m",
    "length": "m",
    "length_change": "m",
    "length_noise": "m",
    "cannon": "m",
    "cannon_change": "m",
    "cannon_noise": "m",
    "shoes": "m",
    "temperature": "°C",
    # Of the air; a chance, by a forecast; and what a day costs, in days of waiting.
    "air": "°C",
    "chance": "%",
    "wait": "days",
    "pulse": "beats/min",
    # Of a growing horse: its age, and a share of what it will be.
    "months": "months",
    "percent": "%",
    # Of an exercise test: changes of a heart rate and of a pace, and what a pace may be off.
    "beats_change": "beats/min",
    "lactate": "mmol/l",
    "pace_change": "s/furlong",
    "pace_error": "s/furlong",
    # A speed between two classes, printed as a pace.
    "edge": "m/s",
    # Ground between poles.
    "section_ground": "m",
    # Digestible energy a day.
    "energy": "Mcal",
    "moisture": "%",
    "depth": "m",
    "rain": "mm",
    # What a watch should show, rounded down as a watch is read.
    "watch": "s",
    "watch_late": "s",
    # A time that was to be expected: no reading, so to a tenth only.
    "expected": "s",
    # A time set between clocks: to a tenth, as it was not read.
    "interpolated": "s",
    # A small time that is no reading of a watch.
    "small_time": "s",
    # A difference of paces, with its sign.
    "pace_difference": "s/furlong",
    # How far pieces of one work lie apart, and what a pace may be off.
    "pace_range": "s/furlong",
    # A length on the ground, from a pole or beyond the measured one.
    "offset": "m",
    "extra": "m",
    "bank": "%",
    # By how much a footing changes times, with its sign.
    "footing_effect": "%",
    # Of a GPS receiver: a clock, its difference from the watch, an interval, a scatter of fixes, a
    # distance outside the measuring line.
    "tenths_clock": "s",
    "time_difference": "s",
    "tenths": "s",
    "scatter": "m",
    "signed_offset": "m",
    # Of a film of the feet: times of strides and of feet on the ground, each with its error (the
    # rough ones where frames are few), the step between frames, ground covered, a force over the
    # horse's weight, and what a share may be off.
    "stride_time": "s",
    "stride_time_error": "s",
    "stride_time_rough": "s",
    "stride_time_rough_error": "s",
    "stride_rate": "1/s",
    "stride_rate_error": "1/s",
    "stride_rate_rough": "1/s",
    "stride_rate_rough_error": "1/s",
    "stride_length": "m",
    "stride_length_error": "m",
    "stance": "s",
    "stance_rough": "s",
    "stance_error": "s",
    "frame_step": "s",
    "force": "1",
    "points": "%",
}


@dataclass(frozen=True)
class Number:
    """One number: a stable dotted name, a value in SI, and where it comes from.

    ``n`` counts the records of the daybook behind it; ``made_by`` is the function that computed it.
    """

    name: str
    value: float
    kind: str
    made_by: str
    n: int
    sources: tuple[str, ...] = ()
    caveat: str | None = None

    @property
    def unit(self) -> str:
        """The unit of ``value``."""
        return KIND_UNITS[self.kind]


def numbers_in(value: Any) -> tuple[Number, ...]:
    """Return every number inside dataclasses, tuples and dicts, in the order of their fields.

    A number that stands in two places is returned once. Names are unique: where the book gives two
    numbers one name, as two races aimed at on one day, the second ends in ``.2``.
    """
    return tuple(_named_apart(_numbers_in(value)))


def _named_apart(numbers: Iterator[Number]) -> Iterator[Number]:
    taken: set[str] = set()
    seen: set[int] = set()
    for number in numbers:
        # One number may stand in two places, as the mean pace of a work in its review.
        if id(number) in seen:
            continue
        seen.add(id(number))
        name, times = number.name, 1
        while name in taken:
            times += 1
            name = f"{number.name}.{times}"
        taken.add(name)
        yield number if times == 1 else replace(number, name=name)


def _numbers_in(value: Any) -> Iterator[Number]:
    if isinstance(value, Number):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from _numbers_in(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from _numbers_in(item)
    elif is_dataclass(value):
        for entry in fields(value):
            yield from _numbers_in(getattr(value, entry.name))
