"""The workers of a Dask cluster: who is there, and who may make reports."""

import pickle
import time
import uuid
from collections.abc import Callable, Iterable
from typing import Any

from racecalc.errors import ClusterError
from racecalc.overnight.remote import identity, unlike

__all__ = ["PATIENCE_S", "WITHOUT_WORKER_S", "Call", "Workers", "words_of"]

PATIENCE_S = 10
"""A scheduler and its first worker have to be there in this time."""

WITHOUT_WORKER_S = 60
"""No longer than this may all workers be missing, as while machines start again."""

# The first question to a worker waits until it has imported what reports need.
_FIRST_ANSWER_S = 60
# A scheduler that is silent for longer is taken for lost.
_SILENT_S = 30

_KEPT = "what was done is kept, and the next run goes on with the rest"


class Call:
    """What a worker is to call: unpickled, it is what the call came to.

    So nothing of ours has to be known to a scheduler, which only passes bytes on.
    """

    def __init__(self, function: Callable[..., Any], *given: Any) -> None:
        self._parts = function, given

    def __reduce__(self) -> tuple[Any, ...]:
        return self._parts


class Workers:
    """The workers of a cluster: each is asked who it is before it gets work.

    Attributes
    ----------
    client : distributed.Client
        The way to them.
    ours : dict of str to str
        Who this machine is.
    threads : dict of str to int
        Those that may work, by address, with how many threads each has.
    here : set of str
        The addresses of all that are there.
    """

    def __init__(self, client: Any, address: str) -> None:
        self.client = client
        self.ours = identity()
        self.threads: dict[str, int] = {}
        self.here: set[str] = set()
        self._address = address
        self._asked: dict[str, Any] = {}
        self._refused: dict[str, str] = {}
        self._at_work = time.monotonic()

    def wait(self) -> None:
        """Wait for the first workers, and for all of them to say who they are.

        Raises
        ------
        ClusterError
            If there is none, or one that would make other reports.
        """
        end = time.monotonic() + PATIENCE_S
        self.look()
        while self._asked or not (self.threads or self._refused or time.monotonic() > end):
            time.sleep(0.05)
            self.look()
            if self._asked and time.monotonic() > end + _FIRST_ANSWER_S:
                late = ", ".join(sorted(self._asked))
                raise ClusterError(f"{self._address}: no answer from the worker {late}")
        for worker, why in self._refused.items():
            raise ClusterError(
                f"the worker {worker} would make other reports than this machine: {why}. Give both "
                "the same racecalc, installed in the same way, and start the worker again"
            )
        if not self.threads:
            raise ClusterError(
                f"{self._address}: the scheduler has no worker; start one: dask worker ADDRESS"
            )

    def look(self) -> None:
        """Take note of workers that came, went or answered.

        Raises
        ------
        ClusterError
            If the scheduler is lost, or there has been no worker for a while.
        """
        there = self._there()
        self.here = set(there)
        for known in (self.threads, self._asked, self._refused):
            for address in known.keys() - there.keys():
                del known[address]
        for address, future in list(self._asked.items()):
            if future.done():
                del self._asked[address]
                if why := self._unlike(future):
                    self._refused[address] = why
                else:
                    self.threads[address] = there[address]
        for address in there.keys() - {*self.threads, *self._asked, *self._refused}:
            self._asked[address] = self.submit(Call(identity), [address], priority=10)
        if self.threads or self._asked:
            self._at_work = time.monotonic()
        elif time.monotonic() > self._at_work + WITHOUT_WORKER_S:
            raise ClusterError(f"{self._address}: no worker is left that can make reports; {_KEPT}")

    def submit(self, call: Call, workers: Iterable[str], **options: Any) -> Any:
        """Have something called by one of some workers; return its future."""
        key = f"racecalc-{uuid.uuid4().hex}"
        wanted = {"key": key, "pure": False, "workers": sorted(workers)}
        return self.client.submit(pickle.loads, pickle.dumps(call), **wanted, **options)

    def ask_again(self) -> None:
        """Let every worker say anew who it is."""
        self.threads.clear()

    def gone(self) -> ClusterError:
        """Return what to raise where the scheduler is lost."""
        return ClusterError(f"{self._address}: the Dask scheduler was lost; {_KEPT}")

    def _there(self) -> dict[str, int]:
        try:
            if self.client.status == "running":
                return dict(self.client.nthreads(callback_timeout=_SILENT_S))
        except (OSError, RuntimeError, AttributeError) as error:
            raise self.gone() from error
        raise self.gone()

    def _unlike(self, future: Any) -> str:
        """Say why a worker may not work; nothing where it may."""
        try:
            if future.status == "finished":
                return unlike(future.result(timeout=PATIENCE_S), self.ours)
            return f"it cannot say what it has ({words_of(future.exception(timeout=PATIENCE_S))})"
        except Exception as error:  # it left at this moment, or what it sent cannot be read here
            return f"it cannot say what it has ({words_of(error)})"
        finally:
            future.release()


def words_of(error: BaseException) -> str:
    """Name an error, in one line."""
    return f"{type(error).__name__}: {' '.join(str(error).split())}"
