"""The run: every report that has to be made, each put in its place as soon as it is whole.

The order of steps is what makes a run safe to end at any moment, see DEVELOPERS.md: lock, frozen
book, plan, and for each report a folder of its own, checks, one step into its place, one line in
the journal; at the end manifest, index and outbox.
"""

import contextlib
import hashlib
import os
import shutil
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from errno import EDQUOT, ENOSPC
from importlib import import_module
from pathlib import Path
from typing import Any

from racecalc.errors import DaybookError
from racecalc.overnight.deliver import Delivered, deliver
from racecalc.overnight.disk import FULL, put_file, put_folder, write_folder
from racecalc.overnight.index import index_page
from racecalc.overnight.lock import locked, now
from racecalc.overnight.plan import Asked, Doer, Plan, make_plan, note_known, parameters
from racecalc.overnight.records import Journal, Outcome, Records, Standing
from racecalc.overnight.work import Made, Make
from racecalc.report.finished import MONTHLY, Limits, Report

__all__ = ["Finished", "dry_run", "run"]

Told = Callable[[Outcome, int, int], None]

_LOG = "overnight.log"
# No horse can have this name: an id has no dot.
_FAILED = "failed.logs"
# A report takes about half of this on the disk.
_BYTES_A_REPORT = 1_000_000


@dataclass(frozen=True)
class Finished:
    """What a run has come to.

    Attributes
    ----------
    plan : Plan
        What it meant to do.
    outcomes : dict of str to Outcome
        What became of each horse.
    owners : Delivered
        What became of the owners' folders.
    seconds : float
        How long it took.
    slow : int
        How many workbooks had no warm process.
    """

    plan: Plan
    outcomes: dict[str, Outcome]
    owners: Delivered
    seconds: float
    slow: int = 0


def run(book: Path, out: Path, asked: Asked, doer: Doer, limits: Limits, told: Told) -> Finished:
    """Make the reports that have to be made, then the manifest and the index of the month.

    Parameters
    ----------
    book : Path
        The daybook.
    out : Path
        The folder of all reports.
    asked : Asked
        What is wanted.
    doer : Doer
        Does the work.
    limits : Limits
        Of each report.
    told : callable
        Hears of each horse whose report was to be made as it is done, with how many are done and
        how many there are.

    Raises
    ------
    LockedError
        If another run is at work in the folder.
    DaybookError
        If the book cannot be used.
    OSError
        If nothing can be written under ``out``, or no more.
    """
    left: list[str] = []
    clock = time.monotonic()
    with _explained(out, left), locked(out / ".racecalc" / "lock"), _folder_of_work(out) as work:
        with _noted(out / asked.month / _LOG):
            plan = make_plan(book, out, asked, work, doer)
        left += plan.keys
        _check_room(out, len(plan.keys))
        return _Run(plan, out, asked, work, left, clock).all(doer, limits, told)


def dry_run(book: Path, out: Path, asked: Asked, doer: Doer) -> Plan:
    """Return what a run would do; nothing is written beside a folder that ends with this.

    Raises
    ------
    DaybookError
        As `run`.
    """
    with tempfile.TemporaryDirectory(prefix="racecalc-") as work:
        return make_plan(book, out, asked, Path(work), doer, note=False)


@contextmanager
def _noted(log: Path) -> Iterator[None]:
    """Write down that a book was refused, where the log of the month is."""
    try:
        yield
    except DaybookError as error:
        if log.exists():
            _append(log, [f"nothing was made: {' '.join(str(error).split())}"])
        raise


def _append(log: Path, lines: Iterable[str]) -> None:
    with log.open("a", encoding="utf-8") as file:
        file.writelines(f"{now()} {line}\n" for line in lines)


@contextmanager
def _folder_of_work(out: Path) -> Iterator[Path]:
    """Give a folder that ends with the run, and remove what a run that was killed has left."""
    work = out / ".racecalc" / "work"
    shutil.rmtree(work, ignore_errors=True)
    for unfinished in work.parent.glob(".*.part"):
        unfinished.unlink()
    work.mkdir(mode=0o700)
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _check_room(out: Path, reports: int) -> None:
    if reports * _BYTES_A_REPORT > shutil.disk_usage(out).free:
        raise OSError(ENOSPC, os.strerror(ENOSPC))


@contextmanager
def _explained(out: Path, left: Sequence[str]) -> Iterator[None]:
    """Say what is needed for the reports that are left where the disk is full."""
    try:
        yield
    except OSError as error:
        if error.errno not in (ENOSPC, EDQUOT):
            raise
        free = shutil.disk_usage(out).free if out.exists() else 0
        text = _no_room(max(len(left), 1) * _BYTES_A_REPORT, free)
        raise OSError(error.errno, text, str(out)) from error


def _no_room(needed: int, free: int) -> str:
    return (
        f"no room for the reports: about {needed / 1e6:,.0f} MB are needed, {free / 1e6:,.0f} MB "
        "are free; make room and start again, what is done is kept"
    )


class _Run:
    """One run under its lock."""

    def __init__(
        self, plan: Plan, out: Path, asked: Asked, work: Path, left: list[str], clock: float
    ) -> None:
        self._plan = plan
        self._out = out
        self._folder = out / asked.month
        self._asked = asked
        self._work = work
        self._left = left
        self._spoiled = set(plan.spoiled)
        self._began = now("microseconds")
        self._clock = clock
        self._outcomes = dict(plan.outcomes)
        # Of the slices of which reports were made.
        self._hashes: dict[str, str] = {}
        self._records = Records(out, asked.month)
        self._slow = 0
        errors = plan.known.errors
        self._head = {"run": self._began, "month": asked.month, "book_errors": errors}

    def all(self, doer: Doer, limits: Limits, told: Told) -> Finished:
        """Make all reports of the plan; write down what became of each horse, whatever happens."""
        self._folder.mkdir(exist_ok=True)
        for horse, cause in self._plan.known.refused.items():
            self._say(f"{horse} failed: {' '.join(cause.split())}")
        journal = self._records.begin(self._head, self._outcomes)
        try:
            self._make(doer, limits, journal, told)
        except BaseException:
            # Where nothing more can be written the next run finds plan and journal.
            with contextlib.suppress(OSError):
                self._sum_up()
                self._say(f"the run was ended; {len(self._left)} reports are left for the next")
            raise
        finally:
            journal.close()
        self._sum_up()
        owners, seconds = self._deliver(), time.monotonic() - self._clock
        return Finished(self._plan, self._outcomes, owners, seconds, self._slow)

    def _make(self, doer: Doer, limits: Limits, journal: Journal, told: Told) -> None:
        # The pages at the end are written in words, which take a second to import: others work now.
        threading.Thread(target=import_module, args=["racecalc.words"], daemon=True).start()
        with contextlib.closing(doer.each(self._tasks(limits))) as answers:
            for done, (task, answer) in enumerate(answers, start=1):
                outcome = self._settled(task.horse, answer)
                self._outcomes[outcome.horse] = outcome
                self._left.remove(outcome.horse)
                journal.write(outcome)
                self._note(outcome)
                told(outcome, done, len(self._plan.keys))

    def _deliver(self) -> Delivered:
        month, drafts = self._asked.month, self._asked.drafts
        # No owner is given what somebody has changed since.
        outcomes = [o for o in self._outcomes.values() if o.horse not in self._spoiled]
        delivered = deliver(self._plan.known, month, drafts, outcomes, self._out, self._work)
        if self._asked.only:
            # Of horses that were not asked for nothing is said.
            others = self._plan.known.names.keys() - set(self._asked.only)
            told = [line for line in delivered.told if line.split(":")[0] not in others]
            delivered = replace(delivered, told=tuple(told))
        self._say(*delivered.told, f"the run of {self._began[:19]} has ended")
        return delivered

    def _tasks(self, limits: Limits) -> Iterator[Make]:
        for horse in self._plan.keys:
            asked = parameters(horse, self._asked.month)
            yield Make(horse, asked, MONTHLY, limits, self._plan.store)

    def _settled(self, horse: str, answer: Any) -> Outcome:
        """Put a report in its place, or say why there is none."""
        planned = self._outcomes[horse]
        if not isinstance(answer, Made):
            cause = "the process that made it was ended, twice"
            return self._failed(planned, cause, answer.trace, 0.0)
        self._slow += not answer.warm
        if answer.report is None:
            return self._failed(planned, answer.cause, answer.trace, answer.seconds)
        report = answer.report
        # No other folder there has such a name.
        made = self._work / f"report.{horse}"
        write_folder(made, report.files)
        try:
            put_folder(made, self._folder / horse, report.files)
        except OSError as error:
            if error.errno in FULL:
                raise
            shutil.rmtree(made, ignore_errors=True)
            cause = f"could not be written: {self._folder / horse}: {error.strerror or error}"
            return self._failed(planned, cause, "", answer.seconds)
        self._spoiled.discard(horse)
        (self._folder / _FAILED / f"{horse}.log").unlink(missing_ok=True)
        self._hashes[horse] = answer.data
        standing = self._standing(horse, report, answer.data)
        state, cause = ("made", "report written")
        if not report.recorded:
            state, cause = ("no-data", "nothing was recorded this month")
        return replace(
            planned, state=state, cause=cause, seconds=round(answer.seconds, 2), standing=standing
        )

    def _standing(self, horse: str, report: Report, data: str) -> Standing:
        hashes = {name: hashlib.sha256(file).hexdigest() for name, file in report.files.items()}
        key = {**self._plan.keys[horse], "data": data}
        return Standing(key, hashes, report.recorded, report.day, list(report.summary), self._began)

    def _failed(self, planned: Outcome, cause: str, trace: str, seconds: float) -> Outcome:
        folder = self._folder / _FAILED
        folder.mkdir(exist_ok=True)
        text = f"{self._began} {planned.horse}: {cause}\n\n{trace}"
        put_file(folder / f"{planned.horse}.log", text.encode(errors="replace"))
        return replace(planned, state="failed", cause=cause, seconds=round(seconds, 2))

    def _note(self, outcome: Outcome) -> None:
        cause = " ".join(outcome.cause.split())
        self._say(f"{outcome.horse} {outcome.state} in {outcome.seconds:.1f} s: {cause}")

    def _say(self, *lines: str) -> None:
        _append(self._folder / _LOG, lines)

    def _sum_up(self) -> None:
        known = self._plan.known
        if self._hashes:
            note_known(self._out, replace(known, hashes=known.hashes | self._hashes))
        self._records.end({**self._head, "ended": now()}, self._outcomes)
        page = index_page(known, self._asked.month, self._began, self._outcomes.values())
        put_file(self._folder / "index.html", page.encode())
