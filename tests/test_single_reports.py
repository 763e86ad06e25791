"""Reports on one thing of the sample, made by the command and read back."""

import json
import re
from pathlib import Path

import pypdf
import pytest

from racecalc import daybook
from tests.command import racecalc, racecalc_here
from tests.daybook.stable import write_book
from tests.reading import same_words, strays, text_of, unprinted, words_of
from tests.test_sample_reports import EXAMPLES, MADE_ELSEWHERE

pytestmark = pytest.mark.slow

SOME_FAILED, USAGE, INPUT_REFUSED = 1, 2, 3
# The first has splits, a line and a GPS file; one has no split, one no line, one a file with a gap.
# A filly in training, a growing colt, one weighed by tape, one with days off normal, one who left.
BODIES = {
    "larder-drizzle": "",
    "colander-fog": "2026-10-31",
    "sump-and-thistle": "",
    "mallet-puddle": "2026-10-20",
    "hoarfrost-ladle": "",
}
REVIEWED = ("LD-261028", "LD-261019", "WB-250503", "CF-261022")
SHEETS = {
    "2026-11-02-larder-drizzle-6-f-in-1-13-1-5": (
        "thimble-marsh", "--distance", "6 f", "--asked", "1:13 1/5", "--horse", "larder-drizzle",
    ),
    "2026-11-02-rushlight-lane-1-mi-in-35-mph-from-1-4-off-12-ft": (
        "rushlight-lane", "--distance", "1 mi", "--asked", "35 mph", "--start", "1/4",
        "--off-rail", "12 ft", "--tolerance", "0.1",
    ),
}  # fmt: skip

# One in training, one that began late; one tested three times, one twice.
OTHERS = {
    "load": ("larder-drizzle", "colander-fog"),
    "fitness": ("larder-drizzle", "teaspoon-squall"),
    "gait": ("larder-drizzle", "colander-fog", "spokeshave-sleet"),
}


# A day proposed with a test and a race; none that fits before the race; out of work; at the other
# track; as asked for.
PLANNED = {
    "larder-drizzle": (),
    "gimlet-marshlight": (),
    "spokeshave-sleet": (),
    "whisk-and-bittern": (),
    "mallet-puddle": ("--planned", "2026-11-04", "--bad-footing", "12"),
}
TRACKS = ("thimble-marsh", "rushlight-lane")


@pytest.fixture(scope="module")
def out(tmp_path_factory, sample_book):
    folder = tmp_path_factory.mktemp("single")
    asked = set()

    def ask(command, *rest):
        # The first of each kind as a user asks for it; no other needs a process to be the same.
        run = racecalc_here if command in asked else racecalc
        asked.add(command)
        done = run(command, sample_book, *rest, "--out", folder)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    for work in REVIEWED:
        assert ask("work-review", work) == str(folder / "works" / work)
    for horse, until in BODIES.items():
        assert ask("body", horse, "--until", until) == str(folder / "body" / horse)
    for kind, horses in OTHERS.items():
        for horse in horses:
            assert ask(kind, horse, "--until", "2026-10-31") == str(folder / kind / horse)
    for horse, how in PLANNED.items():
        assert ask("next-work", horse, *how) == str(folder / "next-work" / horse)
    for track in TRACKS:
        assert ask("surface", track) == str(folder / "surface" / track)
    for name, how in SHEETS.items():
        place = folder / "pole-sheets" / name
        assert ask("pole-sheet", *how, "--day", "2026-11-02") == str(place)
    return folder


@pytest.fixture(
    params=[f"works/{w}" for w in REVIEWED]
    + [f"pole-sheets/{s}" for s in SHEETS]
    + [f"body/{h}" for h in BODIES]
    + [f"next-work/{horse}" for horse in PLANNED]
    + [f"surface/{track}" for track in TRACKS]
    + [f"{kind}/{horse}" for kind, horses in OTHERS.items() for horse in horses]
)
def folder(request, out):
    return out / request.param


def found(folder: Path) -> dict:
    return json.loads((folder / "report.json").read_text("utf-8"))


def test_four_files_are_written(folder):
    assert {path.name for path in folder.iterdir()} == {
        f"report.{kind}" for kind in ("html", "pdf", "json", "ipynb")
    }


def test_every_number_of_the_json_is_printed_and_no_other(folder):
    page = (folder / "report.html").read_text("utf-8")
    assert unprinted(found(folder), page) == []
    born = re.search(r"foaled in (\d{4})", words_of(page))
    assert strays(found(folder), page) - ({born[1]} if born else set()) == set()


@pytest.fixture(scope="module")
def book(sample_book):
    return daybook.read(sample_book)


def test_no_other_horse_and_no_owner_is_named(folder, book):
    horses = book.tables["horses"]
    others = horses[horses["horse"] != found(folder).get("horse")]
    owners = book.tables["owners"]
    foreign = {*others["horse"], *others["name"], *owners["owner"], *owners["name"]}
    for name in ("report.html", "report.json", "report.ipynb"):
        text = (folder / name).read_text("utf-8").casefold()
        assert [word for word in foreign if word.casefold() in text] == []
    paper = " ".join(text_of(folder / "report.pdf").casefold().split())
    assert [word for word in foreign if word.casefold() in paper] == []


@pytest.mark.parametrize(("name", "place"), MADE_ELSEWHERE.items())
def test_a_committed_example_says_what_it_would_say_now(out, name, place):
    assert same_words(EXAMPLES / name, out / place)


def test_a_pole_sheet_is_one_page(out):
    for name in SHEETS:
        assert len(pypdf.PdfReader(out / "pole-sheets" / name / "report.pdf").pages) == 1


def test_the_cautions_are_on_every_page_set(folder):
    page = words_of((folder / "report.html").read_text("utf-8"))
    assert "local law come" in page
    allowed = (
        "sideways grip at a bank of", "Percent of the time", "less than such guidance",
        "of mature weight", "of a stride", "repeat within 2 %", "too wet", "By the forecast of",
    )  # fmt: skip
    assert "%" not in page or any(words in page for words in allowed), "no percentage of risk"


def test_a_review_says_how_the_work_stands_to_the_line(out):
    page = words_of((out / "works" / "LD-261028" / "report.html").read_text("utf-8"))
    texts = {n["name"]: n["text"] for n in found(out / "works" / "LD-261028")["numbers"]}
    low, high = (texts[f"works.LD-261028.expected.{end}"] for end in ("low", "high"))
    assert f"what was to be expected of her, {low} to {high}" in page
    assert "≈" in page, "the half-mile pole was missed"


def test_the_same_input_makes_the_same_bytes(out, sample_book, tmp_path):
    assert racecalc("work-review", sample_book, "LD-261019", "--out", tmp_path).returncode == 0
    for path in (out / "works" / "LD-261019").iterdir():
        assert path.read_bytes() == (tmp_path / "works" / "LD-261019" / path.name).read_bytes()


def test_a_review_says_what_the_gps_file_tells_and_lacks(out):
    page = words_of((out / "works" / "LD-261028" / "report.html").read_text("utf-8"))
    assert "The poles by GPS" in page
    assert "A fix every 1.0 s" in page
    flawed = words_of((out / "works" / "CF-261022" / "report.html").read_text("utf-8"))
    assert "a gap of 9.0 s" in flawed


@pytest.mark.parametrize(
    ("arguments", "status", "says"),
    [
        (("work-review", "nothing"), SOME_FAILED, "no work has the id “nothing”"),
        (("next-work", "x"), INPUT_REFUSED, "no horse has the id"),
        (("next-work", "brindle", "--planned", "2020-01-01"), SOME_FAILED, "is not after"),
        (("next-work", "brindle", "--planned", "soon"), USAGE, "is not a day"),
        (("next-work", "brindle", "--bad-footing", "-1"), SOME_FAILED, "days of waiting"),
        (("next-work", "brindle", "--bad-footing", "nan"), SOME_FAILED, "days of waiting"),
        (("next-work", "brindle", "--track", "x"), SOME_FAILED, "no track has the id “x”"),
        (("surface", "x"), SOME_FAILED, "no track has the id “x”"),
        (("surface", "main", "--until", "soon"), USAGE, "is not a day"),
        (("pole-sheet", "x", "--distance", "5 f", "--asked", "1:02"), SOME_FAILED, "no track"),
        (("pole-sheet", "main", "--distance", "5", "--asked", "1:02"), SOME_FAILED, "5"),
        (("pole-sheet", "main", "--distance", "5 f", "--asked", "soon"), SOME_FAILED, "neither"),
        (("pole-sheet", "main", "--distance", "5 f", "--asked", "1:02", "--start", "3/32"),
         SOME_FAILED, "no pole at"),
        (("pole-sheet", "main", "--distance", "5 f", "--asked", "1:02", "--horse", "x"),
         INPUT_REFUSED, "no horse has the id"),
        (("pole-sheet", "main", "--distance", "5 f", "--asked", "1:02", "--day", "soon"),
         USAGE, "is not a day"),
        (("pole-sheet", "main", "--distance", "5 f"), USAGE, "--asked"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_refused_in_one_line(tmp_path, arguments, status, says):
    stable = write_book(tmp_path / "stable")
    command, *rest = arguments
    done = racecalc_here(command, stable, *rest, "--out", tmp_path / "out")
    assert done.returncode == status, done.stderr
    assert says in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_plan_says_which_day_and_whose_decision_it_is(out):
    page = words_of((out / "next-work" / "larder-drizzle" / "report.html").read_text("utf-8"))
    assert "next fast work" in page
    assert "Friday 6 November" in page
    assert "The trainer decides on the morning." in page
    told = found(out / "next-work" / "larder-drizzle")
    assert told["proposed"][0] == "2026-11-06"
    assert told["missing"] == ["forecast_ends"], "three of the ten days lie beyond it"


def test_what_bad_footing_costs_is_printed_as_it_was_asked(out):
    page = words_of((out / "next-work" / "mallet-puddle" / "report.html").read_text("utf-8"))
    assert "Planned: 4 November, as asked for." in page
    assert "12 (as asked for)" in page


def test_no_work_is_laid_out_where_no_day_is_proposed(out):
    for horse in ("gimlet-marshlight", "spokeshave-sleet"):
        page = words_of((out / "next-work" / horse / "report.html").read_text("utf-8"))
        assert found(out / "next-work" / horse)["proposed"] == []
        assert "Works to choose from" not in page
        assert "If that morning falls through" not in page
