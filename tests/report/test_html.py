import re
from html.parser import HTMLParser

import pytest

from racecalc import page
from racecalc.errors import ReportError
from racecalc.report import html
from racecalc.report.blocks import blocks_of
from racecalc.report.places import templates_folder

from .invented import masthead, notebook, numbers, picture, prose, report, table, weight_chart

# Text that would do harm if any of it were read as markup, for a browser or for the typesetter.
AWKWARD = (
    "<script>alert(1)</script>",
    "\"quoted\" & 'single'",
    "<img src=x onerror=alert(1)>",
    "{{ 7 * 7 }} {% raw %}",
    "#let x = 1; *bold* _it_ $x^2$ @ref [link] \\ `raw` // ~",
    "שלום Lullaby",
    "\u202eevil",
    "O'Hara",
)


class Reader(HTMLParser):
    """Collects the tags, the attributes and the text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_data(self, data):
        self.words += data


def page_of(blocks):
    return html.HtmlReportExporter().from_notebook_node(notebook(blocks))[0]


@pytest.fixture(scope="module")
def whole():
    return page_of(report())


def test_nothing_runs_and_nothing_is_asked_for(whole):
    reader = Reader(whole)
    asking = {"script", "iframe", "object", "embed", "link", "base", "form", "audio", "video"}
    assert not asking & set(reader.tags)
    assert not [name for _, name, _ in reader.attributes if name.startswith("on")]
    assert not [value for _, name, value in reader.attributes if name in ("src", "srcset")]
    assert [value for _, name, value in reader.attributes if name == "href"] == ["#report"]
    assert "@import" not in whole
    assert not re.findall(r"url\((?!#)", whole)
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    assert any(policy in value for _, name, value in reader.attributes if name == "content")


def test_only_page_elements_reach_the_owner(whole):
    for inside in ("secret_code_cell", "keeper of the workbook", "in the notebook", "alt.Chart("):
        assert inside not in whole
    assert "lullaby" not in whole  # the id, which stands in the numbers only


def test_the_outline_is_in_order(whole):
    headings = re.findall(r"<(h[1-6])\b", whole)
    assert headings[0] == "h1"
    assert set(headings[1:]) == {"h2"}
    assert '<html lang="en">' in whole
    assert "<title>Saltmarsh Lullaby, October 2026</title>" in whole
    for landmark in ("header", "main", "footer"):
        assert whole.count(f"<{landmark}") == 1


def test_every_id_is_used_once_and_every_reference_is_met(whole):
    ids = [value for _, name, value in Reader(whole).attributes if name == "id"]
    assert len(ids) == len(set(ids))
    named = {v for _, name, v in Reader(whole).attributes if name == "aria-labelledby"}
    assert named <= set(ids)


def test_every_picture_is_described_and_every_head_has_its_scope(whole):
    reader = Reader(whole)
    assert reader.tags.count("svg") == 5  # four pictures, one of them laid out for a phone too
    assert whole.count("<svg") == whole.count("<desc")
    assert {value for tag, name, value in reader.attributes if (tag, name) == ("th", "scope")} == {
        "col",
        "row",
    }
    heads = reader.tags.count("th")
    assert heads == len([1 for tag, name, _ in reader.attributes if (tag, name) == ("th", "scope")])


@pytest.mark.parametrize("text", AWKWARD)
def test_text_stays_text_everywhere(text):
    blocks = [
        masthead(
            name=text, subtitle=text, audience=text, barn=text, trainer=text, description=text
        ),
        prose(text, title=text),
        {"block": "figures", "items": [dict.fromkeys(("value", "unit", "label", "compare"), text)]},
        table(
            text, [[text], [{"text": text, "strong": True}]], title=text, caption=text, note=text
        ),
        picture(weight_chart(), text, title=text, caption=text),
        numbers(),
    ]
    made = page_of(blocks)
    reader = Reader(made)
    assert reader.words.count(text) >= 16
    assert not {"script", "img"} & set(reader.tags)
    assert not [name for _, name, _ in reader.attributes if name.startswith("on")]


def test_the_same_notebook_makes_the_same_bytes(whole):
    assert page_of(report()) == whole
    assert len(whole.encode()) < 1_500_000


def test_absent_words_leave_nothing_behind():
    blocks = [masthead(), prose("Words."), table("day|>time", [["Sat 3", ""]]), numbers()]
    made = Reader(page_of(blocks)).words
    assert "None" not in made
    assert "nan" not in made


def test_what_is_no_report_is_refused():
    with pytest.raises(ReportError, match="holds no report"):
        page_of([])


def test_another_template_gets_the_same_elements(tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "conf.json").write_text("{}")
    (tmp_path / "mine" / "index.html.j2").write_text("{{ head.name }}, {{ rows | length }} rows")
    exporter = html.HtmlReportExporter(
        template_name="mine", extra_template_basedirs=[str(tmp_path)]
    )
    made, _ = exporter.from_notebook_node(notebook([masthead(name="A & B"), prose("x"), numbers()]))
    assert made == "A &amp; B, 1 rows"


# ---- colours


def _variables(text):
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", text))


def _schemes():
    style = (templates_folder("html") / "style.css").read_text()
    light, dark = style.split("prefers-color-scheme: dark")
    return _variables(light), _variables(light) | _variables(dark), dark


def _luminance(colour):
    # W3C, WCAG 2.2, definition of relative luminance.
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one, other):
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_computed_as_printed():
    # W3C, Understanding SC 1.4.3: #767676 on white is 4.54 to 1; black on white 21 to 1.
    assert _contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert _contrast("#000000", "#ffffff") == pytest.approx(21)


def test_layouts_and_charts_wear_the_same_colours():
    names = ("INK", "MUTED", "RULE", "RUST", "OCHRE", "SAGE", "SAGE_PALE", "BLUE")
    palette = {name.lower().replace("_", "-"): getattr(page, name) for name in names}
    light, _, dark_rules = _schemes()
    assert {name: light[name] for name in palette} == palette
    typst = (templates_folder("typst") / "report.typ").read_text()
    for colour in re.findall(r'rgb\("(#\w+)"\)', typst):
        assert colour in palette.values()
    # Whatever changes in the dark is changed inside the drawings too.
    _, dark, _ = _schemes()
    for name, colour in palette.items():
        changed = f'svg [fill="{colour}"] {{ fill: var(--{name}); }}' in dark_rules
        assert changed == (dark[name] != colour), name


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_words_have_contrast(scheme):
    # W3C, WCAG 2.2, SC 1.4.3: 4.5 to 1 for text.
    colours = _schemes()[scheme]
    for name in ("ink", "muted", "rust", "blue"):
        assert _contrast(colours[name], colours["paper"]) >= 4.5, name


def test_the_page_is_the_same_without_nbconvert():
    assert html.page_of(blocks_of(notebook(report()))) == page_of(report())
