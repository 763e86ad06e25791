"""The sample stable's reports, made by the command, read back as their readers do."""

import io
import json
import re

import pypdf
import pytest

from racecalc import daybook
from tests.command import racecalc
from tests.reading import same_words, strays, text_of, unprinted, words_of
from tests.report.browser import browser, executable
from tests.test_sample_reports import EXAMPLES
from tests.test_sample_reports import HORSES as SHOWN

pytestmark = pytest.mark.slow

MONTH = "2026-10"
NOTHING_RECORDED = {"hoarfrost-ladle"}


@pytest.fixture(scope="session")
def folder(tmp_path_factory, sample_book):
    out = tmp_path_factory.mktemp("reports")
    done = racecalc("overnight", sample_book, "--month", MONTH, "--out", out)
    assert done.returncode == 0, done.stderr
    return out / MONTH


@pytest.fixture(scope="session")
def book(sample_book):
    return daybook.read(sample_book)


def horses():
    from tests.conftest import ROOT

    rows = (ROOT / "sample_runs" / "daybook" / "horses.csv").read_text("utf-8").splitlines()[1:]
    return [row.partition(",")[0] for row in rows]


@pytest.fixture(params=horses())
def horse(request):
    return request.param


def report(folder, horse) -> dict:
    return json.loads((folder / horse / "report.json").read_text("utf-8"))


def test_every_horse_has_exactly_one_state(folder):
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    states = {horse: entry["state"] for horse, entry in manifest["horses"].items()}
    assert states == {
        horse: "no-data" if horse in NOTHING_RECORDED else "made" for horse in horses()
    }


def test_a_report_holds_no_other_horse_and_no_owner(folder, book, horse):
    """Names, ids and addresses of the others are nowhere in what an owner gets."""
    others = book.tables["horses"].query("horse != @horse")
    owners = book.tables["owners"]
    foreign = {*others["horse"], *others["name"], *owners["owner"], *owners["name"]}
    foreign |= set(owners["email"].dropna())
    page = (folder / horse / "report.html").read_text("utf-8")
    paper = text_of(folder / horse / "report.pdf")
    numbers = (folder / horse / "report.json").read_text("utf-8")
    notebook = (folder / horse / "report.ipynb").read_text("utf-8")
    for text in (page, paper, numbers, notebook):
        assert [name for name in foreign if name.casefold() in text.casefold()] == []


def test_a_report_shows_no_code_no_path_and_no_machine(folder, horse):
    page = words_of((folder / horse / "report.html").read_text("utf-8"))
    paper = text_of(folder / horse / "report.pdf")
    for text in (page, paper):
        for trace in (
            "import ",
            "month_digest",
            "sample_runs",
            "/tmp",
            "/home",
            "None",
            "alt.",
        ):
            assert trace not in text, trace
        # As a word: a cited author is called Hernandez.
        assert re.search(r"\bnan\b", text) is None


def test_each_number_of_the_json_is_printed(folder, horse):
    found = report(folder, horse)
    if horse in NOTHING_RECORDED:
        return
    assert unprinted(found, (folder / horse / "report.html").read_text("utf-8")) == []


def test_each_number_on_the_page_is_in_the_json(folder, horse):
    """Nothing is printed that nobody computed: days, years and the fixed words apart."""
    found = report(folder, horse)
    page = (folder / horse / "report.html").read_text("utf-8")
    born = re.search(r"foaled in (\d{4})", words_of(page))
    assert strays(found, page) - ({born[1]} if born else set()) == set()


def test_names_are_unique_and_numbers_are_finite(folder, horse):
    found = report(folder, horse)["numbers"]
    names = [number["name"] for number in found]
    assert len(set(names)) == len(names)
    for number in found:
        assert set(number) == {
            "name", "value", "unit", "text", "from", "sources", "n", "caveat",
        }  # fmt: skip
        assert abs(number["value"]) < 1e9
        assert number["unit"]
        assert number["n"] >= 0


def test_every_source_key_is_a_source_and_every_maker_exists(folder, horse):
    from importlib import import_module

    from racecalc.sources import SOURCES

    for number in report(folder, horse)["numbers"]:
        assert set(number["sources"]) <= set(SOURCES)
        module, _, name = number["from"].rpartition(".")
        assert callable(getattr(import_module(module), name))


def test_the_pdf_is_tagged_paged_and_titled(folder, horse):
    reader = pypdf.PdfReader(folder / horse / "report.pdf")
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/Lang"] == "en"
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert reader.metadata.title.endswith(", October 2026")
    count = len(reader.pages)
    assert 1 <= count <= 6
    for number, page in enumerate(reader.pages, start=1):
        assert f"page {number} of {count}" in page.extract_text()


def test_a_page_is_small_enough_to_send(folder, horse):
    assert (folder / horse / "report.html").stat().st_size < 1_500_000
    assert (folder / horse / "report.pdf").stat().st_size < 1_000_000


def test_the_same_month_makes_the_same_bytes_again(folder, sample_book, tmp_path):
    horse = "gimlet-marshlight"
    done = racecalc("report", sample_book, horse, "--month", MONTH, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    for path in (folder / horse).iterdir():
        assert path.read_bytes() == (tmp_path / MONTH / horse / path.name).read_bytes(), path.name


@pytest.mark.parametrize("shown", SHOWN)
def test_a_committed_example_says_what_it_would_say_now(folder, shown):
    assert same_words(EXAMPLES / shown, folder / shown)


def test_the_executed_workbook_exports_through_nbconvert(folder, tmp_path):
    import subprocess
    import sys

    source = folder / "colander-fog" / "report.ipynb"
    for exporter, name in (("racecalc-html", "out.html"), ("racecalc-pdf", "out.pdf")):
        subprocess.run(
            [sys.executable, "-m", "nbconvert", "--to", exporter, str(source), "--output", "out",
             "--output-dir", str(tmp_path)],
            check=True, capture_output=True,
        )  # fmt: skip
        expected = (folder / "colander-fog" / f"report{name[3:]}").read_bytes()
        assert (tmp_path / name).read_bytes() == expected


@pytest.fixture(scope="module")
def tab(tmp_path_factory):
    if executable() is None:
        import os

        if "CI" in os.environ:
            pytest.fail("no Chromium on this machine; .ci/run installs it")
        pytest.skip("no Chromium on this machine")
    with browser(tmp_path_factory.mktemp("profile")) as page:
        yield page


def test_a_browser_asks_for_nothing_and_complains_of_nothing(folder, tab, horse):
    for width in (360, 1200):
        tab.open(folder / horse / "report.html", width)
        assert tab.requests() == [(folder / horse / "report.html").as_uri()]
        assert tab.complaints() == []
        assert tab.value("document.documentElement.scrollWidth") <= width


def test_the_index_opens_too_and_its_links_lead_somewhere(folder, tab):
    tab.open(folder / "index.html", 360)
    assert tab.complaints() == []
    links = re.findall(r'href="([^"]+)"', (folder / "index.html").read_text("utf-8"))
    assert len(links) == 2 * len(horses())
    assert all((folder / link).is_file() for link in links)


def test_the_printed_pdf_can_be_read_aloud_in_order(folder):
    """The message comes first: name, month, the sentences, then the figures."""
    text = text_of(folder / "larder-drizzle" / "report.pdf")
    order = [
        "Larder Drizzle",
        "October 2026",
        "furlongs against the watch",
        "fast ground",
        "Her works",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_pdf_bytes_are_one_document(folder, horse):
    content = (folder / horse / "report.pdf").read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.count(b"%%EOF") == 1
    assert pypdf.PdfReader(io.BytesIO(content)).pages


def test_the_figures_and_the_works_stand_where_their_names_say(folder, horse):
    """A number in the wrong place is as wrong as a wrong number: each is looked up by its name."""
    text = {n["name"]: n["text"] for n in report(folder, horse)["numbers"]}
    page = (folder / horse / "report.html").read_text("utf-8")
    figures = re.findall(r'class="value"><strong>(.*?)</strong>\s*(.*?)</p>\s*<p>(.*?)</p>', page)
    for value, unit, label in figures:
        shown = f"{value} {unit}".strip()
        if unit in ("work", "works"):
            assert value == text["month.works.count"]
            assert text["month.works.distance"] in label or value == "0"
        elif "fast ground" in label:
            assert shown == text["ground.30d.fast"]
        elif unit == "hands":
            assert shown == text["height.latest"]
        elif unit == "lb":
            assert shown == text["weight.latest"]
        else:
            assert (value, unit.rstrip("s")) == (text["days.out"], "day")
    works = list(dict.fromkeys(name.split(".")[1] for name in text if name.startswith("works.")))
    rows = re.findall(
        r'<tr role="row">(.*?)</tr>', page.partition("where, and the footing")[2], re.DOTALL
    )
    for work, row in zip(works, rows, strict=False):
        cells = [re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
        assert cells[1] == text[f"works.{work}.distance"]
        assert cells[2] == text.get(f"works.{work}.time", "no clock")
        if f"works.{work}.expected.low" in text:
            ends = (text[f"works.{work}.expected.{end}"] for end in ("low", "high"))
            assert cells[3] == "–".join(ends)
        pace, speed = cells[-4:-2]
        assert pace == text.get(f"works.{work}.seconds_per_furlong", "–").removesuffix(" s")
        assert speed == text.get(f"works.{work}.speed", "–").removesuffix(" mph")
    assert len(rows) >= len(works)
