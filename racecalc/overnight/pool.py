"""Worker processes on this machine: each with its own warm process and its own printing press.

They are forked by one that has imported all (`mother`), where the system can, else begun each.
A worker that ends without an answer, whatever ended it, costs its task a second try in a new one.
"""

import contextlib
import os
import queue
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Generator, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, cast

from racecalc.overnight import mother
from racecalc.overnight.worker import READY, receive, send

__all__ = ["Lost", "Pool"]

_TRIES = 2
# Where a process says what troubles it, and how much of that is kept.
_SAID = "said.txt"
_MOST_SAID = 10_000
# Where a process puts what is not for long, on one system and another.
_SCRATCH = ("TMPDIR", "TEMP", "TMP")


@dataclass(frozen=True)
class Lost:
    """The answer to a task whose worker has ended, twice; ``trace`` is what it said last."""

    trace: str = ""


class _Begun:
    """A process that was begun by itself, as `mother.Child` offers it."""

    def __init__(self, environment: Mapping[str, str], said: BinaryIO, *, ready: bool) -> None:
        # A session of its own: Ctrl-C reaches us, and its end follows from ours.
        self._process = subprocess.Popen(
            [sys.executable, "-m", "racecalc.overnight.worker", *[READY] * ready],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=said,
            start_new_session=True,
            env=environment,
        )
        self.stdin = cast(BinaryIO, self._process.stdin)
        self.stdout = cast(BinaryIO, self._process.stdout)

    def has_ended(self) -> bool:
        """Return whether it has ended."""
        return self._process.poll() is not None

    def end(self) -> None:
        """End it."""
        # It is waited for, and its pipes are closed.
        with contextlib.suppress(OSError), self._process as process:
            if os.name == "posix":
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()


class _Worker:
    """One process, begun when it is first needed."""

    def __init__(self, *, ready: bool) -> None:
        self._ready = ready
        self.scratch: Path | None = None
        self._process: _Begun | mother.Child | None = None
        # What a process that was ended has left in here goes with the worker.
        self._scratch: tempfile.TemporaryDirectory[str] | None = None

    def do(self, task: Any, seconds: float) -> Any:
        """Return the answer to a task; EOFError where there is none in time."""
        watch = threading.Timer(seconds, self.end)
        watch.daemon = True
        try:
            process = self._running()
            watch.start()
            send(process.stdin, task)
            return receive(process.stdout)
        except Exception as error:  # there may be no memory to begin it, or half an answer
            raise EOFError from error
        finally:
            watch.cancel()

    def last_words(self) -> str:
        """Return what the process has said of its troubles."""
        if self._scratch is None:
            return ""
        with contextlib.suppress(OSError):
            return Path(self._scratch.name, _SAID).read_text("utf-8", "replace")[-_MOST_SAID:]
        return ""

    def end(self) -> None:
        """End the process; what it has begun ends with it."""
        process, self._process = self._process, None
        scratch, self._scratch = self._scratch, None
        if process is not None:
            process.end()
        if scratch is not None:
            with contextlib.suppress(OSError):
                scratch.cleanup()

    def begin(self) -> None:
        """Begin the process before there is a task for it; without memory for it, later."""
        with contextlib.suppress(OSError):
            self._running()

    def _running(self) -> _Begun | mother.Child:
        if self._process is None or self._process.has_ended():
            self.end()
            self._scratch = tempfile.TemporaryDirectory(prefix="racecalc-", dir=self.scratch)
            with Path(self._scratch.name, _SAID).open("wb") as said:
                environment = {**os.environ, **dict.fromkeys(_SCRATCH, self._scratch.name)}
                try:
                    self._process = mother.begin(environment, said, ready=self._ready)
                except OSError:
                    self._process = _Begun(environment, said, ready=self._ready)
        return self._process


class Pool:
    """Does tasks in as many processes as asked.

    Parameters
    ----------
    jobs : int
        How many.
    seconds : float
        After this time without an answer a worker is taken for lost.
    ready : bool
        Whether they prepare themselves for reports as soon as they begin.
    """

    def __init__(self, jobs: int, seconds: float, *, ready: bool = False) -> None:
        self._workers = [_Worker(ready=ready) for _ in range(jobs)]
        self._seconds = seconds
        self._forks = mother.kept() if ready else contextlib.nullcontext()

    def __enter__(self) -> "Pool":
        self._forks.__enter__()
        return self

    def __exit__(self, *error: object) -> None:
        self._end()
        self._forks.__exit__(None, None, None)

    def get_ready(self, scratch: Path) -> None:
        """Begin the processes: tasks will come; what is not for long goes into that folder."""
        for worker in self._workers:
            worker.scratch = scratch
            worker.begin()

    def each(self, tasks: Iterable[Any]) -> Generator[tuple[Any, Any], None, None]:
        """Yield tasks with their answers, in the order in which they are done.

        No more answers wait than there are workers, so that memory does not grow with the tasks.
        """
        waiting, lock, stopped = iter(tasks), threading.Lock(), threading.Event()
        answers: queue.Queue[Any] = queue.Queue(maxsize=len(self._workers))

        def take() -> Any:
            with lock:
                return None if stopped.is_set() else next(waiting, None)

        threads = [
            threading.Thread(target=self._work, args=(worker, take, answers, stopped), daemon=True)
            for worker in self._workers
        ]
        running = len(threads)
        try:
            for thread in threads:
                thread.start()
            while running:
                done = answers.get()
                if done is None:
                    running -= 1
                else:
                    yield done
        finally:
            stopped.set()
            if running:
                self._end()

    def _work(
        self,
        worker: _Worker,
        take: Callable[[], Any],
        answers: "queue.Queue[Any]",
        stopped: threading.Event,
    ) -> None:
        try:
            while (task := take()) is not None:
                answer = self._tried(worker, task, stopped)
                _put((task, answer), answers, stopped)
        finally:
            _put(None, answers, stopped)

    def _tried(self, worker: _Worker, task: Any, stopped: threading.Event) -> Any:
        said = ""
        for _ in range(_TRIES):
            try:
                return worker.do(task, self._seconds)
            except EOFError:
                said = worker.last_words()
                worker.end()
                if stopped.is_set():
                    break
        return Lost(said)

    def _end(self) -> None:
        for worker in self._workers:
            worker.end()


def _put(content: Any, answers: "queue.Queue[Any]", stopped: threading.Event) -> None:
    """Wait for room, unless nobody takes answers any more."""
    while not stopped.is_set():
        with contextlib.suppress(queue.Full):
            answers.put(content, timeout=0.2)
            return
