"""The state of a track as a cell says it: in the barn's own words, another country's, or ours."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from racecalc.daybook.elsewhere import COUNTRIES, countries_with, meaning, words_of
from racecalc.daybook.problems import listed, quoted
from racecalc.daybook.schema import STATES

__all__ = ["StateWords", "is_state", "refusal", "state_of"]

_MOST_WORDS = 30


@dataclass(frozen=True)
class StateWords:
    """The words that a barn writes beside ours.

    Attributes
    ----------
    own : mapping of str to str
        Its own words in lower case, and the word of ours that each stands for.
    country : str, optional
        The country whose words it writes.
    """

    own: Mapping[str, str] = field(default_factory=dict)
    country: str | None = None


def state_of(text: str, surface: str, words: StateWords) -> str | None:
    """Return our word for what a cell says of a surface; None where it says none.

    The barn's own words come first, then the country's, then ours: a word that a country shares
    with us has its place in the country's order.
    """
    word = _folded(text)
    if word in words.own:
        found: str | None = words.own[word]
    else:
        found = meaning(words.country, surface, text) if words.country else None
        found = found or word
    return found if found in STATES[surface] else None


def is_state(text: str, words: StateWords) -> bool:
    """Return whether a cell holds a state of any surface."""
    return any(state_of(text, surface, words) for surface in STATES)


def refusal(text: str, surface: str | None, words: StateWords) -> str:
    """Say that a cell holds no state of a surface (None: of any), and what to write."""
    kind = f"a {surface} track" if surface else "a surface"
    said = f"{quoted(text)} is no state of {kind}"
    word, allowed = _folded(text), _allowed(surface, words)
    if word in words.own:
        meant = quoted(words.own[word])
        return f"{said}, as it stands for {meant} in [states]; write {allowed}"
    surfaces = (surface,) if surface else tuple(STATES)
    others = countries_with(text, surfaces)
    if not others:
        ours = any(word in states for states in STATES.values())
        return f"{said}; write {allowed}" + ("" if ours else f", or {_MAP}")
    names = listed(COUNTRIES[country] for country in others)
    said = f"{said} but a word of {names}"
    if words.country is None:
        settings = " or ".join(f'state_words = "{country}"' for country in others)
        return f"{said}; set {settings} in [barn], {_MAP}, or write {allowed}"
    return f'{said}, and state_words is "{words.country}"; write {allowed}, or {_MAP}'


_MAP = "map the word in [states] of barn.toml"


def _allowed(surface: str | None, words: StateWords) -> str:
    """List what can be written of a surface, or of each one."""
    if surface is None:
        return "; ".join(f"of {name} {_allowed(name, words)}" for name in STATES)
    theirs = words_of(words.country, surface) if words.country else []
    every = dict.fromkeys([*theirs, *STATES[surface], *words.own])
    return listed((word for word in every if state_of(word, surface, words)), _MOST_WORDS)


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
