"""Reports on one thing: a month, a body, a load, tests, a gait, a work, a card, a track."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from racecalc import digest
from racecalc.daybook import Book, HorseBook, slice_for, slice_with_tracks, track_slice
from racecalc.errors import ReportError
from racecalc.gait import FORE_SHARE
from racecalc.notation import read_distance, write_distance
from racecalc.report.run import Report, make

__all__ = [
    "BODY",
    "FITNESS",
    "GAIT",
    "LOAD",
    "NEXT_WORK",
    "POLE_SHEET",
    "SURFACE",
    "WORK_REVIEW",
    "body",
    "fitness",
    "gait",
    "load",
    "month",
    "next_work",
    "pole_sheet",
    "sheet_name",
    "surface",
    "work_review",
]

BODY = "body.ipynb"
FITNESS = "fitness.ipynb"
GAIT = "gait.ipynb"
LOAD = "load.ipynb"
NEXT_WORK = "next_work.ipynb"
POLE_SHEET = "pole_sheet.ipynb"
SURFACE = "surface.ipynb"
WORK_REVIEW = "work_review.ipynb"


def month(book: Book, horse: str, month: str) -> Report:
    """Make the report on one horse's month, ``YYYY-MM``.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    ReportError
        If the page cannot be made.
    """
    return make(slice_for(book, horse), {"horse": horse, "month": month})


def body(book: Book, horse: str, until: str = "") -> Report:
    """Make the report on one horse's body.

    Parameters
    ----------
    book : Book
        A daybook that was read and checked.
    horse : str
        The id of the horse.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for that of the newest measurement.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    ReportError
        If nothing was measured in the three years to that day, or the page cannot be made.
    """
    record = slice_for(book, horse)
    if not digest.build_body(record, until).recorded:
        raise _nothing(record, horse, until, "measurement", "the three years", ("measurements",))
    return make(record, {"horse": horse, "until": until}, BODY)


def load(book: Book, horse: str, until: str = "") -> Report:
    """Make the report on one horse's load.

    Parameters
    ----------
    book, horse
        As `body`.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for that of the newest entry.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    ReportError
        If no ground is on record in the half year to that day, or the page cannot be made.
    """
    record = slice_for(book, horse)
    if not digest.build_load(record, until).recorded:
        raise _nothing(record, horse, until, "ground", "the half year", ("exercise", "works"))
    return make(record, {"horse": horse, "until": until}, LOAD)


def fitness(book: Book, horse: str, until: str = "") -> Report:
    """Make the report on one horse's exercise tests.

    Parameters
    ----------
    book, horse
        As `body`.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for that of the newest entry.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    ReportError
        If no test is on record up to that day, or the page cannot be made.
    """
    record = slice_for(book, horse)
    if not digest.build_fitness(record, until).recorded:
        raise _nothing(record, horse, until, "exercise test", "all the time", ("fitness",))
    return make(record, {"horse": horse, "until": until}, FITNESS)


def gait(book: Book, horse: str, until: str, clip: str, fore_share: float = FORE_SHARE) -> Report:
    """Make the report on how one horse went in films of its feet.

    Parameters
    ----------
    book, horse
        As `body`.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for that of the newest clip or work.
    clip : str
        The clip that is told in full; blank for the newest.
    fore_share : float
        The share of its weight that the horse carries on its fore feet.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    OutOfRangeError
        If there is no such clip, or the share is not between zero and one.
    ReportError
        If no clip and no lead is on record up to that day, or the page cannot be made.
    """
    record = slice_for(book, horse)
    if not digest.build_gait(record, until).recorded:
        raise _nothing(
            record, horse, until, "film of the feet or lead", "all the time", ("footfalls",)
        )
    # Refused here in plain words, before a workbook is run in vain.
    digest.build_gait(record, until, clip, fore_share)
    asked = {"horse": horse, "until": until, "clip": clip, "fore_share": fore_share}
    return make(record, asked, GAIT)


def next_work(book: Book, horse: str, asked: Mapping[str, Any]) -> Report:
    """Make the report on a horse's next fast work.

    Parameters
    ----------
    book, horse
        As `body`.
    asked : mapping
        The parameters of the workbook beside the horse: ``until``, ``planned``, ``bad_footing`` and
        ``track``, each blank for what stands where nothing is asked.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    OutOfRangeError
        If what is asked cannot be.
    ReportError
        If the page cannot be made.
    """
    record = slice_with_tracks(book, horse)
    # Refused here in plain words, before a workbook is run in vain.
    digest.build_next_work(record, **asked)
    return make(record, {"horse": horse, **asked}, NEXT_WORK)


def surface(book: Book, track: str, until: str = "") -> Report:
    """Make the report on one track's surface.

    Parameters
    ----------
    book : Book
        A daybook that was read and checked.
    track : str
        The id of the track.
    until : str
        The last day that is told of, ``YYYY-MM-DD``; blank for the newest of the logs.

    Raises
    ------
    OutOfRangeError
        If the book holds no such track.
    ReportError
        If the page cannot be made.
    """
    record = track_slice(book)
    # Refused here in plain words, before a workbook is run in vain.
    digest.build_surface(record, track, until)
    return make(record, {"track": track, "until": until, "horse": ""}, SURFACE)


def _nothing(
    record: HorseBook, horse: str, until: str, what: str, span: str, tables: Sequence[str]
) -> ReportError:
    taken = pd.concat([record.tables[table]["date"] for table in tables])
    newest = "there is none" if taken.empty else f"the newest is of {taken.max():%Y-%m-%d}"
    when = f" in {span} to {until}" if until else ""
    refused = any(one.startswith(tuple(tables)) for one in record.left_out)
    more = "; rows that might tell were refused (racecalc check tells)" if refused else ""
    return ReportError(f"{horse}: no {what} is on record{when}; {newest}{more}")


def work_review(book: Book, work: str) -> Report:
    """Make the review of one work.

    Parameters
    ----------
    book : Book
        A daybook that was read and checked.
    work : str
        The id of the work.

    Raises
    ------
    ReportError
        If the book holds no such work, its row was refused, or its page cannot be made.
    """
    works = book.tables["works"]
    horses = works.loc[works["work"] == work, "horse"]
    if horses.empty:
        raise ReportError(_no_work(book, work))
    horse = str(horses.iloc[0])
    return make(slice_for(book, horse), {"horse": horse, "work": work}, WORK_REVIEW)


def _no_work(book: Book, work: str) -> str:
    newest = book.tables["works"].sort_values(["date", "work"], kind="stable")["work"].tail(5)
    known = ", ".join(newest) or "none"
    return (
        f"{book.path_name}: no work has the id “{work}”, or its row was refused (racecalc check "
        f"tells); the newest are {known}"
    )


def pole_sheet(book: Book, asked: Mapping[str, Any]) -> Report:
    """Make the pole sheet of a work that is to be done.

    Parameters
    ----------
    book : Book
        A daybook that was read and checked.
    asked : mapping
        The parameters of the workbook: ``track``, ``distance``, ``asked``, ``start``, ``day``,
        ``tolerance``, ``run_up``, ``off_rail`` and ``horse`` (blank: a sheet for any horse).

    Raises
    ------
    NotationError, OutOfRangeError
        If what is asked cannot be read, or the track does not allow it.
    UnknownHorseError
        If the book holds no such horse.
    ReportError
        If the page cannot be made.
    """
    horse = str(asked["horse"])
    record = slice_for(book, horse) if horse else track_slice(book)
    # Refused here in plain words, before a workbook is run in vain.
    sizes = {key: value for key, value in asked.items() if key not in ("horse", "track")}
    digest.build_pole_sheet(record, asked["track"], **sizes)
    return make(record, asked, POLE_SHEET)


def sheet_name(asked: Mapping[str, Any]) -> str:
    """Return the name of a sheet's folder: the day, for whom or where, how far and how.

    Two sheets of one name are of one work.
    """
    far = write_distance(read_distance(asked["distance"]))
    parts = [asked["day"], asked["horse"] or asked["track"], far, "in", asked["asked"]]
    parts += ["from", asked["start"]] if asked["start"] else []
    parts += ["off", asked["off_rail"]] if asked["off_rail"] else []
    # A fraction of one sign becomes digits, so that it is not lost.
    plain = (unicodedata.normalize("NFKD", str(part)) for part in parts)
    return "-".join(re.sub(r"\W+", "-", text).strip("-") for text in plain)
