"""A papermill engine that runs a workbook in a process forked from one that stays warm.

Starting a kernel and importing what a report needs takes about as long as all the rest of a report.
Here both are done once; each workbook then has a fresh copy of that process, so that no report
knows of another. `report.run` takes it for many reports, and papermill's own engine for one.
"""

import atexit
import contextlib
import json
import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path
from typing import Any

import nbformat
import orjson

from racecalc.report.zygote import ANSWER, READY, forked, main

__all__ = ["ENGINE", "WarmEngine", "begin", "fork", "is_available", "is_warm"]

ENGINE = "racecalc-warm"
"""The name under which papermill finds it."""

_MODULE = "racecalc.report.zygote"
# A process that could not become warm so often will not for this workbook.
_TRIES = 2
_NO_WARM_PROCESS = "the process that runs workbooks ended"


def is_available() -> bool:
    """Return whether this system can fork a process together with all that it has loaded."""
    return sys.platform == "linux"


class _Forked:
    """A warm process that is a fork of this one, with as much of `subprocess.Popen` as it needs."""

    def __init__(self) -> None:
        asked, ask = os.pipe()
        answer, answered = os.pipe()
        self.stdin = os.fdopen(ask, "w", encoding="utf-8")
        self.stdout = os.fdopen(answer, encoding="utf-8")
        nowhere = os.open(os.devnull, os.O_WRONLY)
        try:
            self._number = forked((asked, answered, nowhere), partial(main, warm=True))
        finally:
            for stream in (asked, answered, nowhere):
                os.close(stream)

    def poll(self) -> int | None:
        """Return None while it runs."""
        ended = os.waitid(os.P_PID, self._number, os.WEXITED | os.WNOHANG | os.WNOWAIT)
        return ended.si_status if ended else None

    def kill(self) -> None:
        """Tell it to end."""
        os.kill(self._number, signal.SIGKILL)

    def communicate(self) -> None:
        """Wait for its end."""
        os.waitpid(self._number, 0)
        self.stdout.close()
        self.stdin.close()


class _Warm:
    """The warm process of this one: begun when first asked, and anew after it has ended."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | _Forked | None = None
        self._is_ready = False

    def run(self, request: dict[str, Any]) -> str | None:
        """Have a workbook run, see `racecalc.report.zygote`; return why it was not, if so."""
        process = self.ready()
        if process is None:
            return _NO_WARM_PROCESS
        said = ""
        if process.stdin and process.stdout:
            with contextlib.suppress(BrokenPipeError):
                process.stdin.write(json.dumps(request) + "\n")
                process.stdin.flush()
                said = process.stdout.readline()
        if not said:
            self._let_go(process)
            return _NO_WARM_PROCESS
        why: str | None = json.loads(said)["why"]
        return why

    def ready(self) -> "subprocess.Popen[str] | _Forked | None":
        """Wait until the process is warm; return it, or None where it cannot become so."""
        for _ in range(_TRIES):
            with contextlib.suppress(OSError):
                process = self._running()
                if not self._is_ready and process.stdout:
                    self._is_ready = process.stdout.readline() == READY
                if self._is_ready:
                    return process
                self._let_go(process)
        return None

    def end(self) -> None:
        """End the process, if there is one."""
        if self._process is not None:
            self._let_go(self._process)

    def _let_go(self, process: "subprocess.Popen[str] | _Forked") -> None:
        self._process, self._is_ready = None, False
        with contextlib.suppress(BrokenPipeError):
            process.kill()
            process.communicate()

    def _running(self) -> "subprocess.Popen[str] | _Forked":
        if self._process is not None and self._process.poll() is not None:
            self._let_go(self._process)
        if self._process is None:
            # A session of its own: Ctrl-C reaches us, and its end follows from ours.
            self._is_ready = False
            self._process = subprocess.Popen(
                [sys.executable, "-m", _MODULE],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                encoding="utf-8",
                start_new_session=True,
                env={**os.environ, "PYTHONIOENCODING": "utf-8"},
            )
        return self._process

    def begin(self) -> None:
        """Begin the process before it is asked."""
        self._running()

    def fork(self) -> None:
        """Make a fork of this process the warm one."""
        self._process = _Forked()


_WARM = _Warm()
atexit.register(_WARM.end)


def is_warm() -> bool:
    """Return whether workbooks can run warm: whether the system can, and the process begins."""
    return is_available() and _WARM.ready() is not None


def begin() -> None:
    """Begin the warm process: a workbook will come soon."""
    _WARM.begin()


def fork() -> None:
    """Take a fork of this process for the warm one: `zygote.warm_up` was done, and no thread is."""
    _WARM.fork()


class WarmEngine:
    """Runs the code cells of a workbook, in order, up to the first that raises.

    Papermill asks an engine for these three; it looks for engines while it is imported itself, so
    that nothing of it can be imported here before.
    """

    @staticmethod
    def execute_notebook(
        nb: nbformat.NotebookNode,
        kernel_name: str,
        *,
        folder: str,
        seconds: float,
        megabytes: float,
        **unused: Any,
    ) -> nbformat.NotebookNode:
        """Run a workbook in a folder, within limits.

        Raises
        ------
        RuntimeError
            If its process ended before it was done, took too long or too much memory.
        """
        cells = [cell for cell in nb.cells if cell.cell_type == "code"]
        sources = [cell.source for cell in cells]
        limits = {"seconds": seconds, "megabytes": megabytes}
        why = _WARM.run({"folder": folder, "cells": sources, **limits})
        if why:
            raise RuntimeError(why)
        ran = orjson.loads((Path(folder) / ANSWER).read_bytes())
        if isinstance(ran, dict):
            raise RuntimeError(ran["why"])
        # After a cell that raised there are fewer answers than cells.
        for cell, given in zip(cells, ran, strict=False):
            # What an output carries stays as it was read: it is large.
            cell.outputs = [nbformat.NotebookNode(output) for output in given["outputs"]]
            cell.execution_count = given["execution_count"]
        return nb

    @staticmethod
    def nb_kernel_name(nb: nbformat.NotebookNode, name: str | None = None) -> str:
        """Return the kernel asked for, or that of the workbook."""
        return str(name or nb.metadata.kernelspec.name)

    @staticmethod
    def nb_language(nb: nbformat.NotebookNode, language: str | None = None) -> str:
        """Return the language asked for, or that of the workbook."""
        return str(language or nb.metadata.kernelspec.get("language", "python"))
