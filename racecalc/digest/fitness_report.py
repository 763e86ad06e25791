"""The exercise tests of a horse up to a day, and its works of the 30 days before against them."""

from dataclasses import dataclass, replace
from datetime import date

from racecalc import pace, workload
from racecalc.daybook import Barn, HorseBook
from racecalc.digest.asked import asked_of, thresholds_of
from racecalc.digest.fitness import newest_test, tests_until, without_steps
from racecalc.digest.fitness_model import Asked, FitnessTest
from racecalc.digest.load import classes_of, edges_of
from racecalc.digest.load_model import SpeedClass
from racecalc.digest.model import Horse, Month
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.settings import horse_of, last_day, one_clock_s
from racecalc.digest.work import records_of
from racecalc.digest.works import works_between

__all__ = ["FitnessReport", "build_fitness"]

_WORK_DAYS = 30
# A page has room for so many tests beside one another.
_SHOWN_TESTS = 8


@dataclass(frozen=True)
class FitnessReport:
    """The exercise tests of one horse up to a day.

    ``tests`` are oldest first, the newest two with their steps. ``asked`` tells of the works of the
    30 days to ``last``, against the paces of the newest test where that is not older than half a
    year, which ``fresh`` says; ``gallops`` are the speeds of the timed gallops then. ``classes``
    are those of speed that the works are told in.
    """

    barn: Barn
    horse: Horse
    first: date
    last: date
    tests: tuple[FitnessTest, ...]
    fresh: bool
    classes: tuple[SpeedClass, ...]
    asked: tuple[Asked, ...]
    gallops: tuple[Number, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    @property
    def recorded(self) -> bool:
        """Whether any test is on record."""
        return bool(self.tests)

    @property
    def newest(self) -> FitnessTest | None:
        """The newest test."""
        return self.tests[-1] if self.tests else None

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)


def build_fitness(record: HorseBook, until: str = "") -> FitnessReport:
    """Return the report on a horse's exercise tests.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for the newest day of its record.

    Raises
    ------
    OutOfRangeError
        If the text is no day.
    """
    last = last_day(record, until, ("exercise", "works", "fitness"))
    first, _ = workload.last_days(last, _WORK_DAYS)
    tests = tests_until(record.tables["fitness"], last)
    fresh = newest_test(tests, last)
    inside = workload.between_days(record.tables["works"], first, last)
    timed = inside[inside["time_s"].notna()].sort_values(["date", "work"], kind="stable")
    records, _ = records_of(record, list(timed["work"]))
    works = works_between(records, Month(f"{last:%Y-%m}", first, last)) if tests else ()
    edges, barn = edges_of(record.barn), record.barn
    asked = asked_of(works, edges, thresholds_of(fresh), one_clock_s(barn))
    return FitnessReport(
        barn=barn,
        horse=horse_of(record),
        first=first,
        last=last,
        tests=_shown(tests),
        fresh=fresh is not None,
        classes=classes_of(barn) if asked else (),
        gallops=_gallops(record, first, last) if fresh else (),
        asked=asked,
        left_out=tuple(record.left_out),
        withheld_notes=record.withheld_notes,
        data_hash=record.data_hash,
    )


def _shown(tests: tuple[FitnessTest, ...]) -> tuple[FitnessTest, ...]:
    """Return the newest tests, of which the last two are drawn and the last is told in full."""
    older, drawn = tests[-_SHOWN_TESTS:-2], tests[-2:]
    before = tuple(replace(one, recovered=()) for one in drawn[:-1])
    return (*map(without_steps, older), *before, *drawn[-1:])


def _gallops(record: HorseBook, first: date, last: date) -> tuple[Number, ...]:
    """Return the speeds of the gallops of some days, in their order."""
    inside = workload.between_days(record.tables["exercise"], first, last)
    timed = inside[(inside["activity"] == "gallop") & (inside["time_s"] > 0)]
    # Those of a day with a test are its steps.
    timed = timed[(timed["distance_m"] > 0) & ~timed["date"].isin(record.tables["fitness"]["date"])]
    timed = timed.sort_values(["date", "distance_m", "time_s"])
    return tuple(
        Number(
            f"gallops.{row['date'].date().isoformat()}",
            float(pace.speed_m_s(row["distance_m"], row["time_s"])),
            "threshold", "racecalc.pace.speed_m_s", 1,
        )
        for row in timed.to_dict("records")
    )  # fmt: skip
