"""A horse's body up to a day: what was measured, whether it changed, what is usual at that age."""

from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

from racecalc import body
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.body_model import Compared, Measure, Vital
from racecalc.digest.measures import compared, followed, measure, series_of
from racecalc.digest.model import Horse
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import horse_of, last_day, shoes_of
from racecalc.digest.size import Energy, Growth, TapeWeight, energy, growth, tape_weights
from racecalc.digest.vitals import vital

__all__ = ["BodyReport", "Event", "Line", "Shoes", "build_body"]

_MEASURED = ("height", "weight", "condition", "girth", "length", "cannon")
_VITAL = ("temperature", "pulse")

# A newest reading is compared with those before so many days, under these names.
_SPANS = {"30d": 30, "90d": 90, "1y": 365}

_SHOWN_DAYS = 1100
_VITAL_DAYS = 90
# A race so many days before a weighing may still show in it.
_RACE_SHOWS_DAYS = 3


@dataclass(frozen=True)
class Line:
    """One measurement followed over time.

    ``spans`` compares its newest reading with one before each span of days, where there is one that
    no shorter span has taken.
    """

    measure: Measure
    spans: tuple[tuple[str, Compared], ...]


@dataclass(frozen=True)
class Event:
    """A work or a race, as a mark below a picture."""

    day: date
    what: str


@dataclass(frozen=True)
class Shoes:
    """What shoes are taken to add to a height, how far that may be out, and her own pairs.

    ``own`` is the median difference of heights with and without shoes on one day, ``pairs`` how
    many such days there are.
    """

    allowance: Number
    error: Number
    own: Number | None
    pairs: Number | None


@dataclass(frozen=True)
class BodyReport:
    """One horse's body up to a day.

    ``last`` is the day; ``foaling_unknown`` tells that the book does not say the day of foaling;
    ``context`` holds published swings that are no change of the horse; ``after_race`` counts the
    days from a race to the newest weighing, where they are few.
    """

    barn: Barn
    horse: Horse
    first: date
    last: date
    lines: tuple[Line, ...]
    shoes: Shoes
    vitals: tuple[Vital, ...]
    growth: Growth | None
    foaling_unknown: bool
    tape_weights: tuple[TapeWeight, ...]
    energy: Energy | None
    events: tuple[Event, ...]
    context: dict[str, Number]
    after_race: Number | None
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    @property
    def recorded(self) -> bool:
        """Whether anything was measured."""
        return bool(self.lines or self.vitals)

    def of(self, what: str) -> Line | None:
        """Return the line of a measurement, if there is one."""
        return next((line for line in self.lines if line.measure.what == what), None)

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_body(record: HorseBook, until: str = "") -> BodyReport:
    """Return the report on a horse's body.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for the day of the newest measurement.

    Raises
    ------
    OutOfRangeError
        If the text is no day.
    """
    measurements = record.tables["measurements"]
    last = last_day(record, until, ("measurements",))
    first = last - timedelta(days=_SPANS["30d"] - 1)
    barn = record.barn
    lines = tuple(
        line for what in _MEASURED if (line := _line(measurements, what, first, last, barn))
    )
    weighed = next((line.measure for line in lines if line.measure.what == "weight"), None)
    events = _events(record, last)
    after_race = _after_race(events, weighed)
    since = last - timedelta(days=_VITAL_DAYS - 1)
    heights = series_of(measurements, "height", last, barn)
    return BodyReport(
        barn=barn,
        horse=horse_of(record),
        first=since,
        last=last,
        lines=lines,
        shoes=_shoes(measurements, last, shoes_of(barn)),
        vitals=tuple(
            found for what in _VITAL if (found := vital(measurements, what, since, last, True))
        ),
        growth=growth(record, last, heights),
        foaling_unknown=bool(pd.isna(record.tables["horses"].iloc[0]["foaled"])),
        tape_weights=tape_weights(record, last),
        energy=energy(record, weighed, last),
        events=events,
        context=_context(lines, after_race),
        after_race=after_race,
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )


def _line(
    measurements: pd.DataFrame, what: str, first: date, last: date, barn: Barn
) -> Line | None:
    found = measure(measurements, what, first, last, barn, _SHOWN_DAYS, told_in_full=True)
    newest = followed(series_of(measurements, what, last, barn))
    if found is None or newest is None:
        return None
    spans, seen = [], set()
    for name, days in _SPANS.items():
        change = body.change(newest, newest.last.day - timedelta(days=days))
        # The oldest reading stands in where none is old enough: no span says more than it holds.
        if change is None or change.first.day in seen or _younger(change, days):
            continue
        seen.add(change.first.day)
        spans.append((name, compared(change, what, barn.units == "metric", name)))
    return Line(found, tuple(spans))


def _younger(change: body.Change, days: int) -> bool:
    return (change.last.day - change.first.day).days < days


def _shoes(measurements: pd.DataFrame, last: date, allowance: Number) -> Shoes:
    until = measurements[measurements["date"] <= pd.Timestamp(last)]
    own = body.shoes_add(body.series(until, "height"))
    error = Number(
        "height.shoes.error",
        body.SHOE_ERROR_M,
        "height_noise",
        "racecalc.body.barefoot",
        0,
        ("practice_shoe_allowance",),
    )
    if own is None:
        return Shoes(allowance, error, None, None)
    value, days = own
    made_by = "racecalc.body.shoes_add"
    return Shoes(
        allowance,
        error,
        Number("height.shoes.own", value, "shoes", made_by, 2 * days),
        Number("height.shoes.pairs", float(days), "count", made_by, 2 * days),
    )


def _events(record: HorseBook, last: date) -> tuple[Event, ...]:
    exercise, works = record.tables["exercise"], record.tables["works"]
    raced = exercise.loc[exercise["activity"] == "race", "date"]
    days = {moment.date(): "work" for moment in works["date"]}
    days |= {moment.date(): "race" for moment in raced}
    first = last - timedelta(days=_SHOWN_DAYS)
    return tuple(Event(day, days[day]) for day in sorted(days) if first <= day <= last)


def _after_race(events: tuple[Event, ...], weighed: Measure | None) -> Number | None:
    if weighed is None:
        return None
    before = [e.day for e in events if e.what == "race" and e.day <= weighed.day]
    days = (weighed.day - before[-1]).days if before else None
    if days is None or days > _RACE_SHOWS_DAYS:
        return None
    return Number("weight.days_after_race", float(days), "count", "racecalc.digest.build_body", 2)


def _context(lines: tuple[Line, ...], after_race: Number | None) -> dict[str, Number]:
    """Return the published swings that the page speaks of: those of what was measured."""
    kinds = {"weight": ("season_low", "season_high"), "height": ("trot_rise", "standing_fall")}
    wanted = [name for line in lines for name in kinds.get(line.measure.what, ())]
    wanted += ["race_loss"] if after_race else []
    return {name: _swing(name) for name in wanted}


def _swing(name: str) -> Number:
    value, key = body.published_swing(name)
    kind = "height_noise" if name in ("trot_rise", "standing_fall") else "weight_noise"
    return Number(f"context.{name}", value, kind, "racecalc.body.published_swing", 0, (key,))
