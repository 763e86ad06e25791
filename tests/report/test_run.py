"""Running a workbook says nothing of its own on the streams of the command."""

import nbformat
import pytest

from racecalc.report import run

pytestmark = pytest.mark.slow

# What a kernel that finds its sockets closed does: it writes past its cells, on the stream itself.
_REMARKS = 'import os\nfor stream in (1, 2):\n    os.write(stream, b"Traceback of a kernel")\n'


def test_a_remark_of_the_kernel_does_not_come_among_our_own_lines(tmp_path, capfd):
    cells = [
        nbformat.v4.new_code_cell("horse = ''", metadata={"tags": ["parameters"]}),
        nbformat.v4.new_code_cell(_REMARKS),
        nbformat.v4.new_code_cell("horse"),
    ]
    notebook = nbformat.v4.new_notebook(
        cells=cells,
        metadata={"kernelspec": {"name": "python3", "language": "python", "display_name": "P"}},
    )
    nbformat.write(notebook, tmp_path / "workbook.ipynb")

    executed = run._execute(tmp_path, {"horse": "gravy-boat"})

    assert executed.cells[-1].outputs[0]["data"]["text/plain"] == "'gravy-boat'"
    assert capfd.readouterr() == ("", "")
