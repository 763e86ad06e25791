"""One small horse in one small barn: a test writes only the tables that it is about."""

import tempfile
from pathlib import Path

from racecalc import daybook, digest
from tests.daybook.stable import BARN, write_book

METRIC = BARN.replace('"imperial"', '"metric"').replace('"fifths"', '"hundredths"')

ALONE: dict[str, str | None] = {
    "horses": "horse,name,foaled,sex\nsieve,Sieve,2022,filly\n",
    "tracks": (
        "track,name,surface,lap\n"
        "main,Main Oval,dirt,1 mi\n"
        "hill,Hill Ring,synthetic,6 f\n"
        "gallop,Long Gallop,turf,2000 m\n"
    ),
}
_NOT_HERE = (
    "owners", "shares", "exercise", "works", "splits", "measurements", "fitness", "footfalls",
    "surface", "weather", "forecast", "targets",
)  # fmt: skip

# The columns that a test fills in most often.
HEADS = {
    "exercise": "date,horse,activity,distance,time,track",
    "works": "work,date,horse,track,distance,time",
    "splits": "work,pole,clock",
    "measurements": "date,horse,what,value,shod,method",
    "fitness": "date,horse,step,speed,heart_rate,lactate,minutes_after",
    "surface": "date,track,state,rain",
    "targets": "horse,date,distance,track,what",
}


def rows(table: str, *lines: str, more: str = "") -> str:
    """Return a table of these lines under its head, with ``more`` columns if need be."""
    return "\n".join([HEADS[table] + more, *lines]) + "\n"


def record_of(folder: Path, barn: str = BARN, **tables: str) -> daybook.HorseBook:
    """Return the only horse's slice of a book that holds these tables; none may be refused."""
    written = write_book(folder, barn, **(dict.fromkeys(_NOT_HERE) | ALONE | tables))
    book = daybook.read(written)
    assert [str(problem) for problem in book.problems if problem.level == "error"] == []
    return daybook.slice_for(book, book.tables["horses"]["horse"].iloc[0])


def month_of(month: str = "2026-10", barn: str = BARN, **tables: str) -> digest.Digest:
    """Return the digest of one month of a horse whose book holds these tables."""
    with tempfile.TemporaryDirectory() as folder:
        return digest.build(record_of(Path(folder), barn, **tables), month)


def numbers_of(found: digest.Digest) -> dict[str, float]:
    """Return every value by its name; two of one name are a fault."""
    numbers = {number.name: number.value for number in found.numbers()}
    assert len(numbers) == len(found.numbers())
    return numbers
