"""The daybook: what a trainer keeps, read and checked, and one horse's slice of it.

>>> from racecalc import daybook
>>> book = daybook.read("stable")  # doctest: +SKIP
>>> slice_of_one = daybook.slice_for(book, "kestrel")  # doctest: +SKIP
"""

from racecalc.daybook.barn import WEEKDAYS, Barn
from racecalc.daybook.book import Book, check, read
from racecalc.daybook.frozen import freeze, open_slice
from racecalc.daybook.new import new
from racecalc.daybook.problems import Problem
from racecalc.daybook.schema import SCHEMA, STATES, Column, TableSchema, markdown
from racecalc.daybook.snapshot import HorseBook, slice_for, slice_with_tracks, track_slice

__all__ = [
    "SCHEMA",
    "STATES",
    "WEEKDAYS",
    "Barn",
    "Book",
    "Column",
    "HorseBook",
    "Problem",
    "TableSchema",
    "check",
    "freeze",
    "markdown",
    "new",
    "open_slice",
    "read",
    "slice_for",
    "slice_with_tracks",
    "track_slice",
]
