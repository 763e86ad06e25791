"""A workbook that does what the id of its horse says, for real runs in real processes.

``python -m tests.overnight.odd_workbook WORKBOOK COMMAND...`` is ``racecalc COMMAND...`` with that
workbook in the place of the monthly report.
"""

import signal
import sys
import time
from importlib import import_module
from pathlib import Path
from unittest import mock

import nbformat
import psutil

from racecalc.cli import main

__all__ = ["MARK", "as_monthly_report", "left_of", "processes_of", "write_workbook"]

# Every process of a run bears it in its environment.
MARK = "RACECALC_TEST_RUN"

_HEAD = """
from racecalc.page import Masthead
Masthead(name=horse, when="October 2026", day="2026-10-31", subtitle="A test", audience="nobody",
         barn="A barn", trainer="", language="en", paper="a4", description="A test")
"""
_MIDDLE = """
import os, signal, subprocess, sys, time
from pathlib import Path
place = Path(os.environ["RACECALC_TEST_PLACE"])
told = place / f"{horse}.pid"

def note(process):
    told.with_suffix(".part").write_text(str(process))
    told.with_suffix(".part").replace(told)

def beget(**options):
    child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(120)"], **options)
    note(child.pid)

def parent_of(process):
    return int(Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[1])

def hold():
    note(os.getpid())
    while not (place / "go").exists():
        time.sleep(0.05)

def kill_worker():
    os.kill(parent_of(os.getppid()), signal.SIGKILL)
    time.sleep(60)

def kill_warm():
    note(os.getpid())
    os.kill(os.getppid(), signal.SIGKILL)
    time.sleep(60)

def kill_worker_once():
    if not told.exists():
        note(os.getpid())
        kill_worker()

def swallow():
    ip = get_ipython()
    ip.set_custom_exc((Exception,), lambda *told, **more: None)
    raise ValueError("swallowed")

def fork_away():
    if os.fork() == 0:
        os.setsid()
        note(os.getpid())
        time.sleep(120)
        os._exit(0)
    while not told.exists():
        time.sleep(0.01)

def eat():
    held = bytearray(900_000_000)
    held[::4096] = b"x" * len(held[::4096])
    time.sleep(60)

does = {
    "raises": lambda: 1 / 0,
    "hangs": lambda: (note(os.getpid()), time.sleep(120)),
    "swallows": swallow,
    "eats": eat,
    "begets": beget,
    "begets-away": lambda: beget(start_new_session=True),
    "forks-away": fork_away,
    "floods": lambda: print("x" * 8_000_000),
    "is-killed": lambda: os.kill(os.getpid(), signal.SIGKILL),
    "kills-warm": kill_warm,
    "kills-worker": kill_worker,
    "kills-worker-once": kill_worker_once,
    "holds": hold,
}
does.get(horse.rstrip("0123456789").rstrip("-"), lambda: None)()
"""
_LAST = """
from racecalc.page import Numbers
Numbers((), {"horse": horse, "day": "2026-10-31", "recorded": True})
"""


def write_workbook(path: Path) -> Path:
    """Write it."""
    cell = nbformat.v4.new_code_cell
    given = "daybook = ''\nhorse = ''\nmonth = ''\n"
    cells = [cell(given, metadata={"tags": ["parameters"]}), *map(cell, (_HEAD, _MIDDLE, _LAST))]
    kernel = {"name": "python3", "language": "python", "display_name": "Python 3"}
    notebook = nbformat.v4.new_notebook(cells=cells, metadata={"kernelspec": kernel})
    nbformat.write(notebook, path)
    return path


def as_monthly_report(workbook: Path) -> None:
    """Let a run take it for the monthly report; its tasks name it to the workers."""
    for room in ("plan", "run"):
        mock.patch.object(
            import_module(f"racecalc.overnight.{room}"), "MONTHLY", str(workbook)
        ).start()


def processes_of(mark: str) -> list[psutil.Process]:
    """Return the processes of a run, those that workbooks have begun included."""
    found = []
    for process in psutil.process_iter():
        try:
            ours = process.environ().get(MARK) == mark
            if ours and process.status() != psutil.STATUS_ZOMBIE:
                found.append(process)
        except psutil.Error:
            continue
    return found


def left_of(mark: str, seconds: float = 10) -> list[str]:
    """Return the commands of a run's processes that are there after some seconds."""
    end = time.monotonic() + seconds
    while processes_of(mark) and time.monotonic() < end:
        time.sleep(0.1)
    return [" ".join(process.cmdline()) for process in processes_of(mark)]


if __name__ == "__main__":
    # A shell that begins its tests in the background has them ignore Ctrl-C.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    as_monthly_report(Path(sys.argv.pop(1)))
    main()
