"""Tasks on their way to a Dask cluster and back: few at a time, and none waited for in vain."""

import pickle
import queue
import time
from collections import deque
from collections.abc import Generator, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any

from racecalc.overnight.machines import WITHOUT_WORKER_S, Call, Workers
from racecalc.overnight.pool import Lost
from racecalc.overnight.remote import Refused, run_task
from racecalc.overnight.work import Made, Make, failed, slice_files

__all__ = ["Flights"]

_TICK_S = 1.0
# Tasks out for each thread: one at work, one that waits so that the thread never does.
_OUT = 2
_TRIES = 3


@dataclass
class _Flight:
    """A task that is out."""

    task: Any
    tries: int = 0
    future: Any = None
    workers: frozenset[str] = field(default_factory=frozenset)
    since: float = 0.0


class Flights:
    """The tasks of one call: those to come, and those that are out."""

    def __init__(self, workers: Workers, tasks: Iterable[Any], seconds: float) -> None:
        self._workers = workers
        self._to_come = iter(tasks)
        self._ended = False
        self._again: deque[_Flight] = deque()
        self._out: dict[str, _Flight] = {}
        self._done: queue.SimpleQueue[Any] = queue.SimpleQueue()
        self._looked = time.monotonic()
        self._seconds = seconds
        # A worker itself ends what hangs, after two tries; this is for a machine that went silent.
        self._longest = seconds * 2 * _OUT + WITHOUT_WORKER_S

    def each(self) -> Generator[tuple[Any, Any], None, None]:
        """Yield tasks with their answers."""
        try:
            while self._out or self._again or not self._ended:
                yield from self._send()
                yield from self._take()
        finally:
            self._give_up(self._out.values())

    def _send(self) -> Iterator[tuple[Any, Any]]:
        """Let tasks go while there is room; yield those whose data cannot be read."""
        room = _OUT * sum(self._workers.threads.values())
        while len(self._out) < room and (flight := self._next()):
            try:
                data = pickle.dumps(_whole(flight.task))
            except Exception as error:  # trouble with one horse's slice is not another's
                yield flight.task, failed(error)
            else:
                self._submit(flight, data)

    def _next(self) -> _Flight | None:
        if self._again:
            return self._again.popleft()
        task = next(self._to_come, None)
        self._ended = task is None
        return None if self._ended else _Flight(task)

    def _submit(self, flight: _Flight, data: bytes) -> None:
        flight.workers = frozenset(self._workers.threads)
        flight.since = time.monotonic()
        flight.tries += 1
        call = Call(run_task, data, self._workers.ours, self._seconds)
        flight.future = self._workers.submit(call, flight.workers)
        self._out[flight.future.key] = flight
        flight.future.add_done_callback(self._done.put)

    def _take(self) -> Iterator[tuple[Any, Any]]:
        """Wait a moment for an answer; now and then look for tasks that will have none."""
        if self._out or self._again or not self._ended:
            with suppress(queue.Empty):
                future = self._done.get(timeout=_TICK_S)
                if flight := self._out.pop(future.key, None):
                    yield from self._settled(flight)
        if time.monotonic() > self._looked + _TICK_S:
            self._looked = time.monotonic()
            self._workers.look()
            yield from self._overdue()

    def _settled(self, flight: _Flight) -> Iterator[tuple[Any, Any]]:
        answer = self._answer(flight.future)
        flight.future.release()
        if isinstance(answer, Refused):
            self._workers.ask_again()
            yield from self._tried(flight, Made(None, f"a worker refused it: {answer.why}"))
        else:
            yield flight.task, answer

    def _answer(self, future: Any) -> Any:
        from distributed import KilledWorker

        try:
            return pickle.loads(future.result(timeout=self._seconds))
        except (TimeoutError, KilledWorker):
            return Lost()
        except Exception as error:  # the task's own, or what came back cannot be read
            if future.cancelled() or self._workers.client.status != "running":
                raise self._workers.gone() from error
            return failed(error)

    def _overdue(self) -> Iterator[tuple[Any, Any]]:
        """Let go what waits for workers that are gone, and what has had no answer for too long."""
        late = time.monotonic() - self._longest
        for key, flight in list(self._out.items()):
            stranded = flight.workers.isdisjoint(self._workers.here)
            if stranded or flight.since < late:
                self._give_up([self._out.pop(key)])
            if stranded:
                yield from self._tried(flight, Lost())
            elif flight.since < late:
                yield flight.task, Made(None, f"no answer from the cluster in {self._longest:g} s")

    def _tried(self, flight: _Flight, answer: Any) -> Iterator[tuple[Any, Any]]:
        """Send a task once more, unless it has been sent often enough."""
        if flight.tries < _TRIES:
            self._again.append(flight)
        else:
            yield flight.task, answer

    def _give_up(self, flights: Iterable[_Flight]) -> None:
        futures = [flight.future for flight in flights]
        client = self._workers.client
        if futures and client.status == "running":
            # The run ends or goes on whatever the scheduler makes of it.
            with suppress(Exception):
                client.cancel(futures)


def _whole(task: Any) -> Any:
    """Put a horse's slice into its task, in place of the name of a folder of this machine."""
    if isinstance(task, Make) and task.store is not None:
        return replace(task, store=None, frozen=slice_files(task.store, task.horse))
    return task
