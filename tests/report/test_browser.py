"""The page in a real browser."""

import io
import os

import pypdf
import pytest

from racecalc.report.html import HtmlReportExporter

from .browser import browser, executable
from .invented import notebook, report, table
from .test_html import AWKWARD

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        executable() is None and "CI" not in os.environ, reason="no Chromium on this machine"
    ),
]

WIDTHS = (320, 360, 600, 700, 800, 1200, 2000)


@pytest.fixture(scope="module")
def tab(tmp_path_factory):
    with browser(tmp_path_factory.mktemp("profile")) as page:
        yield page


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    blocks = report(name=f"Saltmarsh {AWKWARD[0]} Lullaby {'x' * 60}")
    wide = table("|".join("abcdefghij"), [["some words"] * 10], title="Ten columns")
    made, _ = HtmlReportExporter().from_notebook_node(notebook([*blocks[:-1], wide, blocks[-1]]))
    target = tmp_path_factory.mktemp("page") / "report.html"
    target.write_text(made, encoding="utf-8")
    return target


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_no_sideways_scroll_no_complaint_no_request(tab, path, width, scheme):
    tab.open(path, width, scheme=scheme)
    assert tab.value("document.documentElement.scrollWidth") == width
    assert tab.complaints() == []
    assert tab.requests() == [path.resolve().as_uri()]


@pytest.mark.parametrize(("width", "shown"), [(360, "narrow-only"), (1200, "wide-only")])
def test_a_phone_gets_the_chart_made_for_it(tab, path, width, shown):
    tab.open(path, width)
    script = "[...document.querySelectorAll('.wide-only, .narrow-only')]"
    script += ".filter(e => e.offsetWidth > 0).map(e => e.classList[1])"
    assert tab.value(script) == [shown]


@pytest.mark.parametrize("width", [360, 1200])
def test_chart_text_can_be_read(tab, path, width):
    tab.open(path, width)
    script = """Math.min(...[...document.querySelectorAll('.drawing')]
        .filter(drawing => drawing.offsetWidth > 0)
        .flatMap(drawing => [...drawing.querySelectorAll('svg text')])
        .map(text => [text.getScreenCTM(), parseFloat(getComputedStyle(text).fontSize)])
        .map(([scale, size]) => size * Math.hypot(scale.a, scale.b)))"""
    assert tab.value(script) >= 10.9


def test_halves_stand_side_by_side_only_where_there_is_room(tab, path):
    script = """(() => { const [a, b] = document.querySelector('.pair').children;
        return a.getBoundingClientRect().bottom <= b.getBoundingClientRect().top })()"""
    tab.open(path, 360)
    assert tab.value(script) is True
    tab.open(path, 1200)
    assert tab.value(script) is False


def test_the_dark_page_and_its_drawings_turn(tab, path):
    ground = "getComputedStyle(document.body).backgroundColor"
    bar = "getComputedStyle(document.querySelector('svg [fill=\"#9c3a20\"]')).fill"
    tab.open(path, 1200, scheme="light")
    light = tab.value(ground), tab.value(bar)
    tab.open(path, 1200, scheme="dark")
    dark = tab.value(ground), tab.value(bar)
    assert light == ("rgb(255, 255, 255)", "rgb(156, 58, 32)")
    assert dark == ("rgb(20, 25, 31)", "rgb(221, 132, 97)")


def test_a_screen_reader_hears_the_pictures_and_the_tables(tab, path):
    tab.open(path, 1200)
    heard = tab.spoken()
    pictures = [name for role, name in heard if role in ("image", "img")]
    assert pictures[0].startswith("Bars of the miles covered each day of October")
    assert len(pictures) == 4
    assert ("table", "Her works") in heard
    assert ("columnheader", "a furlong") in heard
    assert ("rowheader", "Sat 24") in heard
    landmarks = [role for role, _ in heard if role in ("banner", "main", "contentinfo")]
    assert landmarks == ["banner", "main", "contentinfo"]


def test_the_keyboard_skips_to_the_report(tab, path):
    tab.open(path, 1200)
    tab.send("Input.dispatchKeyEvent", type="keyDown", key="Tab", code="Tab")
    assert tab.value("document.activeElement.className") == "skip"
    assert tab.value("document.activeElement.getBoundingClientRect().left >= 0") is True


def test_printing_is_light_and_whole(tab, path):
    tab.open(path, 800, scheme="dark", media="print")
    assert tab.value("getComputedStyle(document.body).color") == "rgb(31, 45, 61)"
    pages = pypdf.PdfReader(io.BytesIO(tab.printed())).pages
    text = " ".join(page.extract_text() for page in pages)
    assert 4 <= len(pages) <= 8
    assert "Skip to the report" not in text
    assert "local law decide" in " ".join(text.split())
