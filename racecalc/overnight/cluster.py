"""Work on a Dask cluster: tasks go out with their data as bytes, and reports come back as bytes.

No machine of the cluster needs the disk of another, and none publishes anything. Only as much goes
out as keeps every thread busy, so that the memory of this process does not grow with the horses.
"""

import logging
import re
import warnings
from collections.abc import Generator, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from itertools import chain
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from racecalc.errors import ClusterError
from racecalc.overnight.flights import Flights
from racecalc.overnight.machines import PATIENCE_S, Workers
from racecalc.overnight.pool import Pool
from racecalc.overnight.work import Hash

__all__ = ["LOCAL", "Cluster"]

LOCAL = "local"
"""The address that stands for a cluster of this machine's own, begun and ended with the run."""

_ADDRESS = re.compile(r"([a-z]+://)?[^/\s]+:\d+")
_INSTALL = ".venv/bin/pip install -c requirements.lock -e '.[cluster]'"


class Cluster:
    """Does tasks on a Dask cluster, as a context manager.

    Parameters
    ----------
    address : str
        Of the scheduler, such as ``tcp://host:8786``, or `LOCAL`.
    jobs : int
        How many processes of this machine look at slices, and work in a `LOCAL` cluster.
    seconds : float
        After this time without an answer a task's process is taken for lost.

    Raises
    ------
    ClusterError
        When entered: Dask is not installed, nobody answers, or a worker has another racecalc.
    """

    def __init__(self, address: str, jobs: int, seconds: float) -> None:
        self._address = address
        self._jobs = jobs
        self._seconds = seconds
        self._ends = ExitStack()

    def __enter__(self) -> "Cluster":
        with ExitStack() as ends:
            client = _connected(self._address, self._jobs, ends)
            self._workers = Workers(client, self._address)
            self._workers.wait()
            self._ends = ends.pop_all()
        return self

    def __exit__(self, *error: object) -> None:
        self._ends.close()

    def get_ready(self, scratch: Path) -> None:
        """Do nothing: its workers wait already."""

    def each(self, tasks: Iterable[Any]) -> Generator[tuple[Any, Any], None, None]:
        """Yield tasks with their answers, in the order in which they are done.

        Raises
        ------
        ClusterError
            If the scheduler, or every worker, is lost.
        """
        rest = iter(tasks)
        for first in rest:
            if isinstance(first, Hash):
                with Pool(self._jobs, self._seconds) as pool:
                    yield from pool.each(chain([first], rest))
            else:
                yield from Flights(self._workers, chain([first], rest), self._seconds).each()


def _connected(address: str, jobs: int, ends: ExitStack) -> Any:
    """Return a client; what was begun is ended with ``ends``."""
    try:
        import dask
        import distributed
    except ImportError as error:
        raise ClusterError(f"Dask is not installed here; install it: {_INSTALL}") from error
    ends.enter_context(_quiet())
    settings = {
        "distributed.comm.timeouts.connect": f"{PATIENCE_S}s",
        # The slice of a horse of a large barn is no mistake.
        "distributed.admin.large-graph-warning-threshold": "1GB",
    }
    ends.enter_context(dask.config.set(settings))
    if address == LOCAL:
        address = _begun(jobs, ends)
    elif not _ADDRESS.fullmatch(address):
        raise ClusterError(f"“{address}” is no address; write tcp://HOST:PORT, or {LOCAL}")
    try:
        with warnings.catch_warnings():
            # Dask compares versions, too; what matters to reports is compared by `Workers`.
            warnings.simplefilter("ignore")
            client = distributed.Client(address, timeout=PATIENCE_S, set_as_default=False)
            return ends.enter_context(client)
    except (OSError, ValueError, ImportError, RuntimeError) as error:
        raise ClusterError(
            f"{address}: no Dask scheduler answers there; is the address right, and does it run "
            "(dask scheduler)?"
        ) from error


def _begun(jobs: int, ends: ExitStack) -> str:
    """Begin a cluster on this machine; return the address of its scheduler."""
    from distributed import LocalCluster

    try:
        cluster = LocalCluster(
            n_workers=jobs,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            dashboard_address="127.0.0.1:0",
            scheduler_kwargs={"dashboard": False},
            local_directory=ends.enter_context(_scratch()),
            # A report has limits of its own, see `Limits`.
            memory_limit=None,
            silence_logs=logging.CRITICAL,
        )
    except (OSError, ValueError, RuntimeError) as error:
        raise ClusterError(f"no cluster can be begun on this machine: {error}") from error
    return str(ends.enter_context(cluster).scheduler_address)


@contextmanager
def _scratch() -> Iterator[str]:
    """Give the files of a cluster of our own a folder outside the current one."""
    with TemporaryDirectory(prefix="racecalc-", ignore_cleanup_errors=True) as folder:
        yield folder


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep what Dask tells itself off the error stream: what matters is said by us."""
    names = [
        name
        for name in logging.root.manager.loggerDict
        if name.partition(".")[0] in ("asyncio", "distributed", "tornado")
    ]
    levels = {name: logging.getLogger(name).level for name in ("asyncio", *names)}
    for name in levels:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        for name, level in levels.items():
            logging.getLogger(name).setLevel(level)
