"""Stands in for workbooks and processes, to look at the run alone."""

from collections.abc import Callable, Generator, Iterable
from pathlib import Path
from typing import Any

from racecalc import overnight
from racecalc.overnight.pool import Lost
from racecalc.overnight.work import Hash, Made, Make, hash_of
from racecalc.report.run import Limits, Report

__all__ = ["MONTH", "PAGE", "Here", "report_of", "run_here"]

MONTH = "2026-10"
PAGE = "report.html"


def report_of(task: Make) -> Made | Lost:
    """Return a page that tells the horse, and what its slice was when it was made."""
    piece = task.slice()
    content = f"{task.horse} {piece.data_hash}".encode()
    files = {PAGE: content, "report.pdf": content[::-1], "report.json": b"{}", "report.ipynb": b""}
    report = Report(files, recorded=task.horse != "007", day="2026-10-31", summary=("Fine.",))
    return Made(report, data=hash_of(piece))


class Here:
    """Does tasks in this process, one after another; ``makes`` stands for the workbook.

    ``made`` lists the horses whose reports were asked for.
    """

    def __init__(self, makes: Callable[[Make], Made | Lost] = report_of) -> None:
        self.makes = makes
        self.made: list[str] = []

    def get_ready(self, scratch: Path) -> None:
        pass

    def each(self, tasks: Iterable[Any]) -> Generator[tuple[Any, Any], None, None]:
        for task in tasks:
            if isinstance(task, Hash):
                yield task, task.run()
            else:
                self.made.append(task.horse)
                yield task, self.makes(task)


def run_here(
    book: Path,
    out: Path,
    doer: Here | None = None,
    told: Callable[..., None] = lambda *said: None,
    **asked: Any,
) -> overnight.Finished:
    """Run over a book without another process but the one that reads it."""
    wanted = overnight.Asked(**{"month": MONTH, **asked})
    return overnight.run(book, out, wanted, doer or Here(), Limits(), told)
