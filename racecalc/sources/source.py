"""One published source, or a fact of the trade that has none."""

from dataclasses import dataclass

__all__ = ["Source"]


@dataclass(frozen=True)
class Source:
    """A published source, or a fact of the trade that has none.

    ``tested_in`` names the test files that compare with it; a test keeps it true.
    """

    key: str
    authors: str
    year: int | None
    title: str
    where: str
    read: str
    used_for: str
    tested_in: tuple[str, ...] = ()
