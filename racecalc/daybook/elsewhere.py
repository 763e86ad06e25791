"""The words of other countries for the state of a track, and what each stands for here.

A barn turns one country's words on with ``state_words`` in ``[barn]``. The words and their order,
from the driest (or the quickest) to the wettest (or the slowest), are those in print:

- Britain (``going_glossary``): turf, and all-weather, which is synthetic here;
- Ireland (``going_ireland``): turf;
- Australia (``arb_ratings_2014``): the ten ratings, their names without a number, and the ratings
  and names that they replaced (``track_ratings_2006``);
- France (``penetrometer_france``): turf; ``psf_france_2017``: sand with fibres, synthetic here;
- Japan (``jra_going_2020``, ``jra_official_going``): turf and dirt, in Japanese, in Latin letters
  and in the English of its racing association.

**Which of our words a word stands for is our own choice**: no body publishes such a table. The
choice keeps the order within each list, so that a drier word never stands for a wetter one. A
word of two, such as "good to firm", stands for what its second half does, but for "good to
soft", which lies where our "yielding" does. A surface that a country has no words for here keeps
ours.

References
----------
going_glossary, going_ireland, arb_ratings_2014, track_ratings_2006, penetrometer_france,
psf_france_2017, jra_going_2020, jra_official_going.
"""

import re
import unicodedata
from functools import cache

__all__ = ["COUNTRIES", "SCALES", "countries_with", "meaning", "words_of"]

COUNTRIES: dict[str, str] = {
    "britain": "Britain",
    "ireland": "Ireland",
    "australia": "Australia",
    "france": "France",
    "japan": "Japan",
}
"""The names of the countries, by what ``state_words`` may say."""

SCALES: dict[str, dict[str, tuple[dict[str, str], ...]]] = {
    "britain": {
        "turf": (
            {
                "hard": "firm",
                "firm": "firm",
                "good to firm": "firm",
                "good": "good",
                "good to soft": "yielding",
                "soft": "soft",
                "heavy": "heavy",
            },
        ),
        "synthetic": (
            {
                "fast": "fast",
                "standard to fast": "fast",
                "standard": "good",
                "standard to slow": "slow",
                "slow": "slow",
            },
        ),
    },
    "ireland": {
        "turf": (
            {
                "firm": "firm",
                "good to firm": "firm",
                "good": "good",
                "good to yielding": "yielding",
                "yielding": "yielding",
                "yielding to soft": "soft",
                "soft": "soft",
                "soft to heavy": "heavy",
                "heavy": "heavy",
            },
        ),
    },
    "australia": {
        "turf": (
            {
                "firm 1": "firm",
                "firm 2": "firm",
                "good 3": "good",
                "good 4": "good",
                "soft 5": "yielding",
                "soft 6": "soft",
                "soft 7": "soft",
                "heavy 8": "heavy",
                "heavy 9": "heavy",
                "heavy 10": "heavy",
            },
            {"firm": "firm", "good": "good", "soft": "soft", "heavy": "heavy"},
            {
                "fast 1": "firm",
                "good 2": "firm",
                "good 3": "good",
                "dead 4": "good",
                "dead 5": "yielding",
                "slow 6": "soft",
                "slow 7": "soft",
                "heavy 8": "heavy",
                "heavy 9": "heavy",
                "heavy 10": "heavy",
            },
            {
                "fast": "firm",
                "good": "good",
                "dead": "yielding",
                "slow": "soft",
                "heavy": "heavy",
            },
        ),
    },
    "france": {
        "turf": (
            {
                "très léger": "firm",
                "léger": "firm",
                "bon léger": "firm",
                "bon": "good",
                "bon souple": "yielding",
                "souple": "soft",
                "très souple": "soft",
                "collant": "soft",
                "lourd": "heavy",
                "très lourd": "heavy",
            },
        ),
        "synthetic": (
            {
                "très rapide": "fast",
                "rapide": "fast",
                "standard à rapide": "fast",
                "standard": "good",
                "standard à lent": "slow",
                "lent": "slow",
            },
        ),
    },
    "japan": {
        "turf": (
            {"良": "firm", "稍重": "good", "重": "yielding", "不良": "soft"},
            {"ryo": "firm", "yaya-omo": "good", "omo": "yielding", "furyo": "soft"},
            {
                "firm": "firm",
                "good to firm": "firm",
                "good": "good",
                "yielding": "yielding",
                "soft": "soft",
            },
        ),
        "dirt": (
            {"良": "fast", "稍重": "good", "重": "muddy", "不良": "sloppy"},
            {"ryo": "fast", "yaya-omo": "good", "omo": "muddy", "furyo": "sloppy"},
            {"standard": "fast", "good": "good", "muddy": "muddy", "sloppy": "sloppy"},
        ),
    },
}
"""Each country's words by surface, list by list in their order, and ours that each stands for."""

_JOINTS = re.compile(r"[\s,\u2010\u2011-]+")


def meaning(country: str, surface: str, text: str) -> str | None:
    """Return the word of ours that a country's word stands for on a surface; None for no word.

    Accents, capitals, blanks, commas and hyphens make no difference.

    Parameters
    ----------
    country : str
        A key of `COUNTRIES`.
    surface : {"dirt", "turf", "synthetic"}
        The surface of the track.
    text : str
        What a cell holds.

    Examples
    --------
    >>> meaning("britain", "turf", "Good to Soft"), meaning("france", "turf", "Bon, leger")
    ('yielding', 'firm')
    >>> meaning("japan", "turf", "omo"), meaning("japan", "dirt", "omo")
    ('yielding', 'muddy')
    """
    return _meanings(country, surface).get(_plain(text))


def words_of(country: str, surface: str) -> list[str]:
    """Return a country's words for a surface, each once, list by list."""
    scales = SCALES[country].get(surface, ())
    return list(dict.fromkeys(word for scale in scales for word in scale))


def countries_with(text: str, surfaces: tuple[str, ...]) -> list[str]:
    """Return the countries that have a word for one of these surfaces.

    Examples
    --------
    >>> countries_with("good to firm", ("turf",)), countries_with("good to firm", ("dirt",))
    (['britain', 'ireland', 'japan'], [])
    """
    return [
        country
        for country in COUNTRIES
        if any(meaning(country, surface, text) for surface in surfaces)
    ]


@cache
def _meanings(country: str, surface: str) -> dict[str, str]:
    scales = SCALES[country].get(surface, ())
    return {_plain(word): ours for scale in scales for word, ours in scale.items()}


def _plain(text: str) -> str:
    """Leave out what people write in different ways: accents, capitals, blanks and joints."""
    parted = unicodedata.normalize("NFKD", text)
    bare = "".join(letter for letter in parted if not unicodedata.combining(letter))
    return _JOINTS.sub("", bare).casefold()
