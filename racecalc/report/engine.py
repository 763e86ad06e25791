"""A papermill engine that runs a workbook in a process forked from one that stays warm.

Starting a kernel and importing what a report needs takes about as long as all the rest of a report.
Here both are done once; each workbook then has a fresh copy of that process, so that no report
knows of another. `report.run` takes it for many reports, and papermill's own engine for one.
"""

import atexit
import contextlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import nbformat
import orjson

from racecalc.report.zygote import ANSWER

__all__ = ["ENGINE", "WarmEngine", "begin", "is_available"]

ENGINE = "racecalc-warm"
"""The name under which papermill finds it."""

_NO_WARM_PROCESS = "the process that runs workbooks ended"


def is_available() -> bool:
    """Return whether this system can fork a process together with all that it has loaded."""
    return sys.platform == "linux"


class _Warm:
    """The warm process of this one: begun when first asked, and anew after it has ended."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None

    def run(self, request: dict[str, Any]) -> str | None:
        """Have a workbook run, see `racecalc.report.zygote`; return why it was not, if so."""
        process = self._running()
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

    def end(self) -> None:
        """End the process, if there is one."""
        if self._process is not None:
            self._let_go(self._process)

    def _let_go(self, process: "subprocess.Popen[str]") -> None:
        self._process = None
        with contextlib.suppress(BrokenPipeError):
            process.kill()
            process.communicate()

    def _running(self) -> "subprocess.Popen[str]":
        if self._process is None or self._process.poll() is not None:
            # A session of its own: Ctrl-C reaches us, and its end follows from ours.
            self._process = subprocess.Popen(
                [sys.executable, "-m", "racecalc.report.zygote"],
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


_WARM = _Warm()
atexit.register(_WARM.end)


def begin() -> None:
    """Begin the warm process: a workbook will come soon."""
    _WARM.begin()


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
