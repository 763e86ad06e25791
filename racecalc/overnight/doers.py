"""Who does the work of a run: processes of this machine, or a cluster."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

from racecalc.overnight.cluster import Cluster
from racecalc.overnight.plan import Doer
from racecalc.overnight.pool import Pool
from racecalc.report.engine import is_available
from racecalc.report.finished import Limits

__all__ = ["doer_of", "how_slowly"]

# Beside the workbook's own limit: pages, and a kernel where there is no warm process.
_SPARE_S = 120


def how_slowly(slow: int = 0) -> str:
    """Say that reports take longer on this system; nothing where they do not.

    ``slow`` is of how many in a run the workbook had no warm process.
    """
    if not is_available():
        return (
            "this system cannot keep a workbook's process warm: each report starts one of its own, "
            "and the limits of time and memory do not hold"
        )
    if not slow:
        return ""
    return (
        "the process that keeps warm for workbooks could not be started, for want of memory or "
        f"because a library cannot be imported: {slow} of the workbooks ran "
        "without it, and without limits of time and memory"
    )


@contextmanager
def doer_of(jobs: int | None, limits: Limits, dask: str | None = None) -> Iterator[Doer]:
    """Give who does the work, and end it afterwards.

    Parameters
    ----------
    jobs : int, optional
        How many processes; None for one on each core.
    limits : Limits
        Of each report.
    dask : str, optional
        The address of the scheduler of a Dask cluster, or `cluster.LOCAL`; None: without one.

    Raises
    ------
    ClusterError
        If the cluster cannot be used.
    """
    count, seconds = jobs or _cores(), limits.seconds + _SPARE_S
    with (
        Cluster(dask, count, seconds)
        if dask is not None
        else Pool(count, seconds, ready=True) as doer
    ):
        yield doer


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
