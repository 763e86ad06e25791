"""A table as a file holds it: text by column, each distinct text once, with spreadsheet rows."""

import difflib
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.schema import TableSchema

__all__ = [
    "CellBuilder",
    "Header",
    "RawTable",
    "TextColumn",
    "accept_header",
    "composed",
    "match_header",
]

# Blank, but not for str.strip: the byte order mark and the zero-width space.
_INVISIBLE = "\ufeff\u200b"


@dataclass(frozen=True)
class TextColumn:
    """The cells of one column: ``texts[codes[i]]`` is the cell of row ``i``, None when blank."""

    codes: npt.NDArray[np.int32]
    texts: list[str | None]


class CellBuilder:
    """Gathers the cells of a column, keeping each distinct text once."""

    def __init__(self) -> None:
        self._codes: list[int] = []
        self._seen: dict[str, int] = {}

    def extend(self, cells: Sequence[str]) -> None:
        """Add cells; a blank one is the empty text."""
        seen = self._seen
        self._codes += [seen.setdefault(cell, len(seen)) for cell in cells]

    def column(self) -> TextColumn:
        """Return the column with every text trimmed and in Unicode's composed form."""
        return TextColumn(
            np.array(self._codes, dtype=np.int32), [composed(text) for text in self._seen]
        )


def composed(text: str) -> str | None:
    """Trim a text and compose its letters (NFC); None for a blank one."""
    trimmed = text.strip().strip(_INVISIBLE).strip()
    if not trimmed:
        return None
    return trimmed if trimmed.isascii() else unicodedata.normalize("NFC", trimmed)


@dataclass
class RawTable:
    """What a reader hands on.

    ``refused`` holds cells that the reader itself could not take, by (index, column name), such as
    a merged cell; ``bad_rows`` whole rows, such as one with too many fields.
    """

    schema: TableSchema
    file: str
    columns: dict[str, TextColumn] = field(default_factory=dict)
    rows: npt.NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    refused: dict[tuple[int, str], str] = field(default_factory=dict)
    bad_rows: dict[int, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    usable: bool = True

    def refuse(self, message: str, row: int | None = None, column: str | None = None) -> "RawTable":
        """Give the whole table up."""
        self.problems.append(
            Problem(self.file, row, column, message, "error", self.schema.name, None)
        )
        self.usable = False
        return self


@dataclass(frozen=True)
class Header:
    """Where each known column stands, and what was wrong with the heading row."""

    places: dict[str, int]
    unknown: list[str]
    twice: list[str]
    missing: list[str]


def _folded(heading: str) -> str:
    text = unicodedata.normalize("NFKC", heading).strip().strip(_INVISIBLE).strip().casefold()
    return "_".join(text.split())


def match_header(schema: TableSchema, headings: Sequence[str]) -> Header:
    """Find the columns of a table by their headings; case and surrounding blanks do not count."""
    known = {column.name for column in schema.columns}
    places: dict[str, int] = {}
    unknown, twice = [], []
    for position, heading in enumerate(headings):
        name = _folded(heading)
        if name in places:
            twice.append(name)
        elif name in known:
            places[name] = position
        elif name:
            unknown.append(heading.strip())
    missing = [c.name for c in schema.columns if c.required and c.name not in places]
    return Header(places, unknown, twice, missing)


def accept_header(raw: RawTable, headings: Sequence[str], row: int) -> Header | None:
    """Match the heading row and note what is wrong with it; None when the table is unusable."""
    header = match_header(raw.schema, headings)
    if header.twice:
        raw.refuse(
            f"two columns are headed {listed(map(quoted, header.twice))}; keep one of them", row
        )
    if header.missing:
        raw.refuse(_missing(raw.schema, header, headings), row)
    if header.unknown:
        message = f"columns that are not used: {listed(map(quoted, header.unknown))}"
        raw.problems.append(Problem(raw.file, row, None, message, "warning", raw.schema.name, None))
    return header if raw.usable else None


def _missing(schema: TableSchema, header: Header, headings: Sequence[str]) -> str:
    separators = {"\t": "tabs", "|": "upright bars", ":": "colons"}
    for sign, words in separators.items():
        if not header.places and len(headings) == 1 and sign in headings[0]:
            return f"the columns are separated by {words}; save as CSV with commas or semicolons"
    near = [
        f"{quoted(close[0])} may be meant for {name}"
        for name in header.missing
        if (close := difflib.get_close_matches(name, header.unknown, 1))
    ]
    found = listed(map(quoted, headings)) if any(headings) else "nothing"
    hint = f" ({listed(near)})" if near else ""
    needed = ", ".join(c.name for c in schema.columns if c.required)
    return (
        f"no column {listed(header.missing)}{hint}; found {found}; "
        f"the first row must name the columns, at least {needed}"
    )
