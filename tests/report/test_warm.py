"""Workbooks that run in a copy of a warm process give what papermill's own engine gives."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import nbformat
import papermill
import pytest

from racecalc.overnight import prepare
from racecalc.overnight.work import Make
from racecalc.report import engine
from racecalc.report.engine import ENGINE, is_available
from racecalc.report.finished import Limits
from tests.conftest import ROOT
from tests.daybook.stable import write_book
from tests.overnight.odd_workbook import write_workbook

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not is_available(), reason="this system cannot fork such a process"),
]

WORKBOOKS = sorted((ROOT / "workbooks").glob("*.ipynb"))
LIMITS = {"seconds": 60, "megabytes": 4000}


def run(folder: Path, cells: list[str], **limits: float) -> nbformat.NotebookNode:
    """Run cells of a workbook warm; return it as it ran."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(one) for one in cells])
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    folder.mkdir(exist_ok=True)
    nbformat.write(notebook, folder / "workbook.ipynb")
    return warm(folder / "workbook.ipynb", folder, **limits)


def warm(workbook: Path, folder: Path, **limits: float) -> nbformat.NotebookNode:
    return papermill.execute_notebook(
        str(workbook), str(folder / "ran.ipynb"), engine_name=ENGINE, kernel_name="python3",
        folder=str(folder), progress_bar=False, **{**LIMITS, **limits},
    )  # fmt: skip


def shown(notebook) -> list:
    return [
        (cell.source, cell.execution_count, cell.outputs)
        for cell in notebook.cells
        if cell.cell_type == "code"
    ]


@pytest.mark.parametrize("workbook", WORKBOOKS, ids=lambda path: path.stem)
def test_every_cell_gives_what_it_gives_in_a_kernel(workbook, tmp_path):
    # As a reader opens it: beside the sample's daybook.
    beside = ROOT / "workbooks"
    in_kernel = papermill.execute_notebook(
        str(workbook), str(tmp_path / "kernel.ipynb"), cwd=str(beside), progress_bar=False
    )
    place = tmp_path / "workbooks"
    place.mkdir()
    (tmp_path / "sample_runs").symlink_to(ROOT / "sample_runs")
    assert shown(warm(workbook, place)) == shown(in_kernel)


def test_what_is_printed_shown_and_returned_is_kept_in_its_order(tmp_path):
    cells = [
        "import sys\nfrom IPython.display import display\nprint('a')\nprint('b')\n"
        "print('c', file=sys.stderr)\ndisplay(1)\n2",
        "None",
        "_ + 1",
    ]
    first, second, third = run(tmp_path / "warm", cells).cells
    nbformat.write(
        nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(one) for one in cells]),
        tmp_path / "kernel.ipynb",
    )
    in_kernel = papermill.execute_notebook(
        str(tmp_path / "kernel.ipynb"), None, kernel_name="python3", progress_bar=False
    )
    assert [cell.outputs for cell in (first, second, third)] == [
        cell.outputs for cell in in_kernel.cells
    ]
    assert [one.output_type for one in first.outputs] == [
        "stream", "stream", "display_data", "execute_result",
    ]  # fmt: skip


def test_a_workbook_leaves_nothing_to_the_next(tmp_path):
    run(
        tmp_path / "one",
        ["import os, racecalc\nracecalc.left = os.environ['LEFT'] = 'here'\nx = 1"],
    )
    cell = run(
        tmp_path / "two",
        ["import os, racecalc\n('x' in dir(), hasattr(racecalc, 'left'), 'LEFT' in os.environ)"],
    ).cells[0]
    assert cell.outputs[0].data["text/plain"] == "(False, False, False)"


def test_a_cell_that_raises_is_told_and_ends_the_workbook(tmp_path):
    with pytest.raises(papermill.PapermillExecutionError) as told:
        run(tmp_path, ["1", "raise ValueError('no such pole')", "2"])
    assert (told.value.ename, told.value.evalue) == ("ValueError", "no such pole")
    ran = nbformat.read(tmp_path / "ran.ipynb", as_version=4)
    assert ran.cells[-1].execution_count is None


@pytest.mark.parametrize(
    ("cell", "limits", "why"),
    [
        ("while True: pass", {"seconds": 0.5}, "longer than 0.5 s"),
        ("import time\nwhile True:\n    try: time.sleep(9)\n    except BaseException: pass",
         {"seconds": 0.5}, "longer than 0.5 s"),
        ("held = bytearray(400_000_000)\nheld[::4096] = b'x' * len(held[::4096])\n"
         "import time\ntime.sleep(9)", {"megabytes": 200}, "more than 200 MB"),
        # In a process of its own, and where several processes share it.
        ("import subprocess, sys\nsubprocess.run([sys.executable, '-c', "
         "'held = b\"x\" * 400_000_000; import time; time.sleep(9)'])",
         {"megabytes": 200}, "more than 200 MB"),
        ("import mmap, time\nheld = mmap.mmap(-1, 400_000_000)\n"
         "held.write(b'x' * 400_000_000)\ntime.sleep(9)", {"megabytes": 200}, "more than 200 MB"),
        ("print('\\ud800')", {}, "what it gave cannot be kept: "),
        ("import os\nos._exit(3)", {}, "ended before it was done"),
        ("import os, signal\nos.kill(os.getpid(), signal.SIGKILL)", {}, "ended before"),
    ],
)  # fmt: skip
def test_one_that_hangs_eats_memory_or_dies_is_told_and_the_next_one_runs(
    tmp_path, cell, limits, why
):
    with pytest.raises(RuntimeError, match=why):
        run(tmp_path / "bad", [cell], **limits)
    assert run(tmp_path / "good", ["1 + 1"]).cells[0].outputs[0].data["text/plain"] == "2"


def test_what_a_workbook_has_started_ends_with_it(tmp_path):
    started = tmp_path / "started"
    run(
        tmp_path / "run",
        [
            "import subprocess, sys\n"
            "child = subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(60)'])\n"
            f"open({str(started)!r}, 'w').write(str(child.pid))"
        ],
    )
    assert is_gone(int(started.read_text("ascii")))


@pytest.mark.parametrize(
    ("name", "value"),
    [("is_available", lambda: False), ("_MODULE", "racecalc.no_such_module"), ("_MODULE", "this")],
)
def test_where_no_process_is_warm_a_report_has_a_kernel_of_its_own(
    name, value, tmp_path, monkeypatch
):
    monkeypatch.setattr(engine, name, value)
    # One that was begun for another test is warm.
    monkeypatch.setattr(engine, "_WARM", engine._Warm())
    monkeypatch.setenv("RACECALC_TEST_PLACE", str(tmp_path))
    store = tmp_path / "store"
    store.mkdir()
    prepare._read(write_book(tmp_path / "book"), store)
    workbook = write_workbook(tmp_path / "odd.ipynb")
    asked = {"horse": "brindle", "month": "2026-10"}
    made = Make("brindle", asked, str(workbook), Limits(), store).run()
    assert made.report is not None, made.trace
    assert not made.warm


def is_gone(process: int) -> bool:
    """Return whether a process ends within some seconds."""
    for _ in range(100):
        try:
            state = Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[0]
        except FileNotFoundError:
            return True
        if state == "Z":
            return True
        time.sleep(0.05)
    return False


class TestTheWarmProcess:
    @pytest.fixture
    def begun(self):
        """A warm process that has said nothing yet."""
        command = [sys.executable, "-m", "racecalc.report.zygote"]
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "encoding": "utf-8"}
        with subprocess.Popen(command, **pipes) as process:
            yield process
            process.kill()

    def test_it_ends_when_nobody_asks_any_more(self, begun):
        begun.stdin.close()
        assert begun.wait(30) == 0

    def test_a_workbook_ends_when_nobody_waits_for_it(self, begun, tmp_path):
        cell = "import os, time\nopen('pid', 'w').write(str(os.getpid()))\ntime.sleep(60)"
        ask = {"folder": str(tmp_path), "cells": [cell], "seconds": 60, "megabytes": 4000}
        begun.stdin.write(json.dumps(ask) + "\n")
        begun.stdin.flush()
        pid = tmp_path / "pid"
        end = time.monotonic() + 30
        while not (pid.exists() and pid.read_text("ascii")) and time.monotonic() < end:
            time.sleep(0.05)
        begun.stdin.close()
        begun.wait(30)
        assert is_gone(int(pid.read_text("ascii")))

    def test_after_it_was_killed_there_is_a_new_one(self, tmp_path):
        cell = "import os\nos.getppid()"
        first = run(tmp_path / "one", [cell]).cells[0].outputs[0].data["text/plain"]
        os.kill(int(first), signal.SIGKILL)
        try:
            second = run(tmp_path / "two", [cell])
        except RuntimeError:  # it was asked before it was seen to be dead
            second = run(tmp_path / "two", [cell])
        assert second.cells[0].outputs[0].data["text/plain"] != first
