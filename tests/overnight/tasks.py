"""Tasks that stand in for reports where only the way of a task and its answer is looked at."""

import os
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from racecalc.overnight.work import Made, Make
from racecalc.report.run import Limits, Report

__all__ = ["Broken", "Crashing", "Hanging", "Noted", "Slow", "task"]


def task(kind: type[Make], horse: str, parameters: Mapping[str, str] | None = None) -> Make:
    return kind(horse, parameters or {}, "none.ipynb", Limits(5, 500))


@dataclass(frozen=True)
class Slow(Make):
    """Takes a moment; its page tells the horse and whose child made it."""

    def run(self) -> Made:
        time.sleep(0.3)
        files = {"report.html": self.horse.encode(), "maker": str(os.getppid()).encode()}
        return Made(Report(files, recorded=True))


@dataclass(frozen=True)
class Noted(Make):
    """Leaves a file in the folder that its parameters name, so that one sees what was done."""

    def run(self) -> Made:
        Path(self.parameters["folder"], self.horse).touch()
        time.sleep(0.5)
        return Made(None)


@dataclass(frozen=True)
class Hanging(Make):
    """Never answers."""

    def run(self) -> Made:
        time.sleep(1000)
        raise AssertionError


@dataclass(frozen=True)
class Crashing(Make):
    """Takes its process with it."""

    def run(self) -> Made:
        os._exit(1)


@dataclass(frozen=True)
class Broken(Make):
    """Cannot be unpickled."""

    def __reduce__(self) -> Any:
        return _refuse, ()


def _refuse() -> None:
    raise ValueError("no way back")
