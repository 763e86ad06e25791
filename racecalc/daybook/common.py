"""What the slices of all horses of a book share."""

from dataclasses import dataclass, field

import pandas as pd

from racecalc.daybook.barn import Barn
from racecalc.daybook.content import table_hash
from racecalc.daybook.mentions import Mentions

__all__ = ["SHARED", "Common"]

SHARED = ("tracks", "surface", "weather", "forecast")
"""The tables that belong to no horse."""


@dataclass(frozen=True)
class Common:
    """What every slice of a book is cut with.

    Attributes
    ----------
    barn : Barn
        The settings.
    horses : frozenset of str
        The ids of all horses.
    mentions : Mentions
        The finder of names that a slice must not hold.
    shared : dict of str to DataFrame
        The tables of `SHARED`.
    """

    barn: Barn
    horses: frozenset[str]
    mentions: Mentions
    shared: dict[str, pd.DataFrame]
    _hashes: dict[str, str] = field(default_factory=dict)

    def hash_of(self, name: str) -> str:
        """Return the hash of a shared table, which is found once for all horses."""
        if name not in self._hashes:
            self._hashes[name] = table_hash(name, self.shared[name])
        return self._hashes[name]
