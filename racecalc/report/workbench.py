"""A trainer's own copy of the workbooks beside the book, and JupyterLab on it."""

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import nbformat
import pandas as pd

from racecalc.daybook import Book
from racecalc.errors import ReportError
from racecalc.report.places import workbooks_folder
from racecalc.report.run import publish
from racecalc.report.single import WORK_REVIEW

__all__ = ["lab_command", "open_lab", "prepare"]

# Remembers each copy as it was put there, to tell an edited one from an old one.
_LEDGER = ".copies.json"


def prepare(book: Book, path: Path) -> tuple[Path, tuple[str, ...]]:
    """Put a copy of every workbook beside the daybook, set to its first horse and newest month.

    Parameters
    ----------
    book : Book
        The daybook, read.
    path : Path
        Where it is; the copies go to a folder of the same name with ``-workbooks`` added.

    Returns
    -------
    tuple
        The folder, and the names of the copies that were left alone because somebody edited them.

    Raises
    ------
    ReportError
        If the book holds no horse.
    OSError
        If the copies cannot be written.
    """
    if book.tables["horses"].empty:
        raise ReportError("the daybook holds no horse yet; add one to horses, then open the lab")
    path = path.resolve()
    folder = path.with_name(f"{path.stem if path.is_file() else path.name}-workbooks")
    remembered = _remembered(folder)
    copies: dict[str, bytes] = {}
    kept = []
    for source in sorted(workbooks_folder().glob("*.ipynb")):
        target = folder / source.name
        if target.exists() and _fingerprint(target.read_bytes()) != remembered.get(source.name):
            kept.append(source.name)
        else:
            copies[source.name] = _set_to(source, book, path)
    prints = remembered | {name: _fingerprint(content) for name, content in copies.items()}
    publish(copies | {_LEDGER: json.dumps(prints, indent=1).encode()}, folder)
    return folder, tuple(kept)


def lab_command(folder: Path, *, browser: bool) -> list[str]:
    """Return the command that opens JupyterLab: this machine only, its token kept."""
    command = [sys.executable, "-m", "jupyterlab", "--ServerApp.ip=127.0.0.1"]
    command += [f"--ServerApp.root_dir={folder}"]
    return command if browser else [*command, "--no-browser"]


def open_lab(folder: Path, *, browser: bool) -> int:
    """Run JupyterLab on a folder until it is closed; return its exit status.

    Where the system can, JupyterLab takes the place of this process, so that a signal that ends
    the one ends the other.
    """
    command = lab_command(folder, browser=browser)
    if os.name == "posix":
        os.execv(command[0], command)
    return subprocess.run(command, check=False).returncode


def _remembered(folder: Path) -> dict[str, str]:
    try:
        found = json.loads((folder / _LEDGER).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _fingerprint(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _set_to(source: Path, book: Book, path: Path) -> bytes:
    """Return the workbook with its parameters set to this book."""
    notebook = nbformat.read(source, as_version=4)
    values = {
        "horse": str(book.tables["horses"]["horse"].iloc[0]),
        "month": _newest_month(book),
        "until": "",
        "daybook": f"../{path.name}",
        **_newest_work(book, source.name),
    }
    for cell in notebook.cells:
        if "parameters" in cell.metadata.get("tags", ()):
            cell.source = "\n".join(_line(line, values) for line in cell.source.splitlines())
    text: str = nbformat.writes(notebook)
    return f"{text}\n".encode()


def _line(line: str, values: dict[str, str]) -> str:
    name, _, rest = line.partition(" = ")
    if name not in values:
        return line
    _, mark, comment = rest.partition("  #")
    return f"{name} = {values[name]!r}{mark}{comment}"


def _newest_work(book: Book, workbook: str) -> dict[str, str]:
    """Return where the newest work was, and for its review which it was and whose."""
    works = book.tables["works"].sort_values(["date", "work"], kind="stable")
    if works.empty:
        tracks = book.tables["tracks"]
        track = {} if tracks.empty else {"track": str(tracks["track"].iloc[0])}
        return {"work": ""} | track
    newest = works.iloc[-1]
    if workbook == WORK_REVIEW:
        return {"horse": str(newest["horse"]), "work": str(newest["work"])}
    return {"track": str(newest["track"])}


def _newest_month(book: Book) -> str:
    days = [book.tables[table]["date"].max() for table in ("exercise", "works", "measurements")]
    known = [day for day in days if pd.notna(day)]
    return f"{max(known):%Y-%m}" if known else "2026-01"
