"""A track over time as plain numbers: its log, how it dried, what that meant, what is to come."""

from dataclasses import dataclass
from datetime import date

from racecalc.daybook import Barn
from racecalc.digest.model import TrackLog
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.outlook_model import Outlook

__all__ = ["Ahead", "Checked", "SurfaceReport", "WaterDay", "WordEdge", "WordRow"]


@dataclass(frozen=True)
class WaterDay:
    """One day: the drying index of its morning, its word in the log, and its rain."""

    day: date
    index: Number | None
    state: str | None
    rain: Number | None


@dataclass(frozen=True)
class Ahead:
    """One day to come: the chance of each word that is of some weight on any of the days."""

    day: date
    words: dict[str, Number]


@dataclass(frozen=True)
class WordEdge:
    """The index at which a word of the log or a wetter one is as likely as not.

    ``default`` is ours.
    """

    word: str
    learned: Number
    default: Number
    entries: Number


@dataclass(frozen=True)
class WordRow:
    """Chances of one class that were stated before the word was known, and what came."""

    low: int
    high: int
    days: Number
    stated: Number
    came: Number


@dataclass(frozen=True)
class Checked:
    """How well the learned words did on days that were not learned from.

    ``value`` is how much of what a perfect foreknowledge would save was saved, by one who waits
    where the chance is above what waiting costs. ``lean`` says whether chances of 10 to 70 % were
    ``low`` or ``high`` beyond chance.
    """

    days: Number
    likeliest: Number
    brier: Number
    brier_of_base_rate: Number
    rows: tuple[WordRow, ...]
    value: Number | None
    lean: str | None


@dataclass(frozen=True)
class SurfaceReport:
    """One track up to a day: its log of some weeks, its water, its words, and the days to come."""

    barn: Barn
    horse: None
    track: str
    name: str
    surface: str
    first: date
    last: date
    tracks: tuple[TrackLog, ...]
    water: tuple[WaterDay, ...]
    holds: Number
    gives: Number
    stands: Number
    drains: Number
    own_soil: bool
    learned: Number
    edges: tuple[WordEdge, ...]
    checked: Checked | None
    bad_footing: Number
    outlook: Outlook
    ahead: tuple[Ahead, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    @property
    def recorded(self) -> bool:
        """Whether the log holds anything of these weeks."""
        return bool(self.tracks)

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)
