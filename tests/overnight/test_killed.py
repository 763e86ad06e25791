"""Real runs, in processes of their own, that are ended from outside."""

import json
import os
import signal
import subprocess
import sys
import time
import uuid

import pytest

from racecalc import overnight
from tests.command import racecalc_here
from tests.daybook.stable import TABLES, write_book
from tests.overnight.odd_workbook import MARK, left_of, processes_of, write_workbook
from tests.overnight.scene import published

pytestmark = [pytest.mark.slow, pytest.mark.skipif("sys.platform != 'linux'")]

MONTH = "2026-10"
LONG_S = 120


class Night:
    """A stable of which one horse's workbook holds until it may go on."""

    def __init__(self, folder):
        rows = "".join(f"{horse},{horse.title()},,,,,,\n" for horse in ("holds", "last"))
        self.book = write_book(folder / "book", horses=TABLES["horses"] + rows)
        self.out, self.place = folder / "reports", folder / "place"
        self.workbook = write_workbook(folder / "odd.ipynb")
        self.scratch = folder / "scratch"
        self.place.mkdir()
        self.scratch.mkdir()
        self.mark = uuid.uuid4().hex

    def start(self):
        environment = {
            **os.environ, MARK: self.mark, "RACECALC_TEST_PLACE": str(self.place),
            "TMPDIR": str(self.scratch),
        }  # fmt: skip
        command = [
            *[sys.executable, "-m", "tests.overnight.odd_workbook", str(self.workbook)],
            *["overnight", str(self.book), "--month", MONTH, "--out", str(self.out), "--jobs", "1"],
        ]
        pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
        return subprocess.Popen(command, env=environment, **pipes)

    def until_it_holds(self, run):
        self.until(run, (self.place / "holds.pid").exists)

    def until(self, run, holds):
        end = time.monotonic() + LONG_S
        while not holds():
            assert run.poll() is None, run.communicate()
            assert time.monotonic() < end
            time.sleep(0.05)

    def outcomes(self):
        return overnight.Records(self.out, MONTH).outcomes()

    def go_on(self):
        """Let the workbooks go on, and run to the end; return the horses that were made then."""
        (self.place / "go").touch()
        with self.start() as run:
            said = run.communicate(timeout=LONG_S)
        assert run.returncode == 0, said
        assert left_of(self.mark) == []
        assert overnight.verify(self.out).wrong == ()
        return {horse for horse, one in self.outcomes().items() if one.state == "made"}


@pytest.fixture
def night(tmp_path):
    night = Night(tmp_path)
    yield night
    for process in processes_of(night.mark):
        process.kill()


@pytest.mark.parametrize(("number", "status"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
def test_a_run_that_is_told_to_end_says_whom_it_did_not_reach_and_leaves_no_process(
    night, number, status
):
    with night.start() as run:
        night.until_it_holds(run)
        run.send_signal(number)
        _, said = run.communicate(timeout=30)
    assert run.returncode == status
    assert said == "stopped\n"
    assert left_of(night.mark) == []
    assert list(night.scratch.iterdir()) == []
    manifest = json.loads((night.out / MONTH / "manifest.json").read_text("utf-8"))
    states = {horse: one["state"] for horse, one in manifest["horses"].items()}
    assert states == {
        "brindle": "made", "007": "made", "holds": "not-reached", "last": "not-reached",
    }  # fmt: skip
    assert list(night.out.rglob("*.part")) == []
    assert {horse for horse, one in night.outcomes().items() if one.standing} == {"brindle", "007"}


def test_a_run_that_is_killed_leaves_no_process_and_no_lock_and_the_next_makes_the_rest(night):
    with night.start() as run:
        night.until_it_holds(run)
        kinds = [" ".join(process.cmdline()[1:3]) for process in processes_of(night.mark)]
        # The mother, a worker, its warm process and the workbook that holds.
        assert kinds.count("-m racecalc.overnight.mother") == 4
        second = racecalc_here("overnight", night.book, "--month", MONTH, "--out", night.out)
        assert second.returncode == 5
        assert f"(process {run.pid} on " in second.stderr
        run.kill()
    assert left_of(night.mark) == []
    made = {horse for horse, one in night.outcomes().items() if one.state == "made"}
    assert made == {"brindle", "007"}
    as_they_were = published(night.out)
    assert night.go_on() == {"holds", "last"}
    assert as_they_were.items() <= published(night.out).items()


def test_a_run_that_is_killed_while_the_book_is_read_leaves_nobody_reading(night):
    """A reader that went on would write among what the next run reads."""
    with night.start() as run:

        def readers():
            return [one for one in processes_of(night.mark) if one.pid != run.pid]

        night.until(run, readers)
        stopped = readers()
        for one in stopped:
            one.suspend()
        run.kill()
    assert {one.pid for one in stopped} <= {one.pid for one in processes_of(night.mark)}
    for one in stopped:
        one.resume()
    assert left_of(night.mark) == []
    assert not (night.out / MONTH).exists()
