"""English for a horse: pronouns, counts, dates and lists."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

__all__ = [
    "Pronouns",
    "brief_day",
    "capital",
    "chosen",
    "count_of",
    "day_of",
    "full_day",
    "listed",
    "number_word",
    "ordinal",
    "pronouns",
    "short_day",
]

_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


@dataclass(frozen=True)
class Pronouns:
    """How a sentence refers to the horse."""

    subject: str
    possessive: str
    object: str


def pronouns(sex: str | None) -> Pronouns:
    """Return the pronouns of a horse of that sex; "it" where the sex is not recorded."""
    if sex in ("filly", "mare"):
        return Pronouns("she", "her", "her")
    if sex in ("colt", "horse", "ridgling", "gelding"):
        return Pronouns("he", "his", "him")
    return Pronouns("it", "its", "it")


def number_word(count: int) -> str:
    """Write a count in words up to twelve ("no" for none), in figures above."""
    return _WORDS[count] if 0 <= count < len(_WORDS) else f"{count:,}"


def count_of(count: int, singular: str, plural: str | None = None) -> str:
    """Write a count with its noun: "no works", "one work", "two works", "13 works"."""
    noun = singular if count == 1 else plural or f"{singular}s"
    return f"{number_word(count)} {noun}"


def ordinal(number: int) -> str:
    """Write 1st, 2nd, 3rd, 11th, 24th."""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def day_of(day: date, within: date | None = None) -> str:
    """Write "24 October", with the year where it differs from that of ``within``."""
    text = f"{day.day} {day:%B}"
    return text if within is None or day.year == within.year else f"{text} {day.year}"


def full_day(day: date) -> str:
    """Write "Saturday 24 October 2026"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def short_day(day: date) -> str:
    """Write "Sat 24"."""
    return f"{day:%a} {day.day}"


def brief_day(day: date, within: date) -> str:
    """Write "24 Oct", with the year where it differs from that of ``within``."""
    text = f"{day.day} {day:%b}"
    return text if day.year == within.year else f"{text} {day.year}"


def listed(items: Sequence[str]) -> str:
    """Join with commas and a final "and"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def capital(sentence: str) -> str:
    """Begin with a capital letter, the rest untouched."""
    return sentence[:1].upper() + sentence[1:]


def chosen(key: str, ways: Sequence[str]) -> str:
    """Pick one way of saying it: the same for the same key, varied over many."""
    return ways[hashlib.sha256(key.encode()).digest()[0] % len(ways)]
