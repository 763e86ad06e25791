"""Running a workbook for one horse and publishing what it made.

The workbook runs in a folder of its own that holds a copy of it and the horse's frozen slice of the
daybook, nothing else. Only finished files reach the reader's folder, each under its final name in
one step, so that a failed run leaves the report of the run before as it was.
"""

import glob
import json
import logging
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict
from errno import EISDIR
from pathlib import Path
from typing import Any

import nbformat
import orjson
import papermill
from jupyter_client.manager import AsyncKernelManager
from nbformat.v4.rwbase import split_lines
from papermill.engines import papermill_engines
from papermill.execute import raise_for_execution_errors
from traitlets.config import Config

from racecalc.daybook import HorseBook, freeze
from racecalc.errors import ReportError
from racecalc.report.blocks import Block, blocks_of, numbers_in
from racecalc.report.checks import check
from racecalc.report.engine import ENGINE, begin, is_available
from racecalc.report.finished import MONTHLY, Limits, Report
from racecalc.report.html import page_of
from racecalc.report.pdf import paper_of
from racecalc.report.places import workbooks_folder

__all__ = ["MONTHLY", "Limits", "Report", "get_ready", "make", "publish"]

# A cell that takes longer than this hangs; the longest here takes about a second.
_CELL_TIMEOUT_S = 300
_SLICE = "slice"
_KERNEL = "python3"
_LINES = orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE

# The least that is a report.
_FIRST_PAGE = """[
 {"block": "masthead", "name": "a", "when": "b", "day": "2000-01-01", "subtitle": "c",
  "audience": "d", "barn": "e", "language": "en", "paper": "a4"},
 {"block": "picture", "title": "f", "alt": "a point",
  "spec": {"mark": "point", "data": {"values": [{"x": 1}]},
           "encoding": {"x": {"field": "x", "type": "quantitative"}}}},
 {"block": "numbers", "numbers": []}
]"""

# A socket's path may have 107 bytes; the kernel adds a dash and a number.
_LONGEST_SOCKET = 100


def make(
    record: HorseBook,
    asked: Mapping[str, Any],
    workbook: str = MONTHLY,
    limits: Limits | None = None,
) -> Report:
    """Run a report workbook on one horse's slice and set its pages.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook; the workbook can read nothing else.
    asked : mapping
        The workbook's parameters, such as ``horse`` and ``month``; ``daybook`` is added here.
    workbook : str
        File name of the workbook.
    limits : Limits, optional
        Where given the workbook runs within them in a copy of a process that stays warm: for many
        reports, where the system allows it (`engine.is_available`). The outputs are the same.

    Returns
    -------
    Report
        ``report.html``, ``report.pdf``, ``report.json`` and ``report.ipynb``.

    Raises
    ------
    ReportError
        If the workbook stops, does not reach its end, its pages cannot be set, or are not what a
        report must be (`checks.check`).
    """
    with tempfile.TemporaryDirectory(prefix="racecalc-") as scratch:
        folder = Path(scratch)
        shutil.copyfile(workbooks_folder() / workbook, folder / "workbook.ipynb")
        freeze(record, folder / _SLICE)
        notebook = _execute(folder, {**asked, "daybook": _SLICE}, limits)
    _forget_the_run(notebook)
    blocks = blocks_of(notebook)
    numbers = numbers_in(blocks)
    files = {
        "report.html": page_of(blocks).encode(),
        "report.pdf": paper_of(blocks),
        "report.json": orjson.dumps(numbers, option=_LINES),
        "report.ipynb": orjson.dumps(split_lines(notebook), option=_LINES | orjson.OPT_SORT_KEYS),
    }
    check(blocks, files, asked.get("horse") or None)
    return Report(
        files,
        recorded=bool(numbers.get("recorded", True)),
        day=str(numbers.get("day", blocks[0]["day"])),
        summary=_summary(blocks),
    )


def _summary(blocks: list[Block]) -> tuple[str, ...]:
    leads = [b["paragraphs"] for b in blocks if b["block"] == "prose" and b["style"] == "lead"]
    return tuple(leads[0]) if leads else ()


def get_ready() -> None:
    """Do what costs more the first time: begin the warm process, draw a chart, set a page."""
    if is_available():
        begin()
    blocks: list[Block] = json.loads(_FIRST_PAGE)
    page_of(blocks)
    paper_of(blocks)


def publish(files: dict[str, bytes], folder: Path) -> None:
    """Write files under their final names, whole or not at all.

    Raises
    ------
    OSError
        If the folder cannot be made or written; what stood there before still stands.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name in files:
        if (folder / name).is_dir():
            raise IsADirectoryError(EISDIR, "is a folder; move it away", str(folder / name))
    _sweep(folder, files)
    waiting = {name: folder / f".{name}.{os.getpid()}" for name in files}
    try:
        for name, path in waiting.items():
            with path.open("wb") as file:
                file.write(files[name])
                file.flush()
                os.fsync(file.fileno())
        for name, path in waiting.items():
            path.replace(folder / name)
    finally:
        for path in waiting.values():
            path.unlink(missing_ok=True)


def _sweep(folder: Path, names: Iterable[str]) -> None:
    """Remove what a run that was killed left waiting; a run at work would be harmed by it."""
    for name in names:
        for path in folder.glob(f".{glob.escape(name)}.*"):
            if path.suffix[1:].isdecimal() and not _is_running(int(path.suffix[1:])):
                path.unlink(missing_ok=True)


def _is_running(process: int) -> bool:
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _execute(
    folder: Path, parameters: dict[str, Any], limits: Limits | None = None
) -> nbformat.NotebookNode:
    source = str(folder / "workbook.ipynb")
    known = set(papermill.inspect_notebook(source))
    if known != set(parameters):
        raise ReportError(
            f"the workbook takes the parameters {', '.join(sorted(known)) or 'none'}, but "
            f"{', '.join(sorted(parameters))} were given. Mend its cell tagged “parameters”."
        )
    with _quiet_libraries(), _plain_kernel(folder):
        try:
            executed: nbformat.NotebookNode = papermill.execute_notebook(
                source,
                None,
                parameters=parameters,
                prepare_only=limits is not None,
                cwd=str(folder),
                progress_bar=False,
                kernel_name=_KERNEL,
                **({} if limits else _kernel_settings(folder)),
            )
            return _execute_warm(executed, folder, limits) if limits else executed
        except papermill.PapermillExecutionError as error:
            raise ReportError(f"the workbook stopped: {error.ename}: {error.evalue}") from error
        except Exception as error:  # a dead kernel, a time-out: each library has its own family
            raise ReportError(f"the workbook could not be run: {error}") from error


class _SilentKernelManager(AsyncKernelManager):
    """Starts kernels that do not write among our own lines.

    A kernel that is told to end may find its sockets closed first and remark on it with a
    traceback. What goes wrong in a cell reaches us as the output of that cell.
    """

    async def start_kernel(self, **settings: Any) -> None:  # type: ignore[override]
        """Start the kernel with its own output and error streams closed to it."""
        silent = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        await super().start_kernel(**{**settings, **silent})


def _execute_warm(
    prepared: nbformat.NotebookNode, folder: Path, limits: Limits
) -> nbformat.NotebookNode:
    """Do what papermill does with a notebook that it has prepared, but for writing it out."""
    executed: nbformat.NotebookNode = papermill_engines.execute_notebook_with_engine(
        ENGINE, prepared, _KERNEL, folder=str(folder), **asdict(limits)
    )
    raise_for_execution_errors(executed, None)
    return executed


def _kernel_settings(folder: Path) -> dict[str, Any]:
    """Let the kernel be reached through files of the run's own folder, where the system can.

    TCP on loopback would work too, but other users of the machine could listen, and ports run out
    when many reports are made at once.
    """
    settings = Config({"NotebookClient": {"kernel_manager_class": _SilentKernelManager}})
    socket = str(folder / "kernel")
    if os.name == "posix" and len(os.fsencode(socket)) < _LONGEST_SOCKET:
        settings.KernelManager = Config({"transport": "ipc", "ip": socket})
    return {"execution_timeout": _CELL_TIMEOUT_S, "config": settings}


@contextmanager
def _quiet_libraries() -> Iterator[None]:
    """Keep papermill's own progress off the error stream; our log says what matters."""
    logger = logging.getLogger("papermill")
    level = logger.level
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        logger.setLevel(level)


@contextmanager
def _plain_kernel(folder: Path) -> Iterator[None]:
    """Keep a user's own IPython start-up files out of the kernel: a report depends on its book."""
    before = os.environ.get("IPYTHONDIR")
    os.environ["IPYTHONDIR"] = str(folder / "ipython")
    try:
        yield
    finally:
        if before is None:
            del os.environ["IPYTHONDIR"]
        else:
            os.environ["IPYTHONDIR"] = before


def _forget_the_run(notebook: nbformat.NotebookNode) -> None:
    """Drop times, paths and random ids, so that one input makes one sequence of bytes."""
    notebook.metadata.pop("papermill", None)
    # The values of this run take the place of the workbook's own, which name another horse.
    given = next(cell for cell in notebook.cells if _has_tag(cell, "injected-parameters"))
    notebook.cells.remove(given)
    for cell in notebook.cells:
        metadata: dict[str, Any] = cell.metadata
        for key in ("papermill", "execution"):
            metadata.pop(key, None)
        if _has_tag(cell, "parameters"):
            cell.source = given.source


def _has_tag(cell: nbformat.NotebookNode, tag: str) -> bool:
    return tag in cell.metadata.get("tags", ())
