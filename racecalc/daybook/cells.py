"""From text to values, one distinct text at a time."""

import datetime
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from racecalc.daybook.meant import decimal_hands
from racecalc.daybook.problems import listed, quoted
from racecalc.daybook.schema import WEIGHED, Column
from racecalc.daybook.states import StateWords, is_state, refusal
from racecalc.errors import NotationError
from racecalc.notation import (
    Clock,
    read_column,
    read_distance,
    read_pole,
    write_distance,
    write_pole,
)

__all__ = ["Parsed", "Settings", "parse_cells", "parse_measured", "read_date"]

Texts = list[str | None]

_ID = re.compile(r"[\w-]+")
_LONGEST_ID = 60  # an id names a folder of reports, and file systems stop at 255 bytes
_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d+)?|\.\d+)", re.ASCII)
_ISO_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})(?:[ T]00:00(?::00(?:\.0+)?)?)?", re.ASCII)
_OTHER_DATE = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})", re.ASCII)
_EMAIL = re.compile(r"[^@\s,;<>]+@[^@\s,;<>]+")
_FIRST_YEAR, _LAST_YEAR = 1980, 2099
_YES = {"yes", "y", "true", "1"}
_NO = {"no", "n", "false", "0"}
_UNIT_WORDS = {
    "%": ("%",),
    "beats/min": ("beats/min", "bpm", "/min"),
    "mmol/L": ("mmol/l",),
    "MJ/m2": ("mj/m2", "mj/m2/day", "mj/m²", "mj/m²/day"),
    "degrees": ("°", "deg", "degrees"),
    "s": ("s",),
    "min": ("min", "minutes"),
    "fps": ("fps",),
}


@dataclass(frozen=True)
class Settings:
    """What the reading of cells takes from the barn: its clock, and its words for states."""

    clock: Clock
    states: StateWords


@dataclass(frozen=True)
class Parsed:
    """The values of a column's distinct texts, by field, and what is wrong with which text."""

    fields: dict[str, npt.NDArray[Any]]
    refused: dict[int, str]


def parse_cells(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse the distinct texts of a column; ``value`` columns are parsed by their measurement."""
    refused = _unprintable(texts, column.kind in ("text",))
    clean = [None if index in refused else text for index, text in enumerate(texts)]
    parsed = _PARSERS.get(column.kind, _notation)(column, clean, settings)
    return Parsed(parsed.fields, {**parsed.refused, **refused})


# A name stands on one line of a page.
_LONGEST_NAME = 100

# Characters that turn the direction of all text that follows them.
_TURNERS = set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def _unprintable(texts: Texts, lines_allowed: bool) -> dict[int, str]:
    """Find texts with bytes that are not UTF-8, or with control characters."""
    refused = {}
    for index, text in enumerate(texts):
        if text is None or text.isprintable():
            continue
        if any("\udc80" <= character <= "\udcff" for character in text):
            refused[index] = "is not UTF-8 text; save the file as 'CSV UTF-8'"
            continue
        odd = {c for c in text if unicodedata.category(c) in ("Cc", "Cs")}
        odd |= _TURNERS & set(text)
        if odd - (set("\n\r\t") if lines_allowed else set()):
            refused[index] = f"{quoted(text)} holds control characters; type the cell again"
    return refused


def _each(column: Column, texts: Texts, kind: str, read: Callable[[str], object]) -> Parsed:
    """Apply a reader of one text, which refuses with a NotationError."""
    blank = {"text": None, "yesno": None, "number": np.nan, "date": np.datetime64("NaT", "ns")}[
        kind
    ]
    dtype = {"number": "float64", "date": "datetime64[ns]"}.get(kind, "object")
    values = np.full(len(texts), blank, dtype=dtype)
    refused = {}
    for index, text in enumerate(texts):
        if text is not None:
            try:
                values[index] = read(text)
            except NotationError as error:
                refused[index] = str(error)
    return Parsed({column.field or column.name: values}, refused)


def _notation(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse a column in the trade's notation."""
    result = read_column(texts, column.kind, clock=settings.clock, default_unit=column.default_unit)
    scale = 1000.0 if column.kind == "rain" else 1.0
    wrong = result.refused
    if column.kind == "height":
        wrong = {index: text + decimal_hands(texts[index] or "") for index, text in wrong.items()}
    return Parsed({column.field or column.name: result.values * scale}, wrong)


def _stretch(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse a length on the ground, in feet and metres (``20 m``) or in furlongs and miles."""
    short = read_column(texts, "length")
    rest = [text if index in short.refused else None for index, text in enumerate(texts)]
    long = read_column(rest, "distance")
    values = np.where(np.isnan(short.values), long.values, short.values)
    return Parsed({column.field or column.name: values}, long.refused)


def _id(column: Column, texts: Texts, settings: Settings) -> Parsed:
    def read(text: str) -> str:
        if not _ID.fullmatch(text):
            raise NotationError(f"{quoted(text)} is no id; use letters, digits, - and _ only")
        if len(text) > _LONGEST_ID:
            raise NotationError(f"{quoted(text)} is longer than {_LONGEST_ID} characters")
        return text

    return _each(column, texts, "text", read)


def _text(column: Column, texts: Texts, settings: Settings) -> Parsed:
    return _each(column, texts, "text", str)


def _name(column: Column, texts: Texts, settings: Settings) -> Parsed:
    def read(text: str) -> str:
        if len(text) > _LONGEST_NAME:
            raise NotationError(
                f"{quoted(text)} is {len(text):,} characters long; write a name of at most "
                f"{_LONGEST_NAME}"
            )
        return text

    return _each(column, texts, "text", read)


def _email(column: Column, texts: Texts, settings: Settings) -> Parsed:
    def read(text: str) -> str:
        if not _EMAIL.fullmatch(text):
            raise NotationError(f"{quoted(text)} is no address; write one, such as name@host")
        return text

    return _each(column, texts, "text", read)


def _choice(column: Column, texts: Texts, settings: Settings) -> Parsed:
    words = {word.casefold(): word for word in column.allowed}

    def read(text: str) -> str:
        word = words.get(" ".join(text.casefold().split()))
        if word is None:
            raise NotationError(f"{quoted(text)} is not known; write {listed(column.allowed)}")
        return word

    return _each(column, texts, "text", read)


def _state(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse a state of any surface, kept as written: what it says depends on the row's track."""

    def read(text: str) -> str:
        if not is_state(text, settings.states):
            raise NotationError(refusal(text, None, settings.states))
        return text

    return _each(column, texts, "text", read)


def _yesno(column: Column, texts: Texts, settings: Settings) -> Parsed:
    def read(text: str) -> bool:
        word = text.casefold()
        if word not in _YES | _NO:
            raise NotationError(f"{quoted(text)} is neither; write yes or no")
        return word in _YES

    return _each(column, texts, "yesno", read)


# Examples that would not be refused themselves.
_EXAMPLES = {"score": "5.5", "beats/min": "36"}


def _number(column: Column, texts: Texts, settings: Settings) -> Parsed:
    unit = column.default_unit or ""

    def read(text: str) -> float:
        number, written = text.casefold(), _UNIT_WORDS.get(unit, ())
        for word in sorted(written, key=len, reverse=True):
            if number.endswith(word):
                number = number.removesuffix(word).rstrip()
                break
        if not _NUMBER.fullmatch(number) or len(number) > _LONGEST_ID:
            such = _EXAMPLES.get(unit, "12.5")
            raise NotationError(
                f"{quoted(text)} is no number; write one, such as {such}{_in(unit)}"
            )
        return float(number)

    return _each(column, texts, "number", read)


def _in(unit: str) -> str:
    return f" ({unit})" if unit else ""


def read_date(text: str) -> datetime.date:
    """Read an ISO date.

    Raises
    ------
    NotationError
        If it is none, does not exist, or is outside the years 1980 to 2099.
    """
    match = _ISO_DATE.fullmatch(text)
    if match is None:
        raise NotationError(f"{quoted(text)} is no date; write {_iso_of(text)}")
    try:
        day = datetime.date(*(int(part) for part in match.groups()))
    except ValueError:
        raise NotationError(f"{quoted(text)} does not exist; write year-month-day") from None
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise NotationError(
            f"{quoted(text)} is not in the years {_FIRST_YEAR} to {_LAST_YEAR}; correct the year"
        )
    return day


def _iso_of(text: str) -> str:
    """Say how a date in another order should be written; both ways where it could be either."""
    match = _OTHER_DATE.fullmatch(text)
    if match is None:
        return "year-month-day, such as 2026-10-04"
    first, second, year = match.groups()
    ways = [f"{year}-{int(second):02}-{int(first):02}"] if int(second) <= 12 else []
    if int(first) <= 12 and first != second:
        ways.append(f"{year}-{int(first):02}-{int(second):02}")
    return " or ".join(ways) if ways else "year-month-day, such as 2026-10-04"


def _date(column: Column, texts: Texts, settings: Settings) -> Parsed:
    return _each(column, texts, "date", read_date)


def _date_or_year(column: Column, texts: Texts, settings: Settings) -> Parsed:
    years = np.full(len(texts), np.nan)

    def read(text: str) -> object:
        if re.fullmatch(r"\d{4}", text, re.ASCII) and _FIRST_YEAR <= int(text) <= _LAST_YEAR:
            return np.datetime64("NaT", "ns")
        return read_date(text)

    parsed = _each(column, texts, "date", read)
    for index, text in enumerate(texts):
        if text is not None and index not in parsed.refused:
            years[index] = int(text[:4])
    return Parsed({**parsed.fields, f"{column.name}_year": years}, parsed.refused)


def _pole(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse poles; a column named ``pole`` also keeps each pole's one written form."""
    result = read_column(texts, "pole")
    if column.field:
        return Parsed({column.field: result.values}, result.refused)
    names = np.full(len(texts), None, dtype=object)
    for index, text in enumerate(texts):
        if text is not None and index not in result.refused:
            names[index] = write_pole(read_pole(text))
    return Parsed({"pole": names, "to_finish_m": result.values}, result.refused)


def _distances(column: Column, texts: Texts, settings: Settings) -> Parsed:
    """Parse distances with semicolons between them; kept as text, each in its one written form."""

    def read(text: str) -> str:
        parts = [part for part in text.split(";") if part.strip()]
        try:
            return "; ".join(write_distance(read_distance(part)) for part in parts)
        except NotationError as error:
            raise NotationError(f"{error}; a semicolon parts one from the next") from None

    return _each(column, texts, "text", read)


def parse_measured(what: str, texts: Texts) -> tuple[npt.NDArray[np.float64], dict[int, str]]:
    """Parse values of one kind of measurement."""
    kind, unit = WEIGHED[what]
    refused = _unprintable(texts, False)
    clean = [None if index in refused else text for index, text in enumerate(texts)]
    column = Column("value", kind, default_unit=unit if kind == "number" else None)
    parsed = _PARSERS.get(kind, _notation)(column, clean, Settings("fifths", StateWords()))
    return parsed.fields["value"], {**parsed.refused, **refused}


_PARSERS: dict[str, Callable[[Column, Texts, Settings], Parsed]] = {
    "id": _id,
    "name": _name,
    "text": _text,
    "label": _text,
    "email": _email,
    "choice": _choice,
    "state": _state,
    "yesno": _yesno,
    "number": _number,
    "date": _date,
    "date_or_year": _date_or_year,
    "pole": _pole,
    "distances": _distances,
    "stretch": _stretch,
}
