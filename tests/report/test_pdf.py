import io
import logging
import math
import re
from datetime import UTC, datetime

import pypdf
import pytest

from racecalc.errors import ReportError
from racecalc.report.pdf import PdfReportExporter

from .invented import (
    masthead,
    month_chart,
    notebook,
    numbers,
    picture,
    prose,
    report,
    table,
    weight_chart,
)
from .test_html import AWKWARD


def paper_of(blocks):
    return PdfReportExporter().from_notebook_node(notebook(blocks))[0]


def read(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


def plain(text):
    """Words as they are read: the reader's line ends and the alignment of columns do not count."""
    return " ".join(text.split())


@pytest.fixture(scope="module")
def whole():
    return paper_of(report())


@pytest.fixture(scope="module")
def pages(whole):
    return [plain(page.extract_text()) for page in read(whole).pages]


def structure(pdf):
    """Return the kinds of everything in the structure tree, in order, with its object."""
    root = read(pdf).trailer["/Root"]["/StructTreeRoot"]
    found = []

    def walk(node):
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, dict):
            if "/S" in node:
                found.append((str(node["/S"]), node))
            if "/K" in node:
                walk(node["/K"])

    walk(root["/K"])
    return found


def test_the_file_says_what_it_is(whole):
    reader = read(whole)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == "Saltmarsh Lullaby, October 2026"
    assert reader.metadata.author == "Hollow Fen Stable"
    assert reader.metadata.subject.startswith("What Saltmarsh Lullaby did")
    assert b"pdfuaid:part" in root["/Metadata"].get_data()


def test_it_bears_the_last_day_of_its_month_not_the_clock(whole):
    assert read(whole).metadata.creation_date == datetime(2026, 10, 31, tzinfo=UTC)
    leap = read(paper_of([masthead(day="2028-02-29"), numbers()]))
    assert leap.metadata.creation_date == datetime(2028, 2, 29, tzinfo=UTC)


def test_the_same_notebook_makes_the_same_bytes(whole):
    assert paper_of(report()) == whole
    assert len(whole) < 1_000_000


def test_parts_are_tagged(whole):
    tags = structure(whole)
    kinds = [kind for kind, _ in tags]
    assert kinds.count("/H1") == 1
    assert kinds.count("/H2") == 9
    assert kinds.count("/Table") >= 3
    assert kinds.count("/TH") >= 13
    pictures = [node for kind, node in tags if kind == "/Figure"]
    assert len(pictures) == 4
    assert all(len(node["/Alt"]) > 20 for node in pictures)


def test_every_page_says_which_it_is(pages):
    count = len(pages)
    assert count >= 3
    for place, text in enumerate(pages, start=1):
        assert f"page {place} of {count}" in text
        assert "Hollow Fen Stable" in text


def test_later_pages_are_headed_by_horse_and_month(pages):
    for text in pages[1:]:
        assert text.startswith("Saltmarsh Lullaby October 2026")


def test_a_table_over_a_page_break_repeats_its_head(pages):
    headed = [text for text in pages if "footing on the scale" in text]
    assert len(headed) >= 2
    assert sum(text.count("Oct 26 ") for text in pages) == 2


@pytest.mark.parametrize(("paper", "size"), [("letter", (612, 792)), ("a4", (595.28, 841.89))])
def test_the_paper_is_the_one_asked_for(paper, size):
    box = read(paper_of([masthead(paper=paper), prose("Words."), numbers()])).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)


def test_fonts_are_inside_and_the_one_face(whole):
    fonts = set()
    for sheet in read(whole).pages:
        fonts |= {
            str(font.get_object()["/BaseFont"]) for font in sheet["/Resources"]["/Font"].values()
        }
    assert fonts
    assert all(
        re.fullmatch(r"/[A-Z]{6}\+LibertinusSerif-\w+(-Identity-H)?", name) for name in fonts
    )


def test_no_text_is_smaller_than_eight_points():
    # Text sizes as set: the scale of the text matrix, times that of the drawing that holds it.
    sizes = []

    def note(text, matrix, text_matrix, font, size):
        if text.strip():
            scales = (math.hypot(*text_matrix[:2]), math.hypot(*matrix[:2]))
            sizes.append(size * math.prod(scales))

    blocks = [
        masthead(),
        picture(month_chart(), "Bars."),
        prose("Small.", style="small"),
        numbers(),
    ]
    for sheet in read(paper_of(blocks)).pages:
        sheet.extract_text(visitor_text=note)
    assert min(sizes) >= 7.9


@pytest.mark.parametrize("text", AWKWARD)
def test_text_stays_text_everywhere(text):
    blocks = [
        masthead(name=text, subtitle=text, audience=text, barn=text, description=text),
        prose(text, title=text),
        {"block": "figures", "items": [dict.fromkeys(("value", "unit", "label", "compare"), text)]},
        table("what", [[text], [{"text": text, "strong": True}]], title=text, caption=text),
        picture(weight_chart(), text, title=text, caption=text),
        numbers(),
    ]
    reader = read(paper_of(blocks))
    assert reader.metadata.title.startswith(text)
    if text.isascii():
        shown = plain(" ".join(page.extract_text() for page in reader.pages))
        assert shown.replace(" ", "").count(text.replace(" ", "")) >= 9


def test_a_letter_without_a_glyph_gives_way_and_is_named(caplog):
    private = "\U0010fffd"  # a private-use character that no ordinary font draws
    blocks = [masthead(), prose(f"A horse {private} here."), numbers()]
    with caplog.at_level(logging.WARNING):
        exporter = PdfReportExporter()
        exporter.log = logging.getLogger("racecalc.test")
        pdf, _ = exporter.from_notebook_node(notebook(blocks))
    shown = plain(read(pdf).pages[0].extract_text())
    if caplog.records:
        assert "U+10FFFD" in caplog.text
        assert "A horse \N{REPLACEMENT CHARACTER} here." in shown
    else:
        assert private in shown


def test_emoji_and_far_scripts_never_stop_a_report():
    blocks = [
        masthead(name="馬 🐎 عربي"),
        prose("🐎"),
        picture(_labelled("🐎 馬"), "🐎"),
        numbers(),
    ]
    assert len(read(paper_of(blocks)).pages) == 1


def test_a_very_long_name_stays_on_the_page():
    name = "Lullaby " * 40
    text = plain(read(paper_of([masthead(name=name), numbers()])).pages[0].extract_text())
    assert text.count("Lullaby") >= 40


def test_a_pair_longer_than_a_page_goes_on():
    long = table("day|>time", [[f"row {n}", "1:01"] for n in range(150)], half=True)
    pdf = read(paper_of([masthead(), long, long, numbers()]))
    shown = plain(" ".join(page.extract_text() for page in pdf.pages))
    assert shown.count("row 149") == 2
    assert len(pdf.pages) >= 2


def test_what_is_no_report_is_refused():
    with pytest.raises(ReportError, match="holds no report"):
        paper_of([])


def _labelled(words):
    data = {"values": [{"words": words}]}
    encoding = {"text": {"field": "words", "type": "nominal"}}
    return {"data": data, "mark": "text", "encoding": encoding}
