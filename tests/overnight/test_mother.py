"""Workers that are forked by one process that has imported all, and those that cannot be."""

import os
import signal
from pathlib import Path

import pytest

from racecalc.overnight import Pool, mother
from racecalc.overnight.pool import Lost
from racecalc.report import engine
from tests.overnight.tasks import Hanging, Noted, Slow, task

pytestmark = [pytest.mark.slow, pytest.mark.skipif("sys.platform != 'linux'")]

# Of libraries that make their threads anew in a fork: the memory of Arrow.
HARMLESS = {"jemalloc_bg_thd"}


def parent_of(process: int) -> int:
    return int(Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[1])


def makers(pool: Pool, count: int = 1) -> list[int]:
    """Return the parents of the workers that did tasks."""
    tasks = [task(Slow, str(number)) for number in range(count)]
    answers = [answer for _, answer in pool.each(tasks)]
    return [int(answer.report.files["maker"]) for answer in answers]


def test_workers_are_forked_by_one_process_that_ends_with_the_pool():
    with Pool(2, 120, ready=True) as pool:
        [own] = set(makers(pool, 4))
        assert parent_of(own) == os.getpid()
        threads = {
            path.read_text("ascii").strip() for path in Path("/proc", str(own)).glob("task/*/comm")
        }
        assert len(threads - HARMLESS) == 1
    assert not Path(f"/proc/{own}").exists()


def test_pools_that_are_open_at_one_time_share_it():
    with Pool(1, 120, ready=True) as pool, Pool(1, 120) as other:
        assert makers(pool) == makers(other)
        with Pool(1, 120) as third:
            makers(third)
        assert makers(pool) == makers(other)


def test_without_a_pool_for_reports_there_is_none():
    with Pool(1, 120) as pool:
        assert makers(pool) == [os.getpid()]


def test_where_the_system_cannot_fork_workers_are_begun_one_by_one(monkeypatch):
    monkeypatch.setattr(engine, "is_available", lambda: False)
    with Pool(1, 120, ready=True) as pool:
        assert makers(pool) == [os.getpid()]


def test_where_it_cannot_begin_workers_are_begun_one_by_one(monkeypatch):
    monkeypatch.setattr(mother, "_MODULE", "racecalc.no_such_module")
    with Pool(1, 120, ready=True) as pool:
        assert makers(pool) == [os.getpid()]


def test_when_it_is_killed_its_workers_tasks_are_done_again(tmp_path):
    with Pool(1, 120, ready=True) as pool:
        [own] = makers(pool)
        tasks = [task(Noted, name, {"folder": str(tmp_path)}) for name in ("one", "two")]
        answers = pool.each(tasks)
        next(answers)
        os.kill(own, signal.SIGKILL)
        assert [type(answer).__name__ for _, answer in answers] == ["Made"]
        assert makers(pool) == [os.getpid()]


def test_when_it_does_not_answer_it_is_ended_and_the_time_limit_holds(monkeypatch):
    monkeypatch.setattr(mother, "_PATIENCE_MS", 200)
    with Pool(1, 120, ready=True) as pool:
        [own] = makers(pool)
        pool._seconds = 0.5
        os.kill(own, signal.SIGSTOP)
        [(_, answer)] = pool.each([task(Hanging, "late")])
        assert isinstance(answer, Lost)
        pool._seconds = 120
        assert makers(pool) == [os.getpid()]
    assert not Path(f"/proc/{own}").exists()


def test_who_waits_for_what_reports_need_can_be_ended(tmp_path):
    with Pool(2, 120, ready=True) as pool:
        pool.get_ready(tmp_path)
        for worker in pool._workers:
            worker.end()
        assert set(makers(pool, 2)) != {os.getpid()}
