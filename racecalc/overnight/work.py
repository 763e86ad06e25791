"""What a worker does: a task is plain data, and so is its answer.

Any process that has this package can do a task, on this machine or on another. It publishes
nothing: what it made goes back as bytes.
"""

import hashlib
import time
import traceback
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from racecalc.daybook import HorseBook
from racecalc.daybook.frozen import frozen_files, thaw
from racecalc.daybook.store import Store
from racecalc.errors import RacecalcError
from racecalc.report.engine import is_warm
from racecalc.report.finished import Limits, Report

__all__ = ["Hash", "Made", "Make", "failed", "hash_of", "slice_files"]


@dataclass(frozen=True)
class Hash:
    """Find the hashes of the slices of some horses of a store.

    Where a report names rows that were left out, their numbers are in it too.
    """

    store: Path
    horses: tuple[str, ...]

    def run(self) -> dict[str, str]:
        """Return the hashes by horse."""
        slices = {horse: _store(self.store).slice_for(horse) for horse in self.horses}
        return {horse: hash_of(piece) for horse, piece in slices.items()}


@dataclass(frozen=True)
class Made:
    """What became of a task.

    Attributes
    ----------
    report : Report, optional
        The report; None where it could not be made.
    cause : str
        Why not, in words.
    trace : str
        What a person who mends it wants to know, in lines.
    seconds : float
        How long it took.
    warm : bool
        Whether its workbook had a process that was warm, and limits.
    data : str
        The hash of the slice that it was made of, as `Hash` finds it.
    """

    report: Report | None
    cause: str = ""
    trace: str = ""
    seconds: float = 0.0
    warm: bool = True
    data: str = ""


@dataclass(frozen=True)
class Make:
    """Make a report.

    Attributes
    ----------
    horse : str
        The horse.
    parameters : mapping
        The parameters of the workbook.
    workbook : str
        Its file name.
    limits : Limits
        How long it may take, and how much memory.
    store : Path, optional
        Where the horse's slice can be read, where worker and store are on one machine.
    frozen : mapping of str to bytes
        The slice itself, where they are not: what `slice_files` returns.
    """

    horse: str
    parameters: Mapping[str, str]
    workbook: str
    limits: Limits
    store: Path | None = None
    frozen: Mapping[str, bytes] = field(default_factory=dict)

    def run(self) -> Made:
        """Make it; whatever goes wrong is told in the answer."""
        from racecalc.report.run import make  # who only hands out tasks does without

        began = time.monotonic()
        warm = is_warm()
        limits = self.limits if warm else None
        try:
            piece = self.slice()
            report = make(piece, self.parameters, self.workbook, limits)
        except Exception as error:  # a fault of ours in one horse's report is not another's
            return replace(failed(error, time.monotonic() - began), warm=warm)
        seconds = time.monotonic() - began
        return Made(report, seconds=seconds, warm=warm, data=hash_of(piece))

    def slice(self) -> HorseBook:
        """Return the slice that the report is made of."""
        if self.store is not None:
            return _store(self.store).slice_for(self.horse)
        return thaw(self.frozen)


def hash_of(piece: HorseBook) -> str:
    """Return the hash of a slice, and of what was left out of it where a report tells that."""
    if not piece.left_out:
        return piece.data_hash
    named = "\n".join([piece.data_hash, *piece.left_out])
    return hashlib.sha256(named.encode()).hexdigest()


def slice_files(store: Path, horse: str) -> dict[str, bytes]:
    """Return the slice of a horse as files, to be sent to another machine."""
    return frozen_files(_store(store).slice_for(horse))


@lru_cache(maxsize=1)
def _store(folder: Path) -> Store:
    return Store(folder)


def failed(error: Exception, seconds: float = 0.0) -> Made:
    """Return what became of a task that raised."""
    cause = str(error)
    if not isinstance(error, RacecalcError):
        cause = f"a fault in racecalc itself: {type(error).__name__}: {' '.join(cause.split())}"
    return Made(None, cause, "".join(traceback.format_exception(error)), seconds)
