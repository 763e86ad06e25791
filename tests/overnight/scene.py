"""A stable whose reports are made by a stand-in, through the command, to look at what faults do.

The book is read once for each of its contents, in this process, so that hundreds of runs take
seconds. Everything that a run writes is written by the run itself.
"""

import calendar
import json
import shutil
import tempfile
from collections.abc import Generator, Iterable, Iterator
from contextlib import ExitStack, contextmanager, nullcontext
from importlib import import_module
from pathlib import Path
from typing import Any
from unittest import mock

from racecalc.overnight import prepare
from racecalc.overnight.pool import Lost
from racecalc.overnight.work import Hash, Made, Make
from racecalc.report.run import Report
from tests.command import Done, racecalc_here
from tests.daybook.stable import TABLES, write_book

__all__ = [
    "FILES",
    "LAST_MONTH",
    "MONTH",
    "Scene",
    "changed_works",
    "content_of",
    "published",
    "tree",
]

MONTH, LAST_MONTH = "2026-10", "2026-09"
FILES = ("report.html", "report.pdf", "report.json", "report.ipynb")

# Books that were read, by their contents, and what an undisturbed run makes of each.
_READ: dict[str, tuple[prepare.Known, Path, dict[str, str]]] = {}
_UNDISTURBED: dict[str, dict[str, bytes]] = {}
_STORES = tempfile.TemporaryDirectory(prefix="stores-")
_PARTS = ("workbook", "templates", "racecalc", "libraries", "fonts")


def content_of(horse: str, stamp: str, name: str) -> bytes:
    """Return a file of a report: long enough to be torn, and the same stamp in each."""
    return json.dumps({"horse": horse, "stamp": stamp, "file": name, "fill": "x" * 300}).encode()


def changed_works(seconds: int) -> str:
    """Return the works of the stable, that of brindle run in another time."""
    return TABLES["works"].replace("1:01 2/5", f"1:0{seconds} 2/5")


def tree(folder: Path) -> dict[str, bytes]:
    """Return all files of a folder, by path."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(files)}


class Scene:
    """A book, a folder of reports, and what a report depends on besides the book.

    Parameters
    ----------
    folder : Path
        Where both are.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.book = folder / "book"
        self.out = folder / "reports"
        self.parts = dict.fromkeys(_PARTS, "first")
        self.bad: set[str] = set()
        self.made: list[str] = []
        self._tables: dict[str, str | bytes | None] = {}
        self.write()

    def write(self, **tables: str | bytes | None) -> None:
        """Change tables of the book."""
        self._tables |= tables
        write_book(self.book, **self._tables)

    def known(self) -> prepare.Known:
        """Return what a run knows of the book as it is now."""
        return self._of_book()[0]

    def stamp(self, horse: str, hashed: str) -> str:
        """Return what tells a report from one that was made of other data or by other code."""
        return f"{hashed[:12]} {' '.join(self.parts.values())}"

    def run(self, *options: str, out: Path | None = None, month: str = MONTH) -> Done:
        """Run the command in this process."""
        self.made.clear()
        folder = out or self.out
        asked = ["overnight", self.book, "--month", month, "--out", folder, "--drafts", *options]
        with self.staged():
            return racecalc_here(*asked)

    @contextmanager
    def staged(self) -> Iterator[None]:
        """Let the book be read here, reports be made of nothing, and no disk be too small."""
        parts = dict(self.parts)
        with ExitStack() as stack:
            for name, stand_in in {
                "racecalc.overnight.plan.prepare": self._prepare,
                "racecalc.overnight.keys._of_all_reports": lambda workbook: parts,
                "racecalc.overnight.doer_of": lambda *asked: nullcontext(self),
                "racecalc.overnight.run._BYTES_A_REPORT": 0,
            }.items():
                module, _, attribute = name.rpartition(".")
                # The package offers a function under the name of the module `run`.
                stack.enter_context(mock.patch.object(import_module(module), attribute, stand_in))
            yield

    def get_ready(self, scratch: Path) -> None:
        pass

    def each(self, tasks: Iterable[Any]) -> Generator[tuple[Any, Any], None, None]:
        """Do tasks, as a pool does."""
        for task in tasks:
            yield task, self._hashes(task) if isinstance(task, Hash) else self.make(task)

    def make(self, task: Make) -> Made | Lost:
        """Make a report of nothing."""
        self.made.append(task.horse)
        if task.horse in self.bad:
            return Made(None, "the workbook stopped: ValueError: no", "Traceback\n  here\n")
        if task.store is None or not task.store.exists():
            return Made(None, "a fault in racecalc itself: FileNotFoundError: no store")
        hashed = self._of_store(task.store)[task.horse]
        stamp = self.stamp(task.horse, hashed)
        files = {name: content_of(task.horse, stamp, name) for name in FILES}
        year, month = map(int, task.parameters["month"].split("-"))
        day = f"{year}-{month:02}-{calendar.monthrange(year, month)[1]}"
        report = Report(files, recorded=task.horse != "007", day=day, summary=("All well.",))
        return Made(report, data=hashed)

    def undisturbed(self) -> dict[str, bytes]:
        """Return what a run puts into an empty folder when nothing goes wrong."""
        mark = f"{prepare.fingerprint(self.book)} {self.parts} {sorted(self.bad)}"
        if mark not in _UNDISTURBED:
            place = self.folder / "undisturbed"
            shutil.rmtree(place, ignore_errors=True)
            made = list(self.made)
            self.run(out=place)
            self.made[:] = made
            _UNDISTURBED[mark] = published(place)
        return _UNDISTURBED[mark]

    def _prepare(self, book: Path, folder: Path) -> prepare.Known:
        known, store, _ = self._of_book()
        folder.symlink_to(store)
        return known

    def _hashes(self, task: Hash) -> dict[str, str]:
        return {horse: self._of_store(task.store)[horse] for horse in task.horses}

    def _of_store(self, store: Path | None) -> dict[str, str]:
        assert store is not None
        return next(hashes for _, own, hashes in _READ.values() if own == store.resolve())

    def _of_book(self) -> tuple[prepare.Known, Path, dict[str, str]]:
        mark = prepare.fingerprint(self.book)
        if mark not in _READ:
            store = Path(_STORES.name).resolve() / mark[:16]
            store.mkdir()
            known = prepare._read(self.book.resolve(), store)
            _READ[mark] = known, store, Hash(store, tuple(known.names)).run()
        return _READ[mark]


def published(out: Path) -> dict[str, bytes]:
    """Return what readers find of the month: reports, owners' folders and the causes of failures.

    The index, the manifest and the log tell of a run, and differ from one to the next.
    """
    places = (out / MONTH, out / "owners" / MONTH)
    found = {}
    for place in places:
        for name, content in tree(place).items():
            if place != out / MONTH or ("/" in name and not name.endswith(".log")):
                found[f"{place.relative_to(out).as_posix()}/{name}"] = content
    return found
