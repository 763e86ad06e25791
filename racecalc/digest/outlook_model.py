"""The footing of the days to come at one track, as plain numbers."""

from dataclasses import dataclass
from datetime import date

from racecalc.digest.number import Number

__all__ = ["Air", "NextInShort", "Outlook", "OutlookDay"]


@dataclass(frozen=True)
class Air:
    """Heat and cold of a day, by its forecast: the hottest hour, and the chill of the coldest.

    Each is missing where the forecast does not tell enough, or where it is not defined; heat is
    told of days of 20 °C and more.
    """

    sum_of_heat: Number | None
    heat_index: Number | None
    wbgt_shade: Number | None
    wbgt_sun: Number | None
    wind_chill: Number | None


@dataclass(frozen=True)
class OutlookDay:
    """One day to come.

    ``basis`` says what the chances are from: ``forecast``, ``log`` (how often the words stood in
    the log of the 90 days before) or ``none``. ``words`` are the chances of the words, 0 to 1, dry
    to wet; ``bad`` is the chance of a word on which the barn does not work, missing where it works
    on all of them; ``driest`` is that of the driest word. ``rain`` is what falls if it rains.
    """

    day: date
    basis: str
    words: dict[str, float]
    bad: Number | None
    driest: Number | None
    rain_chance: Number | None
    rain: Number | None
    coldest: Number | None
    warmest: Number | None
    rh_min_pct: float
    rh_max_pct: float
    air: Air

    @property
    def likeliest(self) -> str | None:
        """The word of the highest chance."""
        return max(self.words, key=lambda word: self.words[word]) if self.words else None


@dataclass(frozen=True)
class Outlook:
    """The days to come at one track.

    ``state`` is the word last written down, on ``state_day``; ``begins`` says what the first
    evening is known from: ``weather``, ``word``, ``frozen`` or ``none``. ``if_wet`` holds, for each
    day that the forecast reaches, the chances of a bad morning on each such day, 0 to 1, where that
    one was bad. ``learned`` counts the entries of the
    log that its words were learned from. ``lacks`` names what was missing.
    """

    track: str
    name: str
    surface: str
    issued: date | None
    state: str | None
    state_day: date | None
    begins: str
    learned: int
    days: tuple[OutlookDay, ...]
    if_wet: tuple[tuple[float, ...], ...]
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class NextInShort:
    """The next fast work as a month tells of it: the day proposed, and its footing.

    ``basis`` and ``bad`` as in `OutlookDay`.
    """

    best: date
    fall_backs: tuple[date, ...]
    track: str
    basis: str
    likeliest: str | None
    bad: Number | None
