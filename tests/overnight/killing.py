"""Ending a run, or letting the disk refuse, at each of its steps.

A step is whatever changes something under a folder: a file opened for writing, a name made, moved
or removed, an exchange of two folders, and each flush onto the disk.
"""

import os
import signal
import sys
import traceback
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

from racecalc.overnight import disk

__all__ = ["kills", "loses_power", "refused_at_each_step", "stopped_at", "stopped_at_each_step"]

_CHANGES = {"os.mkdir", "os.rmdir", "os.remove", "os.rename", "os.link", "os.symlink", "os.chmod"}
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT
_TOO_LONG_S = 60
_NEVER = 100_000

Run = Callable[[], int]
Begin = Callable[[], None]


class _Steps:
    """Counts the steps under a folder, and does something at one of them."""

    def __init__(self) -> None:
        self.left = 0
        self._place = ""
        self._fault: Callable[[], None] = lambda: None
        self._heard = False

    @contextmanager
    def counted(self, out: Path, step: int, fault: Callable[[], None]) -> Iterator[None]:
        """Do something at a step of the block."""
        if not self._heard:
            # Such a hook is for the life of a process.
            sys.addaudithook(self._hear)
            self._heard = True
        self.left, self._place, self._fault = step, str(out.resolve()), fault
        sync, exchange = os.fsync, disk._exchange

        def fsync(handle: int) -> None:
            self._next()
            sync(handle)
            _synced.add(_mark(os.fstat(handle)))

        def exchanged(one: Path, other: Path) -> bool:
            self._next()
            done = exchange(one, other)
            if self._fault in (kills, loses_power):
                self._next()
            return done

        try:
            with mock.patch("os.fsync", fsync), mock.patch.object(disk, "_exchange", exchanged):
                yield
        finally:
            self._place = ""

    def _next(self) -> None:
        self.left -= 1
        if self.left == 0:
            self._fault()

    def _hear(self, event: str, told: tuple[Any, ...]) -> None:
        if not self._place:
            return
        writes = event == "open" and isinstance(told[2], int) and told[2] & _WRITES
        if writes or event in _CHANGES:
            path = os.fsdecode(told[0]) if isinstance(told[0], str | bytes) else ""
            # A path that is relative is so to a folder that is being removed.
            if path.startswith(self._place) or not path.startswith("/"):
                self._next()


_STEPS = _Steps()
_synced: set[tuple[int, int]] = set()


def kills() -> None:
    """End this process as nothing can prevent."""
    os.kill(os.getpid(), signal.SIGKILL)


def loses_power() -> None:
    """End this process; of every file that was not flushed onto the disk half is lost."""
    place, _STEPS._place = Path(_STEPS._place), ""
    for path in place.rglob("*"):
        if path.is_file() and not path.is_symlink() and _mark(path.stat()) not in _synced:
            os.truncate(path, path.stat().st_size // 2)
    kills()


def stopped_at(step: int, out: Path, run: Run, fault: Callable[[], None]) -> int:
    """Run in a process of its own that is stopped at a step; return how it ended."""
    with warnings.catch_warnings():
        # Threads of libraries that are idle here are not needed there.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        _become(step, out, run, fault)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def stopped_at_each_step(
    out: Path, run: Run, begin: Begin, fault: Callable[[], None]
) -> Iterator[int]:
    """Yield how a run ended that was stopped at its first step, at its second, and so on.

    Parameters
    ----------
    out : Path
        The folder of reports.
    run : callable
        The run, in a process of its own; returns its status.
    begin : callable
        Puts things as they are before the run.
    fault : callable
        `kills` or `loses_power`.
    """
    for step in range(1, _NEVER):
        begin()
        ended = stopped_at(step, out, run, fault)
        if ended != -signal.SIGKILL:
            assert ended == 0, "undisturbed it ends well"
            return
        yield ended


def refused_at_each_step(out: Path, run: Run, begin: Begin, numbers: list[int]) -> Iterator[int]:
    """Yield how a run ended of which the disk refused the first step, the second, and so on.

    ``numbers`` are the errors of the system that it gives, in turn.
    """
    for step in range(1, _NEVER):
        number = numbers[step % len(numbers)]

        def refuse(number: int = number) -> None:
            raise OSError(number, os.strerror(number), "a file")

        begin()
        with _STEPS.counted(out, step, refuse):
            status = run()
        if _STEPS.left > 0:
            assert status == 0, "undisturbed it ends well"
            return
        yield status


def _become(step: int, out: Path, run: Run, fault: Callable[[], None]) -> None:
    signal.alarm(_TOO_LONG_S)
    status = 70
    try:
        _synced.update(_mark(path.stat()) for path in out.rglob("*") if path.is_file())
        with _STEPS.counted(out, step, fault):
            status = run()
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(status)


def _mark(found: os.stat_result) -> tuple[int, int]:
    return found.st_ino, found.st_mtime_ns
