"""The workbooks are thin, stored without outputs, and safe to review in a diff."""

import ast
import re

import nbformat
import pytest

from tests.conftest import ROOT

WORKBOOKS = sorted((ROOT / "workbooks").glob("*.ipynb"))
PARAMETERS = {
    "monthly_report": {"horse", "month", "daybook"},
    **{name: {"horse", "until", "daybook"} for name in ("body", "fitness", "load")},
    "gait": {"horse", "until", "clip", "fore_share", "daybook"},
    "next_work": {"horse", "until", "planned", "bad_footing", "track", "daybook"},
    "surface": {"track", "until", "horse", "daybook"},
    "work_review": {"horse", "work", "daybook"},
    "pole_sheet": {
        "track", "distance", "asked", "start", "day", "tolerance", "run_up", "off_rail", "horse",
        "daybook",
    },
}  # fmt: skip
KEPT = {"nbval-check-output", "keep_output"}


def notebook(path):
    return nbformat.read(path, as_version=4)


def code_cells(path):
    return [cell for cell in notebook(path).cells if cell.cell_type == "code"]


def tags(cell):
    return set(cell.metadata.get("tags", ()))


@pytest.fixture(params=WORKBOOKS, ids=lambda path: path.stem)
def workbook(request):
    return request.param


def test_the_workbooks_are_those_that_are_known():
    assert {path.stem for path in WORKBOOKS} == set(PARAMETERS)


def test_it_is_valid_and_names_its_kernel(workbook):
    nbformat.validate(notebook(workbook))
    assert notebook(workbook).metadata.kernelspec.name == "python3"


def test_one_cell_holds_the_parameters_as_plain_literals(workbook):
    cells = [cell for cell in code_cells(workbook) if "parameters" in tags(cell)]
    assert len(cells) == 1
    lines = ast.parse(cells[0].source).body
    assert {line.targets[0].id for line in lines} == PARAMETERS[workbook.stem]
    for line in lines:
        ast.literal_eval(line.value)
    assert all("  # " in line for line in cells[0].source.splitlines()), "each says what it is"


def test_cells_compute_nothing_of_their_own(workbook):
    forbidden = (
        ast.FunctionDef, ast.ClassDef, ast.Lambda, ast.For, ast.While, ast.BinOp, ast.If, ast.Try,
    )  # fmt: skip
    for cell in code_cells(workbook):
        found = [node for node in ast.walk(ast.parse(cell.source)) if isinstance(node, forbidden)]
        assert found == [], cell.id
        assert "parameters" in tags(cell) or len(cell.source.splitlines()) <= 8, cell.id


def test_cell_ids_are_written_by_hand(workbook):
    ids = [cell.id for cell in notebook(workbook).cells]
    assert len(set(ids)) == len(ids)
    for cell_id in ids:
        assert cell_id.replace("-", "").isalpha(), cell_id
        assert any(vowel in cell_id for vowel in "aeiou"), cell_id


def test_outputs_are_stored_for_a_few_check_cells_only(workbook):
    with_outputs = [cell for cell in code_cells(workbook) if cell.outputs]
    assert len(with_outputs) <= 3
    for cell in with_outputs:
        assert tags(cell) >= KEPT
        assert cell.execution_count
        for output in cell.outputs:
            assert set(output.data) == {"text/plain"}


def test_no_trace_of_a_machine_or_a_run(workbook):
    text = workbook.read_text("utf-8")
    assert "papermill" not in notebook(workbook).metadata
    for word in ("/home/", "/root/", "/tmp/", "/Users/", 'execution": {'):
        assert word not in text


def test_a_report_workbook_ends_with_its_numbers(workbook):
    assert re.fullmatch(r"tables\.numbers\(\w+\)", code_cells(workbook)[-1].source)
