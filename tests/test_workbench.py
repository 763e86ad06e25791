"""A trainer's own copies of the workbooks, and JupyterLab on them."""

import json
import shutil
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import suppress
from pathlib import Path

import nbformat
import papermill
import psutil
import pytest

from racecalc import daybook
from racecalc.errors import ReportError
from racecalc.report import workbench
from tests.command import COMMAND
from tests.conftest import ROOT
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import TABLES, write_book
from tests.test_cli import fingerprint

WORKBOOK = "monthly_report.ipynb"
WORKBOOKS = tuple(sorted(path.name for path in (ROOT / "workbooks").glob("*.ipynb")))
DEADLINE_S = 90


@pytest.fixture
def stable(tmp_path):
    return write_book(tmp_path / "stable")


def prepared(path):
    return workbench.prepare(daybook.read(path), path)


def parameters(workbook: Path) -> dict[str, str]:
    found = papermill.inspect_notebook(str(workbook))
    return {name: parameter["default"].strip("'\"") for name, parameter in found.items()}


def edit(workbook: Path) -> bytes:
    notebook = nbformat.read(workbook, as_version=4)
    notebook.cells[0].source += "\nMine."
    nbformat.write(notebook, workbook)
    return workbook.read_bytes()


class TestPrepare:
    def test_copies_stand_beside_the_book_and_are_set_to_it(self, stable):
        before = fingerprint(stable)
        folder, kept = prepared(stable)
        assert folder == stable.parent / "stable-workbooks"
        assert kept == ()
        assert {path.name for path in folder.glob("*.ipynb")} == {
            path.name for path in (ROOT / "workbooks").glob("*.ipynb")
        }
        assert parameters(folder / WORKBOOK) == {
            "horse": "brindle",
            "month": "2026-10",
            "daybook": "../stable",
        }
        assert fingerprint(stable) == before
        assert parameters(folder / "work_review.ipynb") == {
            "horse": "007",
            "work": "w2",
            "daybook": "../stable",
        }
        assert parameters(folder / "pole_sheet.ipynb")["track"] == "hill"

    def test_only_the_parameters_differ_from_the_original_and_they_keep_their_comments(
        self, stable
    ):
        copy = nbformat.read(prepared(stable)[0] / WORKBOOK, as_version=4)
        original = nbformat.read(ROOT / "workbooks" / WORKBOOK, as_version=4)
        pairs = list(zip(copy.cells, original.cells, strict=True))
        changed = [(new, old) for new, old in pairs if new != old]
        assert [new.metadata.tags for new, _ in changed] == [["parameters"]]
        for new, old in changed:
            for line, was in zip(new.source.splitlines(), old.source.splitlines(), strict=True):
                assert line.partition("  # ")[2] == was.partition("  # ")[2] != ""

    def test_the_month_is_the_newest_of_any_record(self, stable):
        write_book(stable, works=None, splits=None, measurements=None)
        assert parameters(prepared(stable)[0] / WORKBOOK)["month"] == "2026-10"
        more = TABLES["exercise"] + "2026-12-01,brindle,walk,,20:00,,,\n"
        write_book(stable, exercise=more)
        assert parameters(prepared(stable)[0] / WORKBOOK)["month"] == "2026-12"

    def test_a_spreadsheet_has_its_copies_beside_it_too(self, tmp_path):
        path = write_workbook(tmp_path / "barn.xlsx")
        folder, _ = prepared(path)
        assert folder == tmp_path / "barn-workbooks"
        assert parameters(folder / WORKBOOK)["daybook"] == "../barn.xlsx"

    def test_an_edited_copy_is_never_written_over(self, stable):
        folder, _ = prepared(stable)
        mine = edit(folder / WORKBOOK)
        for _ in range(3):
            assert prepared(stable) == (folder, (WORKBOOK,))
            assert (folder / WORKBOOK).read_bytes() == mine

    def test_a_copy_that_nobody_edited_follows_the_book(self, stable):
        folder, _ = prepared(stable)
        write_book(stable, exercise=TABLES["exercise"] + "2027-01-05,brindle,rest,,,,,\n")
        assert prepared(stable) == (folder, ())
        assert parameters(folder / WORKBOOK)["month"] == "2027-01"

    def test_a_copy_that_nobody_edited_follows_a_new_release(self, stable, tmp_path, monkeypatch):
        folder, _ = prepared(stable)
        newer = shutil.copytree(ROOT / "workbooks", tmp_path / "newer")
        edit(newer / WORKBOOK)
        monkeypatch.setattr(workbench, "workbooks_folder", lambda: newer)
        assert prepared(stable)[1] == ()
        assert "Mine." in (folder / WORKBOOK).read_text("utf-8")

    def test_a_file_of_that_name_that_we_did_not_put_there_is_kept(self, stable):
        folder = stable.parent / "stable-workbooks"
        folder.mkdir()
        (folder / WORKBOOK).write_text("{}")
        assert prepared(stable) == (folder, (WORKBOOK,))
        assert (folder / WORKBOOK).read_text() == "{}"

    @pytest.mark.parametrize("ledger", ["", "[]", "{", "\x00"])
    def test_a_spoilt_ledger_counts_every_copy_as_edited(self, stable, ledger):
        folder, _ = prepared(stable)
        (folder / ".copies.json").write_text(ledger)
        assert prepared(stable) == (folder, WORKBOOKS)

    def test_a_book_without_a_horse_is_refused(self, stable):
        write_book(stable, horses="horse,name\n")
        with pytest.raises(ReportError, match="add one to horses"):
            workbench.prepare(daybook.read(stable), stable)

    @pytest.mark.slow
    def test_the_copy_runs_to_its_last_cell_from_its_own_folder(self, stable):
        folder, _ = prepared(stable)
        before = fingerprint(stable)
        done = papermill.execute_notebook(
            str(folder / WORKBOOK), None, cwd=str(folder), progress_bar=False
        )
        last = done.cells[-1]
        assert last.source == "tables.numbers(month_digest)"
        block = next(iter(last.outputs)).data["application/vnd.racecalc.block+json"]
        assert (block["horse"], block["month"]) == ("brindle", "2026-10")
        assert fingerprint(stable) == before


def test_the_command_keeps_to_this_machine_and_leaves_the_token_alone():
    command = workbench.lab_command(Path("copies"), browser=True)
    assert command[:3] == [sys.executable, "-m", "jupyterlab"]
    assert "--ServerApp.ip=127.0.0.1" in command
    assert "--ServerApp.root_dir=copies" in command
    assert not [word for word in command if "token" in word or "password" in word]
    assert workbench.lab_command(Path("copies"), browser=False) == [*command, "--no-browser"]


class Lab:
    """A running ``racecalc lab``, found through the file in which the server says where it is."""

    def __init__(self, process: subprocess.Popen, home: Path) -> None:
        self.process = process
        self._runtime = home / "runtime"
        ends = time.monotonic() + DEADLINE_S
        while not self.answers():
            # Waits a little, and notices at once when the server gives up.
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=0.2)
            assert process.poll() is None, (home / "said").read_text("utf-8")
            assert time.monotonic() < ends, (home / "said").read_text("utf-8")

    def answers(self) -> bool:
        for file in self._runtime.glob("jpserver-*.json"):
            with suppress(OSError, ValueError):
                self.about = json.loads(file.read_text("utf-8"))
                return self.asks("api/status", self.about["token"])[0] == 200
        return False

    def asks(self, path, token=None, body=None):
        headers = {"Authorization": f"token {token}"} if token else {}
        request = urllib.request.Request(self.about["url"] + path, body, headers)
        try:
            with urllib.request.urlopen(request, timeout=30) as answer:
                return answer.status, json.loads(answer.read())
        except urllib.error.HTTPError as refusal:
            with refusal:
                return refusal.code, None


@pytest.fixture
def lab(stable, tmp_path):
    """``racecalc lab``, started under a user's settings that would open it to the network."""
    home = tmp_path / "home"
    (home / ".jupyter").mkdir(parents=True)
    settings = {"ServerApp": {"ip": "0.0.0.0", "allow_root": True}}
    (home / ".jupyter" / "jupyter_server_config.json").write_text(json.dumps(settings))
    environment = {
        "HOME": str(home),
        "PATH": str(COMMAND.parent),
        "JUPYTER_RUNTIME_DIR": str(home / "runtime"),
    }
    with (home / "said").open("w") as said:
        process = subprocess.Popen(
            [COMMAND, "lab", stable, "--no-browser"],
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=said,
        )
    try:
        yield Lab(process, home)
    finally:
        process.kill()
        process.wait()


@pytest.mark.slow
def test_the_lab_listens_here_only_asks_for_its_token_and_ends_whole(lab):
    family = [psutil.Process(lab.process.pid)]
    family += family[0].children(recursive=True)
    open_to = [
        connection.laddr
        for member in family
        for connection in member.net_connections("inet")
        if connection.status == psutil.CONN_LISTEN
    ]
    assert lab.about["port"] in {address.port for address in open_to}
    assert {address.ip for address in open_to} == {"127.0.0.1"}

    token = lab.about["token"]
    assert len(token) >= 32
    for path in ("api/contents", f"api/contents/{WORKBOOK}", "api/kernels"):
        assert lab.asks(path)[0] == 403
        assert lab.asks(path, "0" * len(token))[0] == 403
    status, listed = lab.asks("api/contents", token)
    assert status == 200
    assert {entry["name"] for entry in listed["content"]} == set(WORKBOOKS)

    # A kernel is a child that has to go too.
    assert lab.asks("api/kernels", token, b"{}")[0] == 201
    family = family[:1] + family[0].children(recursive=True)
    assert len(family) > 1
    lab.process.send_signal(signal.SIGTERM)
    assert lab.process.wait(timeout=DEADLINE_S) == 0
    _, alive = psutil.wait_procs(family, timeout=DEADLINE_S)
    assert alive == []
