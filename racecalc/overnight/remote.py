"""What a Dask worker does for us: it has each task done by a process of its own, as `pool` does.

A worker of Dask may run tasks in threads, and may not have children by `multiprocessing`; a report
is made in neither. So each of its threads keeps a process, as each job does on this machine, with
the same limits and the same second try, and what hangs or crashes there harms no Dask worker.
"""

import pickle
import platform
import threading
from collections.abc import Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Any

from racecalc.overnight.keys import difference, key_of
from racecalc.overnight.pool import Pool
from racecalc.report.finished import MONTHLY

__all__ = ["Refused", "identity", "run_task", "unlike"]

# A process that has nothing to do gives its memory back.
_IDLE_S = 300.0


@dataclass(frozen=True)
class Refused:
    """The answer of a machine that would make another report; ``why`` says what differs."""

    why: str


def identity() -> dict[str, str]:
    """Return all that the reports of this machine depend on beside their data."""
    return {**key_of("", {}, MONTHLY), "python": platform.python_version()}


def unlike(theirs: Mapping[str, str], ours: Mapping[str, str]) -> str:
    """Say in words in what another machine differs from this one; nothing where it does not."""
    if theirs["python"] != ours["python"]:
        return f"Python {theirs['python']}, here {ours['python']}"
    return difference(theirs, ours)


def run_task(task: bytes, asker: Mapping[str, str], seconds: float) -> bytes:
    """Do a task on a worker of Dask.

    Parameters
    ----------
    task : bytes
        The task, pickled.
    asker : mapping
        The `identity` of the machine that asks.
    seconds : float
        After this time without an answer, twice, the task is given up.

    Returns
    -------
    bytes
        What the task comes to, pickled; `pool.Lost` where it was given up, `Refused` where this
        machine differs from the one that asks.
    """
    if why := unlike(identity(), asker):
        return pickle.dumps(Refused(why))
    if not hasattr(_OF_THREAD, "process"):
        _OF_THREAD.process = _Process()
    return pickle.dumps(_OF_THREAD.process.do(pickle.loads(task), seconds))


class _Process:
    """A pool of one, which rests when nothing is asked of it for a while."""

    def __init__(self) -> None:
        self._at_work = threading.Lock()
        self._open = ExitStack()
        self._pool: Pool | None = None
        self._seconds = 0.0
        self._clock: threading.Timer | None = None

    def do(self, task: Any, seconds: float) -> Any:
        """Return the answer to a task."""
        if self._clock:
            self._clock.cancel()
        with self._at_work:
            if self._pool is None or seconds != self._seconds:
                self._open.close()
                self._pool, self._seconds = self._open.enter_context(Pool(1, seconds)), seconds
            [(_, answer)] = self._pool.each([task])
        self._clock = threading.Timer(_IDLE_S, self._rest)
        self._clock.daemon = True
        self._clock.start()
        return answer

    def _rest(self) -> None:
        if self._at_work.acquire(blocking=False):
            self._pool = None
            self._open.close()
            self._at_work.release()


_OF_THREAD = threading.local()
