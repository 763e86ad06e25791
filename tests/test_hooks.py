"""The hooks of a commit: what they run, and that they leave the workbooks as they are stored."""

import shlex
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
import yaml

from tests.conftest import ROOT

HOOKS = {
    hook["id"]: hook
    for repository in yaml.safe_load((ROOT / ".pre-commit-config.yaml").read_text("utf-8"))["repos"]
    for hook in repository["hooks"]
}
WORKBOOKS = sorted((ROOT / "workbooks").glob("*.ipynb"))


def run(hook, files):
    """Run a hook as `pre-commit` does: once, with all the files."""
    program, *options = shlex.split(HOOKS[hook]["entry"])
    command = [Path(sys.executable).with_name(program), *options, *files]
    subprocess.run(command, check=True, capture_output=True)


def test_continuous_integration_checks_what_the_hooks_check():
    """`nbstripout` apart: `tests/test_workbooks.py` looks at what is stored."""
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    for hook in HOOKS.keys() - {"nbstripout"}:
        program = " ".join(word for word in HOOKS[hook]["entry"].split() if word != "--fix")
        assert f".venv/bin/{program}" in script, hook


@pytest.mark.slow
@pytest.mark.parametrize("workbook", WORKBOOKS, ids=lambda path: path.stem)
class TestStrippedWorkbooks:
    def test_a_stored_workbook_stays_as_it_is(self, stripped, workbook):
        assert (stripped / "stored" / workbook.name).read_bytes() == workbook.read_bytes()

    def test_what_a_run_leaves_behind_is_taken_out(self, stripped, workbook):
        assert (stripped / "run" / workbook.name).read_bytes() == workbook.read_bytes()


@pytest.fixture(scope="module")
def stripped(tmp_path_factory):
    """Copies of the workbooks after the hook: as they are stored, and as a run leaves them."""
    folder = tmp_path_factory.mktemp("stripped")
    for name in ("stored", "run"):
        (folder / name).mkdir()
    for workbook in WORKBOOKS:
        (folder / "stored" / workbook.name).write_bytes(workbook.read_bytes())
        left_by_a_run(workbook, folder / "run" / workbook.name)
    run("nbstripout", sorted(folder.rglob("*.ipynb")))
    return folder


def left_by_a_run(workbook, copy):
    notebook = nbformat.read(workbook, as_version=4)
    notebook.metadata["papermill"] = {"duration": 1.0}
    for cell in notebook.cells:
        if cell.cell_type == "code" and "keep_output" not in cell.metadata.get("tags", ()):
            cell.outputs = [nbformat.v4.new_output("stream", text="seen")]
            cell.metadata["execution"] = {"iopub.execute_input": "2026-10-31T03:30:00"}
    nbformat.write(notebook, copy)
    assert copy.read_bytes() != workbook.read_bytes()
