"""Worker processes on this machine: each with its own warm process and its own printing press.

A worker that ends without an answer, whatever ended it, costs its task a second try in a new one.
"""

import contextlib
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Generator, Iterable
from typing import Any, BinaryIO, cast

from racecalc.overnight.worker import receive, send

__all__ = ["Lost", "Pool"]

_TRIES = 2


class Lost:
    """The answer to a task whose worker has ended, twice."""


class _Worker:
    """One process, begun when it is first needed."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def do(self, task: Any, seconds: float) -> Any:
        """Return the answer to a task; EOFError where there is none in time."""
        process = self._running()
        watch = threading.Timer(seconds, self.end)
        watch.daemon = True
        watch.start()
        try:
            send(cast(BinaryIO, process.stdin), task)
            return receive(cast(BinaryIO, process.stdout))
        except (OSError, ValueError) as error:
            raise EOFError from error
        finally:
            watch.cancel()

    def end(self) -> None:
        """End the process; what it has begun ends with it."""
        process, self._process = self._process, None
        if process is None:
            return
        with contextlib.suppress(OSError):
            if os.name == "posix":
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
        process.wait()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()

    def _running(self) -> "subprocess.Popen[bytes]":
        if self._process is None or self._process.poll() is not None:
            self.end()
            # A session of its own: Ctrl-C reaches us, and its end follows from ours.
            self._process = subprocess.Popen(
                [sys.executable, "-m", "racecalc.overnight.worker"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        return self._process


class Pool:
    """Does tasks in as many processes as asked.

    Parameters
    ----------
    jobs : int
        How many.
    seconds : float
        After this time without an answer a worker is taken for lost.
    """

    def __init__(self, jobs: int, seconds: float) -> None:
        self._workers = [_Worker() for _ in range(jobs)]
        self._seconds = seconds

    def __enter__(self) -> "Pool":
        return self

    def __exit__(self, *error: object) -> None:
        self._end()

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
        while (task := take()) is not None:
            answer = self._tried(worker, task, stopped)
            _put((task, answer), answers, stopped)
        _put(None, answers, stopped)

    def _tried(self, worker: _Worker, task: Any, stopped: threading.Event) -> Any:
        for _ in range(_TRIES):
            try:
                return worker.do(task, self._seconds)
            except EOFError:
                worker.end()
                if stopped.is_set():
                    break
        return Lost()

    def _end(self) -> None:
        for worker in self._workers:
            worker.end()


def _put(content: Any, answers: "queue.Queue[Any]", stopped: threading.Event) -> None:
    """Wait for room, unless nobody takes answers any more."""
    while not stopped.is_set():
        with contextlib.suppress(queue.Full):
            answers.put(content, timeout=0.2)
            return
