"""Putting files where readers find them: whole, lasting, and all of a report at once."""

import ctypes
import os
import shutil
import sys
from collections.abc import Iterable, Mapping
from errno import EDQUOT, ENOSPC, ENOTDIR, EROFS
from pathlib import Path

__all__ = ["FULL", "put_file", "put_folder", "write_folder"]

FULL = (ENOSPC, EDQUOT, EROFS)
"""After such an error nothing more can be written at all."""

_AT_CWD = -100
_EXCHANGE = 2


def put_file(path: Path, content: bytes) -> None:
    """Write a file under its name in one step, and onto the disk itself.

    Raises
    ------
    OSError
        If it cannot be written; what stood there before still stands.
    """
    waiting = path.with_name(f".{path.name}.part")
    try:
        _write(waiting, content)
        waiting.replace(path)
    except OSError:
        waiting.unlink(missing_ok=True)
        raise
    _sync(path.parent)


def write_folder(folder: Path, files: Mapping[str, bytes | Path]) -> None:
    """Write the files of a new folder onto the disk; of a path, a copy of what it holds.

    The folder that it will be in must be there: nothing is written where reports were taken away.
    """
    folder.mkdir()
    for name, content in files.items():
        _write(folder / name, content if isinstance(content, bytes) else content.read_bytes())
    _sync(folder)


def put_folder(made: Path, target: Path, ours: Iterable[str]) -> None:
    """Let a finished folder take the place of another in one step, and remove that other.

    What the old folder held beside ``ours`` was put there by somebody and is linked, or copied,
    along. On Linux the two change places, so that a reader, or a loss of power, finds the old
    report or the new one. Where the system cannot do this each file is replaced by itself.

    Raises
    ------
    OSError
        If the folder cannot be put there; what stood there before still stands.
    """
    if target.is_dir():
        _take_along(target, made, set(ours))
        if _exchange(made, target):
            # What came in between.
            _take_along(made, target, set(ours))
        else:
            _replace_each(made, target, set(ours))
        shutil.rmtree(made, ignore_errors=True)
    elif target.exists() or target.is_symlink():
        raise NotADirectoryError(ENOTDIR, "is a file; move it away", str(target))
    else:
        made.rename(target)
    _sync(target.parent)


def _take_along(old: Path, new: Path, ours: set[str]) -> None:
    for path in old.iterdir():
        beside = new / path.name
        if path.name in ours:
            continue
        if path.is_dir() and not path.is_symlink():
            beside.mkdir(exist_ok=True)
            _take_along(path, beside, set())
            shutil.copystat(path, beside)
        elif not beside.exists() and not beside.is_symlink():
            _link(path, beside)
    _sync(new)


def _replace_each(made: Path, target: Path, ours: set[str]) -> None:
    files = [path for path in made.iterdir() if path.is_file()]
    for path in files:
        path.replace(target / path.name)
    for name in ours - {path.name for path in files}:
        (target / name).unlink(missing_ok=True)


def _exchange(one: Path, other: Path) -> bool:
    """Let two folders change their names at once; return whether the system can."""
    if sys.platform != "linux":
        return False
    rename = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if rename is None:
        return False
    return bool(rename(_AT_CWD, os.fsencode(one), _AT_CWD, os.fsencode(other), _EXCHANGE) == 0)


def _link(source: Path | str, target: Path | str) -> None:
    """Give a file a second name: what is on the disk already need not be written again."""
    try:
        os.link(source, target, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(source, target, follow_symlinks=False)
        if not Path(target).is_symlink():
            _sync(target)


def _write(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync(path: Path | str) -> None:
    """Bring the names in a folder, or a file, onto the disk, where the system knows how to."""
    if os.name != "posix":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
