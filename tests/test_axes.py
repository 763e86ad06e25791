"""Axes and keys that are marks of a chart."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import daybook, digest, figures
from racecalc.figures.axes import across, key, round_values, with_unit
from racecalc.figures.joined import plain
from racecalc.report.svg import draw


@pytest.mark.parametrize(
    ("low", "high", "steps", "found"),
    [
        (0, 31, 4, [0, 10, 20, 30]),
        (0, 16, 4, [0, 5, 10, 15]),
        (0, 8, 4, [0, 2, 4, 6, 8]),
        (0, 0.3, 4, [0, 0.1, 0.2, 0.3]),
        (11.72, 12.81, 4, [12, 12.5]),
        (11.72, 12.81, 5, [11.8, 12, 12.2, 12.4, 12.6, 12.8]),
        (0, 0, 4, [0]),
    ],
)
def test_lines_stand_at_round_values(low, high, steps, found):
    assert round_values(low, high, steps) == found


@given(st.floats(0, 1e4), st.floats(0.01, 1e5), st.integers(2, 6))
def test_there_are_never_many_and_all_lie_between(low, reach, steps):
    values = round_values(low, low + reach, steps)
    assert len(values) <= steps + 1
    assert all(low - 1e-8 <= value <= low + reach + 1e-8 for value in values)
    assert len({round(b - a, 6) for a, b in pairwise(values)}) <= 1


def rows(mark):
    return plain(mark)["data"]["values"]


def test_each_line_bears_its_words():
    lines, words = across({0.0: "", 10.0: "10 f"}, {"domain": [0, 12]})
    assert [(row["at"], row["label"]) for row in rows(words)] == [(0, ""), (10, "10 f")]
    assert rows(lines) == rows(words)
    assert plain(lines)["encoding"]["y"]["scale"] == {"domain": [0, 12]}


def test_words_of_a_key_do_not_run_into_one_another():
    entries = [("walk, jog", "a", "b"), ("slower than 14.37 s", "c", "c"), ("quick", "d", "d")]
    _, words = key(entries, columns=2)
    places = [(row["left"], row["top"]) for row in rows(words)]
    assert places[0][1] == places[1][1] < places[2][1] < 0, "two lines over the chart"
    assert places[0][0] == places[2][0]
    assert places[1][0] - places[0][0] > 6 * len("walk, jog")
    _, words = key(entries)
    assert len({row["top"] for row in rows(words)}) == 1


def test_labels_of_one_axis_have_as_many_decimals():
    assert with_unit([0, 0.5, 1], "km") == {0: "0.0 km", 0.5: "0.5 km", 1: "1.0 km"}
    assert with_unit([1000, 2000], "f")[1000] == "1000 f"


def test_where_an_axis_stands_the_lowest_value_has_no_line():
    lines, words = across({1.0: "1", 2.0: "2"}, {}, on_axis=True)
    assert [row["at"] for row in rows(lines)] == [2]
    assert len(rows(words)) == 2


@pytest.mark.parametrize("horse", ["larder-drizzle", "teaspoon-squall", "spokeshave-sleet"])
def test_half_a_page_holds_every_half_picture(sample_book, horse):
    """Of one that is wider a page on a telephone shows a part, see parts.html.j2."""
    told = digest.build(daybook.slice_for(daybook.read(sample_book), horse), "2026-10")
    found = [getattr(figures, name)(told) for name in ("weight", "height", "sections", "own_line")]
    halves = [picture for picture in (*found, figures.fast_line(told)) if picture]
    assert halves
    for picture in halves:
        assert draw(picture.spec, picture.alt, "p").width <= 328
