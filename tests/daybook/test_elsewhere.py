"""The words of other countries: which of ours they stand for, and what a check says of them."""

import unicodedata
from itertools import pairwise
from pathlib import Path

import pytest

from racecalc import daybook
from racecalc.daybook.elsewhere import COUNTRIES, SCALES, countries_with, meaning, words_of
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import write_book

# Our words from the driest (or quickest) to the wettest (or slowest); those that no list of another
# country leads to are left out, as wetness and time are not one axis on dirt.
DRY_TO_WET = {
    "turf": ("firm", "good", "yielding", "soft", "heavy"),
    "dirt": ("fast", "good", "muddy", "sloppy"),
    "synthetic": ("fast", "good", "slow"),
}

LISTS = [
    pytest.param(country, surface, scale, id=f"{country}-{surface}-{next(iter(scale))}")
    for country, surfaces in SCALES.items()
    for surface, scales in surfaces.items()
    for scale in scales
]

# Every surface under a track of its own.
TRACKS = (
    "track,name,surface,lap\ngrass,Grass,turf,1 mi\nsand,Sand,dirt,1 mi\nwax,Wax,synthetic,1 mi\n"
)


def barn(country: str | None, *own: str) -> str:
    setting = f'state_words = "{country}"\n' if country else ""
    return '[barn]\nname = "x"\ntrainer = "y"\n' + setting + "\n".join(("[states]", *own)) + "\n"


def read(
    folder: Path, country: str | None, *cells: tuple[str, str], own: tuple[str, ...] = ()
) -> tuple[list[str], list[str]]:
    """Return the states of a log with these tracks and cells, and what the check says of it."""
    lines = [f'2026-10-01,{track},"{text}"' for track, text in cells]
    log = "\n".join(["date,track,state", *lines]) + "\n"
    book = daybook.read(
        write_book(
            folder, barn(country, *own), tracks=TRACKS, surface=log,
            **dict.fromkeys(("exercise", "works", "splits", "weather", "forecast", "targets")),
        )
    )  # fmt: skip
    return book.tables["surface"]["state"].tolist(), [str(problem) for problem in book.problems]


@pytest.mark.parametrize(("country", "surface", "scale"), LISTS)
def test_no_drier_word_stands_for_a_wetter_one_of_ours(
    country: str, surface: str, scale: dict[str, str]
) -> None:
    order = DRY_TO_WET[surface]
    places = [order.index(ours) for ours in scale.values()]
    assert all(drier <= wetter for drier, wetter in pairwise(places))
    assert places[0] == 0
    assert set(scale.values()) <= set(daybook.STATES[surface])


@pytest.mark.parametrize("country", COUNTRIES)
def test_a_word_means_one_thing_on_a_surface(country: str) -> None:
    """Also where it stands in several lists, or is written without accents or blanks."""
    for surface, scales in SCALES[country].items():
        for scale in scales:
            for word, ours in scale.items():
                spellings = (
                    word.upper(),
                    word.replace(" ", "-"),
                    word.replace(" ", ", "),
                    word.replace(" ", ""),
                    unicodedata.normalize("NFD", word),
                    word.replace("è", "e").replace("é", "e").replace("à", "a"),
                )
                for spelling in (word, *spellings):
                    assert meaning(country, surface, spelling) == ours, spelling
    assert set(SCALES[country]) <= set(daybook.STATES)


@pytest.mark.parametrize(
    ("country", "surface", "text", "ours"),
    [
        ("britain", "turf", "good to soft", "yielding"),
        ("britain", "turf", "good to firm", "firm"),
        ("britain", "turf", "hard", "firm"),
        ("britain", "synthetic", "standard to fast", "fast"),
        ("britain", "synthetic", "standard", "good"),
        ("britain", "synthetic", "standard to slow", "slow"),
        ("britain", "dirt", "standard", None),
        ("ireland", "turf", "yielding", "yielding"),
        ("australia", "turf", "Heavy10", "heavy"),
        ("australia", "turf", "Good 2", "firm"),
        ("australia", "turf", "dead", "yielding"),
        ("australia", "turf", "soft 4", None),
        ("france", "turf", "TRES LEGER", "firm"),
        ("france", "turf", "bon-souple", "yielding"),
        ("france", "synthetic", "standard a lent", "slow"),
        ("japan", "turf", "yaya omo", "good"),
        ("japan", "turf", "ryō", "firm"),
        ("japan", "dirt", "不良", "sloppy"),
        ("japan", "dirt", "Standard", "fast"),
        ("japan", "synthetic", "omo", None),
    ],
)
def test_what_a_word_stands_for(country: str, surface: str, text: str, ours: str | None) -> None:
    assert meaning(country, surface, text) == ours


def test_a_word_that_is_nearly_one_is_none() -> None:
    assert meaning("britain", "turf", "soft?") is None
    assert meaning("britain", "turf", "good to soft, soft in places") is None
    assert meaning("australia", "turf", "good 4 (5)") is None


@pytest.mark.parametrize("country", COUNTRIES)
def test_every_word_is_read_where_its_country_is_set(tmp_path: Path, country: str) -> None:
    place = {"turf": "grass", "dirt": "sand", "synthetic": "wax"}
    cells = [(place[s], word) for s in SCALES[country] for word in words_of(country, s)]
    states, problems = read(tmp_path, country, *cells)
    assert problems == []
    expected = [meaning(country, s, word) for s in SCALES[country] for word in words_of(country, s)]
    assert states == expected


def test_one_word_follows_the_surface_of_its_track(tmp_path: Path) -> None:
    states, problems = read(tmp_path, "japan", ("grass", "omo"), ("sand", "omo"))
    assert problems == []
    assert states == ["yielding", "muddy"]


def test_a_work_takes_its_countrys_words_too(tmp_path: Path) -> None:
    book = daybook.read(
        write_book(
            tmp_path,
            barn("britain"),
            works="work,date,horse,track,distance,state\nw1,2026-10-04,brindle,hill,3 f,standard\n",
            splits=None,
        )
    )
    assert [problem for problem in book.problems if problem.level == "error"] == []
    assert book.tables["works"]["state"].tolist() == ["good"]


def test_our_words_and_the_barns_own_are_read_beside_the_countrys(tmp_path: Path) -> None:
    cells = [("grass", "yielding"), ("sand", "wet fast"), ("wax", "wet"), ("wax", "standard")]
    states, problems = read(tmp_path, "britain", *cells, own=('"Standard" = "fast"',))
    assert problems == []
    assert states == ["yielding", "wet fast", "wet", "fast"]


def test_the_countrys_meaning_of_a_shared_word_comes_before_ours(tmp_path: Path) -> None:
    """Fast turf was a word of Australia; on our turf it is none."""
    states, problems = read(tmp_path, "australia", ("grass", "fast"), ("sand", "fast"))
    assert problems == []
    assert states == ["firm", "fast"]


@pytest.mark.parametrize(
    ("country", "track", "text", "says"),
    [
        (
            None, "grass", "good to soft",
            '"good to soft" is no state of a surface but a word of Britain; set state_words = '
            '"britain" in [barn], map the word in [states] of barn.toml, or write of dirt fast, ',
        ),
        (
            None, "grass", "fast",
            '"fast" is no state of a turf track but a word of Australia; set state_words = '
            '"australia" in [barn]',
        ),
        (
            None, "grass", "yielding to soft",
            "a word of Ireland; set",
        ),
        (
            None, "grass", "good to firm",
            'set state_words = "britain" or state_words = "ireland" or state_words = "japan" in',
        ),
        (
            "britain", "grass", "très léger",
            '"très léger" is no state of a surface but a word of France, and state_words is '
            '"britain"; write of dirt fast, wet fast, good, muddy, sloppy, slow, heavy, frozen; of '
            "turf hard, firm, good to firm, good, good to soft, soft, heavy, yielding; of",
        ),
        (
            "britain", "grass", "standard",
            '"standard" is no state of a turf track; write hard, firm, good to firm, good, good to '
            "soft, soft, heavy, yielding, or map the word in [states] of barn.toml",
        ),
        (
            "britain", "wax", "soggy",
            "of synthetic fast, standard to fast, standard, standard to slow, slow, good, wet",
        ),
        (None, "wax", "muddy", '"muddy" is no state of a synthetic track; write fast, good, slow'),
    ],
)  # fmt: skip
def test_a_word_that_cannot_be_read_tells_what_can_be_written(
    tmp_path: Path, country: str | None, track: str, text: str, says: str
) -> None:
    states, problems = read(tmp_path, country, ("grass", "firm"), (track, text))
    assert states == ["firm"]
    [problem] = problems
    assert problem.startswith("surface.csv:3:state: ")
    assert says in problem


def test_a_word_of_no_surface_is_told_with_the_words_of_each(tmp_path: Path) -> None:
    _, [problem] = read(tmp_path, None, ("grass", "soggy"))
    assert problem == (
        'surface.csv:2:state: "soggy" is no state of a surface; write of dirt fast, wet fast, '
        "good, muddy, sloppy, slow, heavy, frozen; of turf firm, good, yielding, soft, heavy; of "
        "synthetic fast, good, slow, wet, or map the word in [states] of barn.toml"
    )


def test_an_own_word_must_fit_the_surface(tmp_path: Path) -> None:
    cells = [("sand", "off"), ("grass", "off")]
    states, [problem] = read(tmp_path, None, *cells, own=('off = "wet fast"',))
    assert states == ["wet fast"]
    assert problem == (
        'surface.csv:3:state: "off" is no state of a turf track, as it stands for "wet fast" in '
        "[states]; write firm, good, yielding, soft, heavy"
    )


def test_a_state_on_an_unknown_track_is_refused_for_the_track(tmp_path: Path) -> None:
    states, problems = read(tmp_path, "france", ("grass", "bon"), ("elsewhere", "lourd"))
    assert states == ["good"]
    [problem] = problems
    assert problem.startswith('surface.csv:3:track: "elsewhere"')


def test_a_workbook_takes_the_setting(tmp_path: Path) -> None:
    def change(book) -> None:  # type: ignore[no-untyped-def]
        book[" Barn "].append(["State_Words", "Britain"])
        book["surface"].append(["2026-10-03", "hill", "standard to slow"])

    book = daybook.read(write_workbook(tmp_path / "book.xlsx", change))
    assert [str(problem) for problem in book.problems] == []
    assert book.barn.state_words == "britain"
    assert book.tables["surface"]["state"].tolist() == ["fast", "muddy", "slow"]


def test_an_unknown_country_is_an_error_that_lists_them(tmp_path: Path) -> None:
    _, [problem] = read(tmp_path, "mars")
    assert problem == (
        'barn.toml:state_words: is "mars"; write britain or ireland or australia or france or japan'
    )


@pytest.mark.parametrize("country", [None, "britain"])
def test_a_frozen_slice_keeps_the_setting(tmp_path: Path, country: str | None) -> None:
    book = daybook.read(write_book(tmp_path / "book", barn(country)))
    folder = daybook.freeze(daybook.slice_for(book, "brindle"), tmp_path / "frozen")
    assert daybook.open_slice(folder, "brindle").barn.state_words == country


def test_countries_are_named_for_a_word_of_any_of_the_surfaces() -> None:
    assert countries_with("standard", ("turf",)) == []
    assert countries_with("standard", ("turf", "synthetic", "dirt")) == [
        "britain",
        "france",
        "japan",
    ]
