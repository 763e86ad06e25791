"""What is wrong in a daybook, in words that say where, what was found and what to do."""

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Problem", "listed", "quoted"]


@dataclass(frozen=True)
class Problem:
    """One thing wrong, or unlikely, in a daybook.

    Attributes
    ----------
    file : str
        The file, or ``book.xlsx[sheet]``.
    row : int or None
        The row as a spreadsheet numbers it; the header is row 1.
    column : str or None
        The heading of the column.
    message : str
        What is wrong; what to write instead.
    level : str
        ``error`` (the row is left out) or ``warning`` (it is used all the same).
    table : str
        The table; ``barn`` for the settings.
    horse : str or None
        The id of the horse whose row it is.
    """

    file: str
    row: int | None
    column: str | None
    message: str
    level: str = "error"
    table: str = ""
    horse: str | None = None

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.row, self.column) if part)
        return f"{place}: {'warning: ' if self.level == 'warning' else ''}{self.message}"


def quoted(text: object, longest: int = 40) -> str:
    """Quote what a cell holds on one line, cut when it is long, with odd characters escaped."""
    whole = str(text)
    shown = whole if len(whole) <= longest else whole[: longest - 1] + "…"
    plain = "".join(
        character if character.isprintable() else repr(character)[1:-1] for character in shown
    )
    return f'"{plain}"'


def listed(words: Iterable[object], most: int = 10) -> str:
    """Join words with commas, at most ``most`` of them, and say how many more there are."""
    items = [str(word) for word in words]
    more = f" and {len(items) - most} more" if len(items) > most else ""
    return ", ".join(items[:most]) + more
