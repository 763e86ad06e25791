"""The run over a barn: one state for each horse, whatever happens to one of them."""

import importlib
import json
import os
import pty
import re
import select
import shutil
import signal
import subprocess
import time
from contextlib import contextmanager

import pytest
from click.testing import CliRunner

import racecalc.overnight
from racecalc import cli, overnight
from racecalc.errors import DaybookError
from racecalc.overnight.lock import locked
from racecalc.report.run import publish
from tests.command import COMMAND, racecalc_here
from tests.daybook.stable import TABLES, write_book
from tests.overnight.stand_in import MONTH, PAGE, Here, Made, report_of, run_here

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


def book(folder, rows=""):
    return write_book(folder / "stable", horses=TABLES["horses"] + rows)


def manifest(out):
    return json.loads((out / MONTH / "manifest.json").read_text("utf-8"))


def states(out):
    return {horse: entry["state"] for horse, entry in manifest(out)["horses"].items()}


def bad_fails(task):
    return Made(None, "the workbook stopped") if task.horse == "bad" else report_of(task)


class TestStates:
    def test_each_horse_has_one_state_and_a_cause(self, tmp_path):
        told = []
        done = run_here(
            book(tmp_path, "bad,Bad,,,,,,\n"),
            tmp_path,
            Here(bad_fails),
            lambda outcome, number, count: told.append((outcome.horse, number, count)),
        )
        assert states(tmp_path) == {"brindle": "made", "007": "no-data", "bad": "failed"}
        assert told == [("brindle", 1, 3), ("007", 2, 3), ("bad", 3, 3)]
        found = manifest(tmp_path)
        assert found["counts"] == {
            "made": 1, "unchanged": 0, "no-data": 1, "failed": 1, "not-reached": 0,
        }  # fmt: skip
        assert found["horses"]["bad"]["cause"] == "the workbook stopped"
        assert all(entry["cause"] for entry in found["horses"].values())
        assert {h: o.state for h, o in done.outcomes.items()} == states(tmp_path)

    def test_a_horse_whose_row_was_refused_has_failed_and_the_cause_names_the_cell(self, tmp_path):
        told = []
        run_here(
            book(tmp_path, "".join(REFUSED.values())), tmp_path, told=lambda *o: told.append(o)
        )
        found = manifest(tmp_path)["horses"]
        assert states(tmp_path) == dict.fromkeys(REFUSED, "failed") | {
            "brindle": "made",
            "007": "no-data",
        }
        for horse, cause in CAUSES.items():
            assert found[horse]["cause"].startswith("its row was refused: horses.csv:")
            assert cause in found[horse]["cause"]
        assert ":foaled: " in found["odd"]["cause"], "both causes"
        # The bar of the command counts reports to be made.
        assert {outcome.horse for outcome, *_ in told} == {"brindle", "007"}
        log = (tmp_path / MONTH / "overnight.log").read_text("utf-8").splitlines()
        assert sum(" twice failed: " in line for line in log) == 1
        index = (tmp_path / MONTH / "index.html").read_text("utf-8")
        assert index.count("report.html") == 2
        assert all(horse in index for horse in found)

    def test_an_id_stays_what_it_is(self, tmp_path):
        odd = ("Infinity", "None", "NA", "nan", "no", "0x1F", "1e5", "true", "000", "-", "_", "con")
        rows = "".join(f"{horse},Odd {number},,,,,,\n" for number, horse in enumerate(odd))
        run_here(book(tmp_path, rows), tmp_path)
        assert states(tmp_path) == dict.fromkeys(("brindle", *odd), "made") | {"007": "no-data"}
        for number, horse in enumerate(odd):
            assert (tmp_path / MONTH / horse / PAGE).is_file()
            assert manifest(tmp_path)["horses"][horse]["name"] == f"Odd {number}"

    @pytest.mark.parametrize("horse", ["owners", "failed", "manifest", "index", "racecalc"])
    def test_a_horse_may_be_called_like_what_else_stands_there(self, tmp_path, horse):
        path = book(tmp_path, f"{horse},Odd One,,,,,,\n")
        run_here(path, tmp_path, Here(lambda task: Made(None, "no")))
        run_here(path, tmp_path)
        assert states(tmp_path)[horse] == "made"
        assert overnight.verify(tmp_path).wrong == ()

    def test_a_warning_about_a_horses_row_stops_nothing(self, tmp_path):
        """A weight that is unlikely is used all the same."""
        heavy = TABLES["measurements"].replace("1,052 lb", "2,000 lb")
        done = run_here(write_book(tmp_path / "stable", measurements=heavy), tmp_path)
        assert {problem.level for problem in done.plan.known.problems} == {"warning"}
        assert states(tmp_path) == {"brindle": "made", "007": "no-data"}

    def test_a_run_that_is_stopped_says_whom_it_did_not_reach(self, tmp_path):
        def stop(*said):
            raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            run_here(book(tmp_path), tmp_path, told=stop)
        assert states(tmp_path) == {"brindle": "made", "007": "not-reached"}

    def test_one_folder_that_cannot_be_written_stops_no_other(self, tmp_path):
        (tmp_path / MONTH).mkdir()
        (tmp_path / MONTH / "brindle").write_text("in the way")
        run_here(book(tmp_path), tmp_path)
        assert states(tmp_path) == {"brindle": "failed", "007": "no-data"}
        cause = manifest(tmp_path)["horses"]["brindle"]["cause"]
        place = tmp_path / MONTH / "brindle"
        assert cause == f"could not be written: {place}: is a file; move it away"

    def test_a_failed_report_leaves_the_one_before_and_a_log(self, tmp_path):
        path = book(tmp_path)
        run_here(path, tmp_path)
        before = (tmp_path / MONTH / "brindle" / PAGE).read_bytes()
        run_here(path, tmp_path, Here(lambda task: Made(None, "no", "line 1")), fresh=True)
        assert states(tmp_path) == {"brindle": "failed", "007": "failed"}
        assert (tmp_path / MONTH / "brindle" / PAGE).read_bytes() == before
        log = tmp_path / MONTH / "failed.logs" / "brindle.log"
        assert log.read_text("utf-8").endswith("brindle: no\n\nline 1")
        run_here(path, tmp_path, fresh=True)
        assert not log.exists()

    def test_a_state_outside_the_five_is_refused(self):
        with pytest.raises(ValueError, match="the states are made, unchanged, no-data"):
            overnight.Outcome("h", "H", "fine", "")


class TestChanges:
    """A report is made where something that it depends on has changed, and nowhere else."""

    def made(self, path, out, **asked):
        doer = Here()
        done = run_here(path, out, doer, **asked)
        return doer.made, {horse: outcome.reason for horse, outcome in done.outcomes.items()}

    def test_nothing_is_made_twice(self, tmp_path):
        path = book(tmp_path)
        assert self.made(path, tmp_path)[0] == ["brindle", "007"]
        assert self.made(path, tmp_path) == ([], {"brindle": "", "007": ""})
        assert set(states(tmp_path).values()) == {"unchanged"}
        assert "nothing was recorded" in manifest(tmp_path)["horses"]["007"]["cause"]

    def test_a_row_of_one_horse_makes_one_report(self, tmp_path):
        path = book(tmp_path)
        self.made(path, tmp_path)
        with (path / "measurements.csv").open("a") as file:
            file.write("2026-10-09,brindle,weight,1040 lb,,scale,,\n")
        made, reasons = self.made(path, tmp_path)
        assert made == ["brindle"]
        assert reasons["brindle"] == "changed: its records, or what the barn shares"

    def test_a_row_that_moves_in_its_file_makes_none(self, tmp_path):
        path = book(tmp_path)
        self.made(path, tmp_path)
        head, *rows = (path / "exercise.csv").read_text().splitlines()
        (path / "exercise.csv").write_text("\n".join([head, *reversed(rows)]) + "\n")
        assert self.made(path, tmp_path)[0] == []

    def test_what_the_barn_shares_makes_all(self, tmp_path):
        path = book(tmp_path)
        self.made(path, tmp_path)
        with (path / "weather.csv").open("a") as file:
            file.write("2026-10-09,main,5 C,,,,,\n")
        assert self.made(path, tmp_path)[0] == ["brindle", "007"]

    @pytest.mark.parametrize("damage", ["change", "remove", "remove the folder"])
    def test_a_report_that_is_not_whole_is_made_again(self, tmp_path, damage):
        path = book(tmp_path)
        self.made(path, tmp_path)
        page = tmp_path / MONTH / "brindle" / PAGE
        whole = page.read_bytes()
        if damage == "change":
            page.write_bytes(whole[:-1])
        elif damage == "remove":
            page.unlink()
        else:
            for file in page.parent.iterdir():
                file.unlink()
            page.parent.rmdir()
        assert len(overnight.verify(tmp_path).wrong) == (4 if "folder" in damage else 1)
        made, reasons = self.made(path, tmp_path)
        assert made == ["brindle"]
        assert reasons["brindle"] == "its files are missing, or were changed by something else"
        assert page.read_bytes() == whole
        assert overnight.verify(tmp_path).wrong == ()

    def test_fresh_makes_all(self, tmp_path):
        path = book(tmp_path)
        self.made(path, tmp_path)
        made, reasons = self.made(path, tmp_path, fresh=True)
        assert (made, reasons["007"]) == (["brindle", "007"], "asked for")

    def test_only_one_horse_leaves_the_others_as_they_were(self, tmp_path):
        path = book(tmp_path)
        assert self.made(path, tmp_path, only=("007",))[0] == ["007"]
        assert states(tmp_path) == {"brindle": "not-reached", "007": "no-data"}
        self.made(path, tmp_path)
        self.made(path, tmp_path, only=("007",), fresh=True)
        assert states(tmp_path) == {"brindle": "made", "007": "no-data"}

    def test_a_horse_that_is_not_there_is_refused(self, tmp_path):
        with pytest.raises(DaybookError, match='no horse has the id "sieve"'):
            self.made(book(tmp_path), tmp_path, only=("sieve",))

    def test_what_failed_is_tried_again(self, tmp_path):
        path = book(tmp_path)
        run_here(path, tmp_path, Here(lambda task: Made(None, "no")))
        assert self.made(path, tmp_path)[0] == ["brindle", "007"]

    def test_each_month_stands_for_itself(self, tmp_path):
        path = book(tmp_path)
        self.made(path, tmp_path)
        assert self.made(path, tmp_path, month="2026-09")[0] == ["brindle", "007"]
        assert self.made(path, tmp_path)[0] == []

    @pytest.mark.parametrize("part", ["workbook", "templates", "racecalc", "libraries", "fonts"])
    def test_what_all_reports_depend_on_makes_all(self, tmp_path, monkeypatch, part):
        path = book(tmp_path)
        self.made(path, tmp_path)
        keys = importlib.import_module("racecalc.overnight.keys")
        shared = keys._of_all_reports
        monkeypatch.setattr(keys, "_of_all_reports", lambda name: {**shared(name), part: "new"})
        made, reasons = self.made(path, tmp_path)
        assert made == ["brindle", "007"]
        assert reasons["007"] == f"changed: {keys._NAMES[part]}"

    def test_a_dry_run_says_what_and_why_and_writes_nothing(self, tmp_path):
        path, out, doer = book(tmp_path), tmp_path / "out", Here()
        plan = overnight.dry_run(path, out, overnight.Asked(MONTH), doer)
        assert {h: plan.outcomes[h].reason for h in plan.keys} == {
            "brindle": "there is no report yet",
            "007": "there is no report yet",
        }
        assert not out.exists()
        assert doer.made == []
        run_here(path, out, only=("007",))
        assert list(overnight.dry_run(path, out, overnight.Asked(MONTH), doer).keys) == ["brindle"]


class TestStatus:
    """The command in this process: what it says, and its exit status."""

    @pytest.fixture(autouse=True)
    def _without_workbooks(self, monkeypatch):
        @contextmanager
        def here(*asked):
            yield Here(bad_fails)

        monkeypatch.setattr(racecalc.overnight, "doer_of", here)

    def run(self, stable, out, *options):
        asked = ["overnight", str(stable), "--month", MONTH, "--out", str(out), *options]
        done = CliRunner().invoke(cli.main, asked)
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
        assert done.stderr.splitlines()[0] == "bad: failed: the workbook stopped"

    @pytest.mark.parametrize("rows", ["", "bad,Bad,,,,,,\n", REFUSED["nameless"]])
    def test_nothing_could_be_written(self, tmp_path, rows):
        """Whatever else went wrong besides."""
        (tmp_path / MONTH).mkdir()
        for horse in ("brindle", "007"):
            (tmp_path / MONTH / horse).write_text("in the way")
        done = self.run(book(tmp_path, rows), tmp_path)
        assert done.exit_code == 4
        assert done.stderr.count("could not be written: ") == 2

    def test_one_report_that_could_not_be_written_is_some(self, tmp_path):
        (tmp_path / MONTH).mkdir()
        (tmp_path / MONTH / "brindle").write_text("in the way")
        assert self.run(book(tmp_path), tmp_path).exit_code == 1

    def test_a_second_night_says_that_nothing_changed(self, tmp_path):
        path = book(tmp_path)
        first, second = self.run(path, tmp_path), self.run(path, tmp_path)
        assert (first.exit_code, second.exit_code) == (0, 0)
        assert first.stdout.startswith("1 made, 1 no-data in ")
        assert second.stdout.startswith("2 unchanged in ")

    def test_a_dry_run_lists_every_horse(self, tmp_path):
        path = book(tmp_path, REFUSED["nameless"])
        done = self.run(path, tmp_path / "out", "--dry-run")
        lines = done.stdout.splitlines()
        assert lines[:2] == [
            "brindle: would be made: there is no report yet",
            "007: would be made: there is no report yet",
        ]
        assert lines[2].startswith("nameless: cannot be made: its row was refused: ")
        assert lines[3] == "2 of 3 would be made"
        assert done.exit_code == 1, "the book has an error"
        assert not (tmp_path / "out").exists()

    def test_another_run_at_work_is_named(self, tmp_path):
        path = book(tmp_path)
        with locked(tmp_path / ".racecalc" / "lock"):
            done = self.run(path, tmp_path)
        assert done.exit_code == 5
        assert f"another run is at work there (process {os.getpid()} on " in done.stderr
        assert self.run(path, tmp_path).exit_code == 0

    def test_verify_reads_all_files_again(self, tmp_path):
        self.run(book(tmp_path), tmp_path / "out")
        done = CliRunner().invoke(cli.main, ["verify", str(tmp_path / "out")])
        assert done.exit_code == 0
        assert re.fullmatch(r"\d+ files read, 0 not as they were put there\n", done.stdout)
        (tmp_path / "out" / MONTH / "brindle" / PAGE).write_text("mine")
        done = CliRunner().invoke(cli.main, ["verify", str(tmp_path / "out")])
        assert done.exit_code == 1
        assert f"{MONTH}/brindle/{PAGE}: is not what the run put there" in done.stderr

    def test_verify_of_a_folder_without_reports_is_refused(self, tmp_path):
        assert CliRunner().invoke(cli.main, ["verify", str(tmp_path)]).exit_code == 3


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
        assert said.index("1/2") < said.index("2/2")
        assert "twice: failed: its row was refused: horses.csv:5:horse: " in said
        assert "2 made, 1 failed in " in said
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


def test_where_folders_cannot_change_places_each_file_is_replaced(tmp_path, monkeypatch):
    """As on a system without `renameat2`; what is not ours stays, what is ours no more goes."""
    disk = importlib.import_module("racecalc.overnight.disk")
    monkeypatch.setattr(disk, "_exchange", lambda one, other: False)
    old, new = tmp_path / "old", tmp_path / "new"
    disk.write_folder(old, {"a.html": b"old", "b.html": b"old"})
    (old / "mine.txt").write_text("mine")
    disk.write_folder(new, {"a.html": b"new"})
    disk.put_folder(new, old, ["a.html", "b.html"])
    assert {path.name: path.read_bytes() for path in old.iterdir()} == {
        "a.html": b"new",
        "mine.txt": b"mine",
    }
    assert not new.exists()


def test_an_owners_table_that_cannot_be_read_empties_no_owners_folder(tmp_path):
    path = book(tmp_path)
    run_here(path, tmp_path)
    before = {p: p.read_bytes() for p in (tmp_path / "owners").rglob("*") if p.is_file()}
    assert before
    (path / "shares.csv").write_bytes(b"\xff\x00\xfe\x00")
    done = run_here(path, tmp_path)
    assert not done.owners.whole
    assert "were left as they were" in done.owners.told[0]
    assert {p: p.read_bytes() for p in (tmp_path / "owners").rglob("*") if p.is_file()} == before


def test_one_owners_folder_that_is_blocked_keeps_none_from_another(tmp_path):
    path = book(tmp_path)
    (tmp_path / "owners" / MONTH).mkdir(parents=True)
    (tmp_path / "owners" / MONTH / "moth").write_text("in the way")
    done = run_here(path, tmp_path)
    assert not done.owners.whole
    assert any("moth: could not be written: " in line for line in done.owners.told)
    assert (tmp_path / "owners" / MONTH / "quill" / "index.html").is_file()
    (tmp_path / "owners" / MONTH / "moth").unlink()
    assert run_here(path, tmp_path).owners.whole
    assert (tmp_path / "owners" / MONTH / "moth" / "index.html").is_file()


def test_drafts_once_asked_for_are_kept_and_a_changed_one_is_left_as_it_is(tmp_path):
    path = book(tmp_path)
    run_here(path, tmp_path, drafts=True)
    drafts = sorted((tmp_path / "owners" / MONTH).rglob("*.eml"))
    assert len(drafts) == 2
    drafts[0].write_text("mine")
    with (path / "measurements.csv").open("a") as file:
        file.write("2026-10-09,brindle,weight,1040 lb,,scale,,\n")
    done = run_here(path, tmp_path)
    assert any("was changed by somebody and is kept" in line for line in done.owners.told)
    assert drafts[0].read_text() == "mine"
    assert drafts[1].is_file()


def test_only_one_horse_says_of_the_others_that_they_are_not_as_they_would_be(tmp_path):
    path = book(tmp_path)
    run_here(path, tmp_path)
    with (path / "weather.csv").open("a") as file:
        file.write("2026-10-09,main,5 C,,,,,\n")
    done = run_here(path, tmp_path, only=("007",))
    assert done.outcomes["brindle"].state == "not-reached"
    assert done.outcomes["brindle"].cause == "not asked for"
    assert done.outcomes["brindle"].reason.startswith("changed: ")
    assert done.outcomes["brindle"].standing is not None


def test_verify_misses_neither_a_lost_month_nor_a_lost_manifest(tmp_path):
    run_here(book(tmp_path), tmp_path / "out")
    manifest_file = tmp_path / "out" / MONTH / "manifest.json"
    manifest_file.write_text("{}")
    assert f"{MONTH}/manifest.json: is missing" in overnight.verify(tmp_path / "out").wrong[0]
    shutil.rmtree(tmp_path / "out" / MONTH)
    assert overnight.verify(tmp_path / "out").wrong
