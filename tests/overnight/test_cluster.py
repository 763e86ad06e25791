"""Reports made on a Dask cluster: the same bytes, and what is lost costs no more than it must."""

import json
import logging
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from racecalc.errors import ClusterError
from racecalc.overnight import cluster as module
from racecalc.overnight import machines
from racecalc.overnight.cluster import LOCAL, Cluster
from racecalc.overnight.pool import Lost, Pool
from racecalc.overnight.prepare import prepare
from racecalc.overnight.remote import identity, unlike
from racecalc.overnight.work import Hash, Make
from racecalc.report.run import MONTHLY, Limits
from tests.command import racecalc_here
from tests.conftest import ROOT
from tests.overnight.stand_in import Here, run_here
from tests.overnight.tasks import Broken, Crashing, Hanging, Noted, Slow, task

HORSES = ("larder-drizzle", "spokeshave-sleet", "colander-fog")
NOBODY = "tcp://127.0.0.1:9"


@contextmanager
def dask(what: str, *options: str, cwd: Path = ROOT) -> Iterator[subprocess.Popen]:
    """Run ``dask scheduler`` or ``dask worker`` on loopback."""
    command = [sys.executable, "-m", "dask", what, "--host", "127.0.0.1", "--no-dashboard"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    with subprocess.Popen([*command, *options], cwd=cwd, **quiet) as process:
        try:
            yield process
        finally:
            process.terminate()
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()


def worker(address: str, folder: Path, *options: str, cwd: Path = ROOT):
    return dask("worker", address, "--local-directory", str(folder), *options, cwd=cwd)


@contextmanager
def scheduler(folder: Path) -> Iterator[tuple[subprocess.Popen, str]]:
    """Run a scheduler on a free port; give it with its address."""
    told = folder / "scheduler.json"
    with dask("scheduler", "--port", "0", "--scheduler-file", str(told)) as process:
        until(told.exists)
        until(lambda: told.read_text().endswith("}"))
        yield process, json.loads(told.read_text())["address"]


def until(true, seconds: float = 60.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.05)


def workers_of(address: str) -> int:
    from distributed import Client

    with module._quiet(), Client(address, set_as_default=False) as client:
        return len(client.nthreads())


@pytest.fixture(scope="module")
def address(tmp_path_factory) -> Iterator[str]:
    """A cluster with one worker, as its command starts it: under a nanny, with two threads."""
    folder = tmp_path_factory.mktemp("dask")
    with scheduler(folder) as (_, address), worker(address, folder, "--nthreads", "2"):
        until(lambda: workers_of(address) == 1)
        yield address


@pytest.fixture
def impatient(monkeypatch) -> None:
    for one in (module, machines):
        monkeypatch.setattr(one, "PATIENCE_S", 1)


@pytest.mark.slow
def test_reports_of_a_cluster_are_those_of_this_machine_byte_for_byte(
    address, sample_book, tmp_path, monkeypatch
):
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    store = tmp_path / "book"
    prepare(sample_book, store)
    asked = {"month": "2026-10"}
    tasks = [Make(h, {"horse": h, **asked}, MONTHLY, Limits(), store) for h in HORSES]
    with Pool(1, 120) as pool:
        expected = {task.horse: made.report for task, made in pool.each(tasks)}
    with Cluster(address, 1, 120) as cluster:
        found = {task.horse: made.report for task, made in cluster.each(iter(tasks))}
    assert found == expected
    assert found.keys() == set(HORSES)
    assert list(here.iterdir()) == []


@pytest.mark.slow
def test_what_goes_wrong_with_one_task_is_nothing_to_the_others(address, tmp_path):
    lost_slice = Make("unreadable", {}, MONTHLY, Limits(), tmp_path / "no-book")
    tasks = [task(Crashing, "crashes"), task(Broken, "broken"), lost_slice, task(Slow, "well")]
    with Cluster(address, 1, 60) as cluster:
        answers = {task.horse: answer for task, answer in cluster.each(tasks)}
    assert answers["well"].report.files["report.html"] == b"well"
    assert isinstance(answers["crashes"], Lost)
    assert "no way back" in answers["broken"].cause
    assert answers["unreadable"].report is None
    assert "Traceback" in answers["unreadable"].trace


@pytest.mark.slow
def test_what_never_answers_is_given_up(address):
    with Cluster(address, 1, 0.5) as cluster:
        [(_, answer)] = cluster.each([task(Hanging, "hangs")])
    assert isinstance(answer, Lost)


@pytest.mark.slow
def test_few_tasks_are_out_at_a_time_and_none_goes_on_when_nobody_asks_any_more(address, tmp_path):
    drawn = []

    def tasks() -> Iterator[Make]:
        for number in range(50):
            drawn.append(number)
            yield task(Noted, f"{number}", {"folder": str(tmp_path)})

    with Cluster(address, 1, 60) as cluster:
        answers = cluster.each(tasks())
        next(answers)
        assert len(drawn) == 4  # two threads
        answers.close()
        client = cluster._workers.client
        until(lambda: not any(client.processing().values()))
    assert len(list(tmp_path.iterdir())) <= 4


@pytest.mark.slow
def test_a_worker_that_is_lost_costs_its_horses_a_retry(address, tmp_path):
    tasks = [task(Slow, f"{number}") for number in range(12)]
    with worker(address, tmp_path, "--no-nanny", "--nthreads", "1") as second:
        until(lambda: workers_of(address) == 2)
        makers, killed = [], False
        with Cluster(address, 1, 60) as cluster:
            for _, answer in cluster.each(tasks):
                makers.append(int(answer.report.files["maker"]))
                if second.pid in makers and not killed:
                    second.kill()
                    killed = True
        assert killed
        assert len(makers) == 12
    until(lambda: workers_of(address) == 1)


@pytest.mark.slow
def test_a_worker_with_another_racecalc_gets_no_work(address, tmp_path):
    other = tmp_path / "other"
    for part in ("racecalc", "workbooks", "templates"):
        shutil.copytree(ROOT / part, other / part, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", other)
    with (other / "racecalc" / "pooling.py").open("a") as file:
        file.write("# another version\n")
    with Cluster(address, 1, 60) as cluster, worker(address, tmp_path, "--no-nanny", cwd=other):
        until(lambda: workers_of(address) == 2)
        answers = [answer for _, answer in cluster.each(task(Slow, f"{n}") for n in range(6))]
        assert [answer.cause for answer in answers] == [""] * 6
        with pytest.raises(ClusterError, match=r"worker tcp://.*: racecalc itself\. Give both"):
            Cluster(address, 1, 60).__enter__()
    until(lambda: workers_of(address) == 1)


@pytest.mark.slow
def test_a_lost_scheduler_ends_the_run_and_says_so(tmp_path, impatient, capfd):
    with scheduler(tmp_path) as (process, address):
        with pytest.raises(ClusterError, match="has no worker"):
            Cluster(address, 1, 60).__enter__()
        with worker(address, tmp_path, "--no-nanny", "--nthreads", "1"):
            until(lambda: workers_of(address) == 1)
            with Cluster(address, 1, 60) as cluster:
                answers = cluster.each(task(Slow, f"{number}") for number in range(20))
                assert next(answers)[1].report is not None
                process.kill()
                with pytest.raises(
                    ClusterError, match=r"scheduler was lost; what was done is kept"
                ):
                    list(answers)
    assert capfd.readouterr() == ("", "")


@pytest.mark.slow
def test_a_cluster_of_this_machine_alone(tmp_path, monkeypatch, capfd):
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.chdir(tmp_path)
    with Cluster(LOCAL, 1, 60) as cluster:
        answers = [answer for _, answer in cluster.each([task(Slow, "one"), task(Slow, "two")])]
    assert {answer.report.files["report.html"] for answer in answers} == {b"one", b"two"}
    assert list(tmp_path.iterdir()) == []
    assert capfd.readouterr() == ("", "")


def test_where_nobody_answers_the_command_says_so_in_one_line(sample_book, tmp_path, impatient):
    asked = ("overnight", sample_book, "--month", "2026-10", "--out", tmp_path / "out")
    done = racecalc_here(*asked, "--dask", NOBODY)
    assert done.returncode == 4
    assert done.stderr.startswith(f"{NOBODY}: no Dask scheduler answers there; ")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()
    assert logging.getLogger("distributed").level < logging.CRITICAL


@pytest.mark.parametrize("address", ["nowhere", "x://127.0.0.1:9", "tcp://", ""])
def test_an_address_that_is_none_is_refused_likewise(address, impatient):
    said = "no Dask scheduler answers there|is no address; write tcp://HOST:PORT"
    with pytest.raises(ClusterError, match=said):
        Cluster(address, 1, 60).__enter__()


def test_without_dask_the_way_to_install_it_is_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ClusterError, match=r"Dask is not installed here; install it: .*cluster"):
        Cluster(NOBODY, 1, 60).__enter__()
    assert module._INSTALL in (ROOT / "README.md").read_text("utf-8")


def test_slices_are_read_on_this_machine_whatever_the_cluster(monkeypatch, tmp_path):
    class Counted(Here):
        def __init__(self, jobs: int, seconds: float) -> None:
            super().__init__()
            assert (jobs, seconds) == (3, 60)

        def __enter__(self):
            return self

        def __exit__(self, *error) -> None:
            closed.append(self)

    closed = []
    monkeypatch.setattr(module, "Pool", Counted)
    tasks = [Hash(tmp_path, ()), Hash(tmp_path, ())]
    assert [answer for _, answer in Cluster(NOBODY, 3, 60).each(tasks)] == [{}, {}]
    assert len(closed) == 1


def test_what_differs_between_two_machines_is_told_in_words():
    ours = identity()
    assert unlike(ours, ours) == ""
    assert unlike({**ours, "python": "3.0.0"}, ours) == f"Python 3.0.0, here {ours['python']}"
    assert unlike({**ours, "libraries": "", "fonts": ""}, ours).count(",") == 1


def test_a_run_that_loses_its_cluster_keeps_what_was_done(sample_book, tmp_path):
    class OnCluster(Here):
        def each(self, tasks):
            # After the hashes and one report.
            for number, answer in enumerate(super().each(tasks)):
                if isinstance(answer[0], Make) and number == 2:
                    raise ClusterError("tcp://there: the Dask scheduler was lost")
                yield answer

    with pytest.raises(ClusterError):
        run_here(sample_book, tmp_path, OnCluster(), only=HORSES)
    manifest = json.loads((tmp_path / "2026-10" / "manifest.json").read_text())
    states = [manifest["horses"][horse]["state"] for horse in HORSES]
    assert sorted(states) == ["made", "made", "not-reached"]
    again = Here()
    run_here(sample_book, tmp_path, again, only=HORSES)
    assert len(again.made) == 1
