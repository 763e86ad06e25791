import copy

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc.errors import ReportError
from racecalc.report.blocks import blocks_of, numbers_of, rows_of

from .invented import masthead, notebook, numbers, prose, report, table


def test_blocks_come_in_order_and_nothing_else_does():
    blocks = report()
    assert blocks_of(notebook(blocks)) == blocks


def test_display_outputs_count_as_well_as_results():
    book = notebook([masthead(), numbers()])
    for cell in book.cells[1:]:
        output = cell.outputs[0]
        cell.outputs = [nbformat.v4.new_output("display_data", data=output.data)]
    assert [block["block"] for block in blocks_of(book)] == ["masthead", "numbers"]


def test_numbers_are_what_report_json_holds():
    found = numbers_of(notebook([masthead(), numbers()]))
    assert found["horse"] == "lullaby"
    assert "block" not in found


@pytest.mark.parametrize(
    ("blocks", "said"),
    [
        ([], "holds no report"),
        ([prose("Words."), numbers()], "begins with its one masthead"),
        ([masthead(), masthead(), numbers()], "2 mastheads"),
        ([masthead(), prose("Words.")], "did not run to its end"),
        ([masthead(), numbers(), numbers()], "did not run to its end"),
        ([masthead(), {"block": "gauge"}, numbers()], "unknown kind 'gauge'"),
        ([masthead(), {"block": "table", "columns": []}, numbers()], "lacks rows"),
        ([masthead(day="2026-10-32"), numbers()], "write it as 2026-10-31"),
    ],
)
def test_what_is_no_whole_report_is_refused_in_one_line(blocks, said):
    with pytest.raises(ReportError, match=said) as refusal:
        blocks_of(notebook(blocks))
    assert "\n" not in str(refusal.value)


def test_a_notebook_that_was_never_run_is_refused():
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 + 1")])
    with pytest.raises(ReportError, match="holds no report"):
        blocks_of(book)


def test_halves_stand_in_pairs():
    half, whole = table("a", [["x"]], half=True), prose("Words.")
    blocks = [masthead(), half, half, half, whole, half, numbers()]
    assert [len(row) for row in rows_of(blocks)] == [2, 1, 1, 1]


@given(st.lists(st.booleans(), max_size=12))
def test_rows_keep_every_element_once_in_order(halves):
    blocks = [prose(str(place), half=half) for place, half in enumerate(halves)]
    rows = rows_of([masthead(), *blocks, numbers()])
    assert [block for row in rows for block in row] == blocks
    assert all(len(row) == 1 or all(block["half"] for block in row) for row in rows)


def test_characters_that_no_page_can_show_are_dropped():
    blocks = [masthead(name="Salt\x00marsh\ud800 \x1bLullaby"), numbers()]
    assert blocks_of({"cells": notebook(blocks).cells})[0]["name"] == "Saltmarsh Lullaby"


def test_the_notebook_is_left_as_it_was():
    book = notebook(report())
    before = copy.deepcopy(book)
    blocks_of(book)
    assert book == before
