"""Workbooks that fail in every way, in one real run: each fails alone, and leaves nothing."""

import os
import uuid
from unittest import mock

import psutil
import pytest

from racecalc import overnight
from racecalc.overnight import Limits, Pool
from tests.daybook.stable import TABLES, write_book
from tests.overnight.odd_workbook import MARK, as_monthly_report, left_of, write_workbook
from tests.overnight.scene import FILES

pytestmark = [pytest.mark.slow, pytest.mark.skipif("sys.platform != 'linux'")]

CAUSES = {
    "raises": "the workbook stopped: ZeroDivisionError: division by zero",
    "hangs": "the workbook could not be run: it took longer than 6 s",
    "swallows": "the workbook did not run to its end: its last page element is a masthead",
    "eats": "the workbook could not be run: it took more than 500 MB of memory",
    "floods": "report.ipynb has 8.0 MB, too much to send to anybody",
    "is-killed": "the workbook could not be run: its process ended before it was done",
    "kills-warm": "the workbook could not be run: the process that runs workbooks ended",
    "kills-worker": "the process that made it was ended, twice",
}
MADE = ("begets", "begets-away", "forks-away", "kills-worker-once", "plain-1", "plain-2")
LIMITS = Limits(seconds=6, megabytes=500)


@pytest.fixture(scope="module")
def night(tmp_path_factory):
    """The run, the folder in which workbooks note processes, and what was left of it."""
    folder = tmp_path_factory.mktemp("night")
    rows = "".join(f"{horse},{horse.title()},,,,,,\n" for horse in (*CAUSES, *MADE))
    book = write_book(folder / "book", horses=TABLES["horses"] + rows)
    mark, (place, scratch) = uuid.uuid4().hex, (folder / "place", folder / "scratch")
    place.mkdir()
    scratch.mkdir()
    environment = {MARK: mark, "RACECALC_TEST_PLACE": str(place), "TMPDIR": str(scratch)}
    as_monthly_report(write_workbook(folder / "odd.ipynb"))
    try:
        with mock.patch.dict(os.environ, environment), Pool(2, 60, ready=True) as pool:
            asked, out = overnight.Asked("2026-10"), folder / "reports"
            done = overnight.run(book, out, asked, pool, LIMITS, lambda *said: None)
            # Those that wait for the next task are at rest, and nothing else is there.
            with_workers = left_of(mark, 1)
        yield done, folder, with_workers, left_of(mark)
    finally:
        mock.patch.stopall()


@pytest.mark.parametrize("horse", CAUSES)
def test_one_that_fails_is_told_of(night, horse):
    outcome = night[0].outcomes[horse]
    assert outcome.state == "failed"
    assert outcome.cause.startswith(CAUSES[horse])
    assert not (night[1] / "reports" / "2026-10" / horse).exists()
    log = night[1] / "reports" / "2026-10" / "failed.logs" / f"{horse}.log"
    assert CAUSES[horse] in log.read_text("utf-8")


@pytest.mark.parametrize("horse", ["brindle", "007", *MADE])
def test_the_others_are_made(night, horse):
    assert night[0].outcomes[horse].state == "made", night[0].outcomes[horse].cause
    folder = night[1] / "reports" / "2026-10" / horse
    assert {path.name for path in folder.iterdir()} == set(FILES)


@pytest.mark.parametrize("horse", ["hangs", "begets", "begets-away", "forks-away", "kills-warm"])
def test_what_a_workbook_has_begun_ends_with_it(night, horse):
    assert not psutil.pid_exists(int((night[1] / "place" / f"{horse}.pid").read_text("ascii")))


def test_no_process_and_no_scratch_file_is_left(night):
    _, folder, with_workers, left = night
    kinds = {command.split(" -m ")[-1] for command in with_workers}
    # A warm process that was killed is followed by one that was not forked.
    assert kinds <= {"racecalc.overnight.mother", "racecalc.report.zygote"}
    assert left == []
    assert list((folder / "scratch").iterdir()) == []


class TestThePool:
    def test_a_worker_that_cannot_begin_is_a_lost_task_not_a_run_that_waits_for_ever(self):
        refused = mock.patch("subprocess.Popen", side_effect=BlockingIOError(11, "no more"))
        with refused, Pool(2, 60) as pool:
            answers = [type(answer).__name__ for _, answer in pool.each([1, 2, 3])]
        assert answers == ["Lost", "Lost", "Lost"]

    def test_what_cannot_be_sent_is_a_lost_task(self):
        with Pool(1, 60) as pool:
            assert [type(answer).__name__ for _, answer in pool.each([lambda: 1])] == ["Lost"]
