import re
from xml.etree import ElementTree

import altair as alt
import pytest

from racecalc.errors import ReportError
from racecalc.page import OCHRE, RUST, SAGE
from racecalc.report.svg import FACES, draw

from .invented import month_chart, pace_chart, weight_chart

SVG = "{http://www.w3.org/2000/svg}"


def root_of(spec, alt_text="What is shown.", prefix="p1"):
    return ElementTree.fromstring(draw(spec, alt_text, prefix).svg)


def dots(values, **more):
    chart = alt.Chart(alt.Data(values=values)).mark_point(**more).encode(x="a:Q", y="b:Q")
    return chart.to_dict()


def test_a_screen_reader_gets_one_picture_with_its_description():
    root = root_of(pace_chart(), "From 12.8 to 11.8 <seconds> & more")
    described = root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == described.get("id")
    assert described.text == "From 12.8 to 11.8 <seconds> & more"
    # One picture: no part of it is announced on its own.
    inside = [element for element in root.iter() if element is not root]
    assert not [e for e in inside if e.get("role") or e.get("aria-label")]


def test_hovering_shows_the_words_of_every_mark():
    titles = [title.text for title in root_of(pace_chart()).iter(f"{SVG}title")]
    assert "¼\u2013⅛: 11.8 s, give or take 0.2 s" in titles
    assert len([title for title in titles if "give or take" in title]) == 6
    assert not [title for title in titles if "axis" in title]


def test_a_line_shows_no_words_of_its_first_point():
    root = root_of(weight_chart())
    titles = [title.text for title in root.iter(f"{SVG}title")]
    assert titles.count("Jun: 1,048 lb") == 1


def test_text_is_in_the_serif_face_and_large_enough():
    for spec in (month_chart(), pace_chart(), weight_chart()):
        root = root_of(spec)
        assert root.get("font-family") == FACES
        texts = [*root.iter(f"{SVG}text"), *root.iter(f"{SVG}tspan")]
        assert texts
        assert all(text.get("font-family") is None for text in texts)
        # 680 pixels fill 497 points on paper: 8 points are 10.95 pixels.
        assert min(float(text.get("font-size").removesuffix("px")) for text in texts) >= 10.95


def test_fractions_are_drawn_larger_and_read_whole():
    texts = ["".join(text.itertext()) for text in root_of(month_chart()).iter(f"{SVG}text")]
    assert any(text.startswith("6 f 1:13⅖") for text in texts)
    large = [span for span in root_of(month_chart()).iter(f"{SVG}tspan") if span.text == "⅖"]
    assert {span.get("font-size") for span in large} == {"13.2px"}


def test_colours_are_written_in_one_way():
    spec = dots([{"a": 1, "b": 2}], color="#9C3A20", filled=True, stroke="white")
    svg = draw(spec, "a", "p1").svg
    assert f'fill="{RUST}"' in svg
    assert 'stroke="#ffffff"' in svg
    assert f'fill="{OCHRE}"' in draw(month_chart(), "a", "p1").svg
    assert f'fill="{SAGE}"' in draw(month_chart(), "a", "p1").svg


def test_the_ground_is_clear():
    spec = month_chart()
    spec["config"]["background"] = "white"
    assert 'fill="#ffffff"' not in draw(spec, "a", "p1").svg


def test_ids_do_not_meet_between_drawings():
    spec = dots([{"a": 1, "b": 2}], clip=True)
    gradient = {"gradient": "linear", "stops": [{"offset": 0, "color": RUST}]}
    spec["layer"] = [{"mark": {"type": "bar", "color": gradient}}, {"mark": spec.pop("mark")}]
    one, two = (draw(spec, "a", prefix).svg for prefix in ("p1", "p2"))
    ids = set(re.findall(r'\bid="([^"]+)"', one))
    assert len(ids) >= 3
    assert not ids & set(re.findall(r'\bid="([^"]+)"', two))
    pointed = set(re.findall(r"url\(#([^)]+)\)", one))
    assert pointed
    assert pointed <= ids


def test_the_same_chart_is_drawn_twice_the_same():
    from racecalc.report import svg

    first = draw(month_chart(), "a", "p1")
    svg._drawn.cache_clear()
    assert draw(month_chart(), "a", "p1") == first


def test_size_is_what_the_drawing_says():
    drawing = draw(month_chart(), "a", "p1")
    root = ElementTree.fromstring(drawing.svg)
    assert (drawing.width, drawing.height) == (float(root.get("width")), float(root.get("height")))
    assert drawing.width == pytest.approx(680, abs=20)


@pytest.mark.parametrize("release", ["5.8", "5.20.1", "6.1.0", "6", "6.99"])
def test_each_release_of_the_grammar_is_drawn(release):
    spec = dots([{"a": 1, "b": 2}])
    spec["$schema"] = f"https://vega.github.io/schema/vega-lite/v{release}.json"
    assert "<svg" in draw(spec, "a", "p1").svg


def test_an_unknown_release_is_refused():
    spec = dots([{"a": 1, "b": 2}])
    spec["$schema"] = "https://vega.github.io/schema/vega-lite/v4.17.0.json"
    with pytest.raises(ReportError, match="written for Vega-Lite 4"):
        draw(spec, "a", "p1")


def test_a_chart_that_asks_for_an_address_is_refused():
    spec = dots([]) | {"data": {"url": "https://example.org/data.csv"}}
    with pytest.raises(ReportError, match="holds its data inside"):
        draw(spec, "a", "p1")


def test_a_broken_chart_is_refused_in_one_line():
    with pytest.raises(ReportError, match="cannot be drawn") as refusal:
        draw({"mark": "nonsense"}, "a", "p1")
    assert "\n" not in str(refusal.value)


def test_text_in_a_chart_is_escaped():
    values = [{"a": "<script>alert(1)</script>", "b": 2}]
    chart = alt.Chart(alt.Data(values=values)).mark_text().encode(text="a:N")
    assert "<script" not in draw(chart.to_dict(), '"><script>', "p1").svg
