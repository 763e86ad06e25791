"""The run over a barn: one state for each horse, whatever happens to one of them."""

import importlib
import json
import os
import pty
import select
import signal
import subprocess
import time

import pytest
from click.testing import CliRunner

from racecalc import cli, daybook, overnight
from racecalc.errors import ReportError
from racecalc.report.run import Report, publish
from tests.command import COMMAND, racecalc_here
from tests.daybook.stable import TABLES, write_book

MONTH = "2026-10"
# The package offers the function under the name of its module.
RUN = importlib.import_module("racecalc.overnight.run")
REFUSED = {
    "twice": "twice,One,,,,,,\ntwice,Two,,,,,,\n",
    "nameless": "nameless,,,,,,,\n",
    "undated": "undated,Un Dated,2026-13-40,,,,,\n",
    "odd": "odd,Odd,1800-01-01,stallion,,,,\n",
}
CAUSES = {
    "twice": "stands in row",
    "nameless": ":name: is blank",
    "undated": ':foaled: "2026-13-40"',
    "odd": ':sex: "stallion"',
}
DEADLINE_S = 120


@pytest.fixture
def without_workbooks(monkeypatch):
    """Let reports be made of nothing, to look at the run alone; the horse `bad` fails."""

    def make(record, month, *, warm):
        if record.horse == "bad":
            raise ReportError("the workbook stopped")
        return Report({"report.html": b"page"}, recorded=record.horse != "007")

    monkeypatch.setattr(RUN, "make", make)


def read(folder, rows=""):
    return daybook.read(write_book(folder / "stable", horses=TABLES["horses"] + rows))


def manifest(out):
    return json.loads((out / MONTH / "manifest.json").read_text("utf-8"))


def states(out):
    return {horse: entry["state"] for horse, entry in manifest(out)["horses"].items()}


@pytest.mark.usefixtures("without_workbooks")
class TestStates:
    def test_each_horse_has_one_state_and_a_cause(self, tmp_path):
        told = []
        outcomes = overnight.run(read(tmp_path, "bad,Bad,,,,,,\n"), MONTH, tmp_path, told.append)
        assert states(tmp_path) == {"brindle": "made", "007": "no-data", "bad": "failed"}
        assert tuple(told) == outcomes
        found = manifest(tmp_path)
        assert found["counts"] == {
            "made": 1, "unchanged": 0, "no-data": 1, "failed": 1, "not-reached": 0,
        }  # fmt: skip
        assert found["horses"]["bad"]["cause"] == "the workbook stopped"
        assert all(entry["cause"] for entry in found["horses"].values())

    def test_a_horse_whose_row_was_refused_has_failed_and_the_cause_names_the_cell(self, tmp_path):
        book = read(tmp_path, "".join(REFUSED.values()))
        told = []
        overnight.run(book, MONTH, tmp_path, told.append)
        found = manifest(tmp_path)["horses"]
        assert states(tmp_path) == dict.fromkeys(REFUSED, "failed") | {
            "brindle": "made",
            "007": "no-data",
        }
        for horse, cause in CAUSES.items():
            assert found[horse]["cause"].startswith("its row was refused: horses.csv:")
            assert cause in found[horse]["cause"]
        assert ":foaled: " in found["odd"]["cause"], "both causes"
        # The bar of the command counts horses of the book.
        assert {outcome.horse for outcome in told} == {"brindle", "007"}
        log = (tmp_path / MONTH / "overnight.log").read_text("utf-8").splitlines()
        assert len(log) == len(found)
        assert sum(" twice failed: " in line for line in log) == 1
        index = (tmp_path / MONTH / "index.html").read_text("utf-8")
        assert index.count("report.html") == 2
        assert all(horse in index for horse in found)

    def test_an_id_stays_what_it_is(self, tmp_path):
        odd = ("Infinity", "None", "NA", "nan", "no", "0x1F", "1e5", "true", "000", "-", "_", "con")
        rows = "".join(f"{horse},Odd {number},,,,,,\n" for number, horse in enumerate(odd))
        overnight.run(read(tmp_path, rows), MONTH, tmp_path, lambda outcome: None)
        assert states(tmp_path) == dict.fromkeys(("brindle", *odd), "made") | {"007": "no-data"}
        for number, horse in enumerate(odd):
            assert (tmp_path / MONTH / horse / "report.html").is_file()
            assert manifest(tmp_path)["horses"][horse]["name"] == f"Odd {number}"

    def test_a_warning_about_a_horses_row_stops_nothing(self, tmp_path):
        """A weight that is unlikely is used all the same."""
        book = daybook.read(
            write_book(
                tmp_path / "stable",
                measurements=TABLES["measurements"].replace("1,052 lb", "2,000 lb"),
            )
        )
        assert {problem.level for problem in book.problems} == {"warning"}
        overnight.run(book, MONTH, tmp_path, lambda outcome: None)
        assert states(tmp_path) == {"brindle": "made", "007": "no-data"}

    def test_a_run_that_is_stopped_says_whom_it_did_not_reach(self, tmp_path):
        def stop(outcome):
            raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            overnight.run(read(tmp_path), MONTH, tmp_path, stop)
        assert states(tmp_path) == {"brindle": "made", "007": "not-reached"}

    def test_one_folder_that_cannot_be_written_stops_no_other(self, tmp_path):
        (tmp_path / MONTH).mkdir()
        (tmp_path / MONTH / "brindle").write_text("in the way")
        overnight.run(read(tmp_path), MONTH, tmp_path, lambda outcome: None)
        assert states(tmp_path) == {"brindle": "failed", "007": "no-data"}
        cause = manifest(tmp_path)["horses"]["brindle"]["cause"]
        assert cause.startswith("could not be written: ")

    def test_a_failed_report_leaves_the_one_before(self, tmp_path, monkeypatch):
        book = read(tmp_path)
        overnight.run_one(book, "brindle", MONTH, tmp_path)

        def fail(record, month, *, warm):
            raise ReportError("no")

        monkeypatch.setattr(RUN, "make", fail)
        assert overnight.run_one(book, "brindle", MONTH, tmp_path).state == "failed"
        assert (tmp_path / MONTH / "brindle" / "report.html").read_bytes() == b"page"


def test_a_state_outside_the_five_is_refused():
    with pytest.raises(ValueError, match="the states are made, unchanged, no-data"):
        overnight.Outcome("h", "H", "fine", "")


@pytest.mark.usefixtures("without_workbooks")
class TestStatus:
    """The exit status of the command, in this process."""

    def run(self, stable, out):
        done = CliRunner().invoke(
            cli.main, ["overnight", str(stable), "--month", MONTH, "--out", str(out)]
        )
        assert done.exception is None or isinstance(done.exception, SystemExit)
        return done

    def test_some_failed(self, tmp_path):
        stable = write_book(
            tmp_path / "stable",
            horses=TABLES["horses"] + "bad,Bad,,,,,,\n",
            works=None,
            splits=None,
        )
        done = self.run(stable, tmp_path)
        assert done.exit_code == 1
        assert done.stderr == "bad: failed: the workbook stopped\n"

    @pytest.mark.parametrize("rows", ["", "bad,Bad,,,,,,\n", REFUSED["nameless"]])
    def test_nothing_could_be_written(self, tmp_path, rows):
        """Whatever else went wrong besides."""
        (tmp_path / MONTH).mkdir()
        for horse in ("brindle", "007"):
            (tmp_path / MONTH / horse).write_text("in the way")
        done = self.run(write_book(tmp_path / "stable", horses=TABLES["horses"] + rows), tmp_path)
        assert done.exit_code == 4
        assert done.stderr.count("could not be written: ") == 2

    def test_one_report_that_could_not_be_written_is_some(self, tmp_path):
        (tmp_path / MONTH).mkdir()
        (tmp_path / MONTH / "brindle").write_text("in the way")
        assert self.run(write_book(tmp_path / "stable"), tmp_path).exit_code == 1


@pytest.fixture(scope="module")
def stable(tmp_path_factory):
    return write_book(tmp_path_factory.mktemp("barn") / "stable")


@pytest.mark.slow
class TestCommand:
    # What it says off a terminal, and to whom, is in tests/test_cli.py.
    def test_on_a_terminal_a_bar_grows_and_a_refused_row_stops_no_other_horse(self, tmp_path):
        book = write_book(tmp_path / "stable", horses=TABLES["horses"] + REFUSED["twice"])
        said, status = on_a_terminal(book, tmp_path)
        assert status == 1
        assert said.index("0%") < said.index("50%") < said.index("100%")
        assert "twice: failed: its row was refused: horses.csv:5:horse: " in said
        assert "1 failed, 2 made; see " in said
        assert states(tmp_path) == {"twice": "failed", "brindle": "made", "007": "made"}
        assert manifest(tmp_path)["book_errors"] == 1

    @pytest.mark.parametrize("place", ["out", "out/deeper"])
    def test_a_folder_that_cannot_be_made(self, stable, tmp_path, place):
        (tmp_path / "out").write_text("in the way")
        done = racecalc_here("overnight", stable, "--month", MONTH, "--out", tmp_path / place)
        # click itself refuses a file given as the folder.
        assert done.returncode == (2 if place == "out" else 4)

    def test_a_month_that_is_a_file_cannot_be_a_folder(self, stable, tmp_path):
        (tmp_path / MONTH).write_text("in the way")
        done = racecalc_here("overnight", stable, "--month", MONTH, "--out", tmp_path)
        assert (done.returncode, len(done.stderr.splitlines())) == (4, 1)


def on_a_terminal(stable, out) -> tuple[str, int]:
    """Run the command with a pseudo-terminal as its screen; return what it showed."""
    ours, theirs = pty.openpty()
    command = [COMMAND, "overnight", stable, "--month", MONTH, "--out", out]
    process = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs)
    os.close(theirs)
    shown = b""
    try:
        ends = time.monotonic() + DEADLINE_S
        while time.monotonic() < ends:
            if not select.select([ours], [], [], 1)[0]:
                continue
            try:
                piece = os.read(ours, 4096)
            except OSError:  # Linux says so when the other side has closed
                break
            if not piece:
                break
            shown += piece
        return shown.decode(), process.wait(timeout=10)
    finally:
        process.kill()
        process.wait()
        os.close(ours)


@pytest.mark.slow
def test_a_run_that_is_ended_says_what_it_did_not_reach(sample_book, tmp_path):
    """As systemd ends it: the manifest is whole, nothing is left waiting, no traceback."""
    run = subprocess.Popen(
        [str(COMMAND), "overnight", str(sample_book), "--month", "2026-10", "--out", str(tmp_path)],
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    folder = tmp_path / "2026-10"
    deadline = time.monotonic() + 60
    while not (folder / "larder-drizzle" / "report.json").exists():
        assert run.poll() is None
        assert time.monotonic() < deadline
        time.sleep(0.05)
    run.send_signal(signal.SIGTERM)
    _, said = run.communicate(timeout=60)
    assert run.returncode == 143
    assert "Traceback" not in said
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    assert manifest["counts"]["made"] >= 1
    assert manifest["counts"]["not-reached"] >= 1
    assert sum(manifest["counts"].values()) == 10
    assert [path for path in folder.rglob(".*") if path.is_file()] == []


def test_a_fault_in_one_report_is_one_horses_failure(tmp_path, monkeypatch):
    def faulty(record, month, *, warm):
        if record.horse == "brindle":
            raise ValueError("out of order")
        return Report({"report.html": b"page"}, recorded=True)

    monkeypatch.setattr(RUN, "make", faulty)
    book = daybook.read(write_book(tmp_path / "book"))
    outcomes = overnight.run(book, "2026-10", tmp_path / "out", lambda outcome: None)
    states = {outcome.horse: outcome.state for outcome in outcomes}
    assert states == {"brindle": "failed", "007": "made"}
    assert "ValueError: out of order" in outcomes[0].cause


def test_files_are_published_all_or_none(tmp_path):
    (tmp_path / "report.pdf").mkdir()
    (tmp_path / "report.html").write_text("old")
    left = tmp_path / ".report.html.999999"
    left.write_text("of a run that was killed")
    files = {"report.html": b"new", "report.pdf": b"new"}
    with pytest.raises(IsADirectoryError):
        publish(files, tmp_path)
    assert (tmp_path / "report.html").read_text() == "old"
    (tmp_path / "report.pdf").rmdir()
    publish(files, tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == set(files)
