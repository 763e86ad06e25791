"""Axes and keys that are marks of a chart."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.figures.axes import across, key, round_values
from racecalc.figures.joined import plain


@pytest.mark.parametrize(
    ("low", "high", "steps", "found"),
    [
        (0, 31, 4, [0, 10, 20, 30]),
        (0, 16, 4, [0, 5, 10, 15]),
        (0, 8, 4, [0, 2, 4, 6, 8]),
        (0, 0.3, 4, [0, 0.1, 0.2, 0.3]),
        (11.72, 12.81, 4, [12, 12.5]),
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
