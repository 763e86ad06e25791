"""The words of other countries for the state of a track, and their order, against what is in print.

What each stands for here is our own choice, and no source is claimed for it.
"""

import pytest

from racecalc.daybook.elsewhere import SCALES, meaning
from tests.published.compare import published_table

PRINTED = published_table("states_elsewhere.csv")
LISTS = list(dict.fromkeys((row["source"], row["country"], row["surface"]) for row in PRINTED))


def printed(source: str, country: str, surface: str) -> list[str]:
    return [
        row["word"]
        for row in PRINTED
        if (row["source"], row["country"], row["surface"]) == (source, country, surface)
    ]


@pytest.mark.published("going_glossary", "the seven grades and the five of artificial surfaces")
@pytest.mark.published("going_ireland", "the list in English")
@pytest.mark.published("arb_ratings_2014", "table of ratings 1 to 10")
@pytest.mark.published("track_ratings_2006", "list of ratings 1 to 10")
@pytest.mark.published("penetrometer_france", "table of readings")
@pytest.mark.published("psf_france_2017", "the four words and the two between")
@pytest.mark.published("jra_going_2020", "table after the change")
@pytest.mark.published("jra_official_going", "Official Going")
@pytest.mark.parametrize(("source", "country", "surface"), LISTS)
def test_each_printed_list_is_ours_word_for_word_and_in_its_order(
    source: str, country: str, surface: str
) -> None:
    words = printed(source, country, surface)
    assert words in [list(scale) for scale in SCALES[country][surface]]


@pytest.mark.published("arb_ratings_2014", "the number of a rating stays; its previous name")
@pytest.mark.published("jra_going_2020", "the Japanese word and the English one")
@pytest.mark.parametrize("row", [row for row in PRINTED if row["same_as"]], ids=lambda r: r["word"])
def test_two_words_that_are_printed_as_one_state_stand_for_one_word(row: dict[str, str]) -> None:
    country, surface = row["country"], row["surface"]
    if row["word"] == "firm 2":
        assert row["same_as"] == "good 2"
    assert meaning(country, surface, row["word"]) == meaning(country, surface, row["same_as"])


def test_what_is_in_no_printed_list_is_a_printed_one_without_numbers_or_in_latin_letters() -> None:
    lists = [printed(*key) for key in LISTS]
    others = [
        list(scale)
        for surfaces in SCALES.values()
        for scales in surfaces.values()
        for scale in scales
        if list(scale) not in lists
    ]
    names = [
        list(dict.fromkeys(word.split()[0] for word in printed(source, "australia", "turf")))
        for source in ("arb_ratings_2014", "track_ratings_2006")
    ]
    # How 良, 稍重, 重 and 不良 are read, on turf and on dirt.
    readings = ["ryo", "yaya-omo", "omo", "furyo"]
    assert sorted(others) == sorted([*names, readings, readings])
