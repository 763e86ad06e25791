"""One run at a time in one folder of reports.

The lock is the operating system's own, on an open file: it ends with the process that holds it,
however that ends, so that no lock is ever left behind. What the file says is for people.
"""

import json
import os
import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import IO

from racecalc.errors import LockedError

__all__ = ["locked", "now"]


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock on a file while the block runs; the file is made, and stays.

    Raises
    ------
    LockedError
        If another process holds it.
    OSError
        If the file cannot be written.
    """
    path.parent.parent.mkdir(parents=True, exist_ok=True)
    # It holds what is not for everybody, such as owners' addresses.
    path.parent.mkdir(mode=0o700, exist_ok=True)
    # Not emptied before it is ours: until then it says whose it is.
    with path.open("a+", encoding="utf-8") as file:
        if not _taken(file):
            raise LockedError(f"{path.parent.parent}: another run is at work there{_who(path)}")
        file.truncate(0)
        holder = {"process": os.getpid(), "host": socket.gethostname(), "since": now()}
        file.write(json.dumps(holder) + "\n")
        file.flush()
        yield


def _taken(file: IO[str]) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _who(path: Path) -> str:
    try:
        holder = json.loads(path.read_text("utf-8"))
        return f" (process {holder['process']} on {holder['host']}, since {holder['since']})"
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def now(exact: str = "seconds") -> str:
    """Return the time of the clock as ISO 8601 has it."""
    return datetime.now().astimezone().isoformat(timespec=exact)
