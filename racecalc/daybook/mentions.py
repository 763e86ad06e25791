"""Which horses and owners a free text names, so that no horse's slice speaks of another."""

import re
import unicodedata
from collections.abc import Iterable

import pandas as pd

__all__ = ["Mentions", "mentions_of"]

_WORD = re.compile(r"\w+")
_HEAD = re.compile(r"(?:^|[.!?;:])\s*$")

# Shorter words of a name are as likely to be plain words of a sentence.
_SHORTEST_OF_OWNER = 3
_SHORTEST_OF_HORSE = 4
OWNER = ""
"""Stands for any owner among the subjects of a text; it is no legal id of a horse."""

Subjects = frozenset[str]


def _plain(text: str) -> str:
    """Take accents and characters that show nothing from a text, so that Zoë is Zoe."""
    parts = unicodedata.normalize("NFKD", text)
    return "".join(c for c in parts if unicodedata.category(c) not in ("Mn", "Cf"))


def _folded(text: str) -> str:
    return _plain(text).casefold()


def _spaced(phrase: str) -> bool:
    """Say whether a name is found by its words; scripts without capitals may join words up."""
    letters = [letter for letter in phrase if letter.isalpha()]
    return bool(_WORD.search(phrase)) and all(a.lower() != a.upper() for a in letters)


class Mentions:
    """Finds names in texts, as whole words and ignoring case; the longest name at a place counts.

    Parameters
    ----------
    names : iterable of (str, str)
        A name and its subject: the id of a horse, or `OWNER`.
    blind : bool
        Whether some names are not known; then any text may name someone.
    """

    def __init__(self, names: Iterable[tuple[str, str]], blind: bool = False) -> None:
        self.names = tuple(names)
        self.blind = blind
        self._phrases: dict[str, dict[tuple[str, ...], set[str]]] = {}
        self._joined: dict[str, set[str]] = {}
        self._words: dict[str, set[str]] = {}
        self._memory: dict[str, tuple[Subjects, ...]] = {}
        for name, subject in self.names:
            folded = _folded(name)
            if _spaced(folded):
                words = tuple(_WORD.findall(folded))
                # As written, and with its words run together.
                for phrase in (words, ("".join(words),)):
                    self._phrases.setdefault(phrase[0], {}).setdefault(phrase, set()).add(subject)
                if " " in name.strip():
                    self._note_words(words, subject)
            elif folded.strip():
                self._joined.setdefault(folded, set()).add(subject)

    def _note_words(self, words: tuple[str, ...], subject: str) -> None:
        """Remember the single words by which a person or a horse is commonly called."""
        shortest = _SHORTEST_OF_OWNER if subject == OWNER else _SHORTEST_OF_HORSE
        for word in words:
            if len(word) >= shortest and word.isalpha():
                self._words.setdefault(word, set()).add(subject)

    def names_another(self, text: str, horse: str) -> bool:
        """Say whether a text names an owner, or a horse other than this one."""
        if self.blind:
            return True
        if text not in self._memory:
            self._memory[text] = (*self._subjects(_folded(text)), *self._called(_plain(text)))
        return any(horse not in subjects for subjects in self._memory[text])

    def _called(self, text: str) -> Iterable[Subjects]:
        """Find parts of names that are written with a capital: "Mrs Barrowmead", "Beta was slow".

        At the head of a sentence every word has one, so that a horse is not meant there for sure;
        an owner is looked for all the same.
        """
        for match in _WORD.finditer(text):
            word = match[0]
            subjects = self._words.get(word.casefold())
            if subjects and word[0].isupper():
                heads = _HEAD.search(text[: match.start()]) is not None
                if OWNER in subjects or not heads:
                    yield frozenset(subjects)

    def _subjects(self, text: str) -> Iterable[Subjects]:
        for name, subjects in self._joined.items():
            if name in text:
                yield frozenset(subjects)
        words = _WORD.findall(text)
        place = 0
        while place < len(words):
            phrases = self._phrases.get(words[place], {})
            found = [p for p in phrases if tuple(words[place : place + len(p)]) == p]
            if found:
                longest = max(found, key=len)
                yield frozenset(phrases[longest])
                place += len(longest)
            else:
                place += 1


def mentions_of(horses: pd.DataFrame, owners: pd.DataFrame, blind: bool = False) -> Mentions:
    """Return the finder of the names of a barn: ids and names of horses, all that owners hold."""
    rows = horses[["horse", "name"]].dropna(subset=["horse"])
    names = [
        (str(text), str(horse))
        for horse, name in zip(rows["horse"], rows["name"], strict=True)
        for text in (horse, name)
        if text is not None
    ]
    held = [owners[column].dropna() for column in ("owner", "name", "email")]
    return Mentions([*names, *((str(text), OWNER) for texts in held for text in texts)], blind)
