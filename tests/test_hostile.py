"""One daybook of hostile texts, through the whole command, and what came out read back."""

import hashlib
import json
import os
import re
from functools import cache
from html.parser import HTMLParser

import pypdf
import pytest

from tests import hostile
from tests.command import racecalc
from tests.report.browser import browser, executable

pytestmark = pytest.mark.slow

MONTH = "2026-10"
HORSES = tuple(hostile.NAMES)


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """Run in an empty folder, with a folder for scratch files, and return where all this is."""
    place = tmp_path_factory.mktemp("hostile")
    for name in ("scratch", "here"):
        (place / name).mkdir()
    book = hostile.write(place / "book")
    before = fingerprint(book)
    done = racecalc(
        *("overnight", book, "--month", MONTH, "--out", place / "out"),
        cwd=place / "here",
        env=os.environ | {"TMPDIR": str(place / "scratch")},
    )
    assert fingerprint(book) == before, "the input was changed"
    return place, done


def fingerprint(folder):
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
    }


@pytest.fixture(scope="module")
def out(run):
    return run[0] / "out" / MONTH


class Page(HTMLParser):
    """The elements and the text of a page."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.said = set(), []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        assert not [name for name, _ in attributes if name.startswith("on")]

    def handle_data(self, text):
        self.said.append(text)


def page_of(out, horse):
    return Page((out / horse / "report.html").read_text("utf-8"))


def plain(text):
    return " ".join(text.split())


def test_the_command_ends_with_one_row_refused_and_every_horse_in_its_state(run, out):
    _, done = run
    assert done.returncode == 1, done.stderr
    assert "exercise.csv:33:activity" in done.stderr
    manifest = json.loads((out / "manifest.json").read_text("utf-8"))
    assert {horse: entry["state"] for horse, entry in manifest["horses"].items()} == {
        "Infinity": "made", "007": "made", "None": "made", "NA": "made", "no": "no-data",
    }  # fmt: skip
    names = {horse: entry["name"] for horse, entry in manifest["horses"].items()}
    assert names == {horse: plain(name) for horse, name in hostile.NAMES.items()}


@pytest.mark.parametrize("horse", HORSES)
def test_an_id_and_a_name_stay_what_they_are(out, horse):
    found = json.loads((out / horse / "report.json").read_text("utf-8"))
    assert found["horse"] == horse
    assert plain(found["name"]) == plain(hostile.NAMES[horse])


def test_nothing_is_written_outside_of_the_folder_asked_for(run, out):
    place, _ = run
    assert {path.name for path in place.iterdir()} == {"book", "here", "out", "scratch"}
    assert list((place / "here").iterdir()) == []
    assert list((place / "scratch").iterdir()) == []
    assert {path.name for path in (place / "out").iterdir()} == {MONTH, ".racecalc"}
    files = {"index.html", "manifest.json", "overnight.log"}
    assert {path.name for path in out.iterdir()} == {*files, *HORSES}
    for horse in HORSES:
        assert {path.name for path in (out / horse).iterdir()} == {
            "report.html", "report.pdf", "report.json", "report.ipynb",
        }  # fmt: skip


@pytest.mark.parametrize("horse", HORSES)
def test_no_element_of_a_page_comes_from_the_data(out, horse):
    page = page_of(out, horse)
    assert page.tags & {"script", "b", "i", "img", "iframe", "lbl"} == set()
    assert plain(hostile.NAMES[horse]) in plain(" ".join(page.said))


def test_the_index_shows_every_name_as_text(out):
    page = Page((out / "index.html").read_text("utf-8"))
    assert page.tags & {"script", "b", "i"} == set()
    for name in hostile.NAMES.values():
        assert plain(name) in plain(" ".join(page.said))


def test_every_text_is_printed_as_it_stands(out):
    said = plain(" ".join(page_of(out, "NA").said))
    for text in [*hostile.TEXTS, hostile.TRACK]:
        assert plain(text) in said, text[:40]
    assert plain(hostile.FORMULA) in plain(" ".join(page_of(out, "007").said))


def reader(out, horse):
    return pypdf.PdfReader(out / horse / "report.pdf")


@cache
def pages_of(out, horse):
    """Return the text of each page of the PDF, and where each piece of it begins."""
    found = []
    for page in reader(out, horse).pages:
        begins = []

        def visit(text, user, matrix, *rest, begins=begins):
            if text.strip():
                begins.append(user[0] * matrix[4] + user[2] * matrix[5] + user[4])

        found.append((page.extract_text(visitor_text=visit), begins))
    return found


def text_of(out, horse):
    return "\n".join(text for text, _ in pages_of(out, horse))


@pytest.mark.parametrize("horse", HORSES)
def test_the_pdf_opens_and_bears_the_name_and_the_month(out, horse):
    title = reader(out, horse).metadata.title
    if horse == "None":
        # Which emoji can be set depends on the fonts of the machine.
        assert title.startswith(hostile.RIGHT_TO_LEFT.split()[0])
        assert title.endswith(", October 2026")
    else:
        hidden = str.maketrans("", "", "\u200b\u200d\u2060")
        expected = f"{plain(hostile.NAMES[horse])}, October 2026"
        assert title.translate(hidden) == expected.translate(hidden)


def test_markup_of_every_kind_is_text_on_paper(out):
    text = "".join(text_of(out, "NA").split())
    for piece in (hostile.SCRIPT, hostile.MARKUP, "\\", "{{ 1 + 1 }}", "=SUM(A1)"):
        assert "".join(piece.split()) in text, piece


@pytest.mark.parametrize("horse", HORSES)
def test_no_line_leaves_the_paper(out, horse):
    """A4 with its margins holds no line of 200 letters, and nothing begins right of the text."""
    for text, begins in pages_of(out, horse):
        assert max(begins) < 595 - 45
        assert max(map(len, text.replace("\u200b", "").splitlines())) < 200


@pytest.mark.parametrize("horse", HORSES)
def test_no_report_holds_anything_of_another_horse(out, horse):
    texts = [
        (out / horse / f"report.{kind}").read_text("utf-8") for kind in ("html", "json", "ipynb")
    ]
    texts.append(text_of(out, horse))
    foreign = {
        "Infinity": ["t31", "1:15.30"],
        "007": ["4:48.00", "=1+1"],
        "None": ["method not noted"],
        "NA": ["endless-", "n10"],
        "no": ["Very Very"],
    }
    for other, traces in foreign.items():
        for trace in traces if other != horse else ():
            assert not [text for text in texts if trace in text], (other, trace)
    assert not [text for text in texts if "Owen" in text]


def test_the_month_of_twelve_works_and_the_work_of_forty_poles_are_complete(out):
    numbers = json.loads((out / "Infinity" / "report.json").read_text("utf-8"))["numbers"]
    values = {number["name"]: number["value"] for number in numbers}
    assert values["month.works.count"] == 12
    numbers = json.loads((out / "007" / "report.json").read_text("utf-8"))["numbers"]
    splits = [n for n in numbers if n["name"].startswith("works.p.clock.")]
    assert len(splits) == 41  # forty poles and the finish, which the time of the work clocks
    text = text_of(out, "007")
    assert "3800 m to 3700 m" in text
    for page, _ in pages_of(out, "007"):
        if re.search(r"\d+ m to \d+ m", page):
            assert "from and to" in page, "the head of the table stands on each of its pages"


def test_no_page_is_wider_than_its_screen(out, tmp_path_factory):
    if executable() is None:
        pytest.skip("no Chromium on this machine")
    with browser(tmp_path_factory.mktemp("profile")) as tab:
        for horse in HORSES:
            for width in (360, 1200):
                tab.open(out / horse / "report.html", width)
                assert tab.value("document.documentElement.scrollWidth") <= width
                assert tab.complaints() == []
            wider = "e => e.scrollWidth > e.clientWidth + 1"
            tables = f"[...document.querySelectorAll('.scroll')].filter({wider}).length"
            assert tab.value(tables) == 0, f"a table of {horse} is wider than the page"
