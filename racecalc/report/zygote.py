"""The process that stays warm: it has imported everything, and forks a fresh one for each workbook.

``python -m racecalc.report.zygote`` reads one request a line from its standard input, JSON with
``folder``, ``cells`` (their sources), ``seconds`` and ``megabytes``. What the cells gave is then in
the file `ANSWER` of that folder, JSON of a list: ``outputs`` as a notebook holds them,
``execution_count`` and whether it ``failed``, of each cell that ran. The answer to a request is a
line of JSON with ``why`` there is no such file, or null; its first line, `READY`, says that it is
warm. The process ends when its standard input
closes, and a workbook that runs at that moment with it.

A process that has done `warm_up` already can fork a warm process instead, see `engine`.

A forked process shares nothing with the next: what a workbook leaves behind ends with it. That is
why this process draws no chart and sets no page: the libraries that do hold threads, which a fork
does not survive.
"""

import contextlib
import ctypes
import gc
import importlib
import json
import os
import select
import signal
import time
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import orjson

__all__ = ["ANSWER", "READY", "WITHOUT_THREADS", "end_with_parent", "forked", "main", "warm_up"]

READY = "ready\n"
"""What the process says first."""

ANSWER = "outputs.json"
"""The name of the file that holds what cells gave."""

# Matrices this small are quicker without threads that wait for one another; a fork has none.
WITHOUT_THREADS = {"OPENBLAS_NUM_THREADS": "1"}
"""The environment of a process that will be forked."""

# No forecast tells of more days.
_FORECAST_DAYS = 16
# As many new objects come before a look for those that only hold each other.
_LIVE_OBJECTS = 100_000
# How often the memory of a running workbook is looked at.
_LOOK_S = 0.1
_IN_NO_FILE = ("Pss_Anon:", "Pss_Shmem:")
# Of prctl(2).
_END_WITH_PARENT = 1
_ADOPT_ORPHANS = 36


class _AbandonedError(Exception):
    """Nobody waits for an answer any more."""


def main(*, warm: bool = False) -> None:
    """Serve requests until standard input closes; ``warm`` where `warm_up` was done before."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    # What a library prints must not come between answers.
    os.dup2(2, 1)
    _control(_ADOPT_ORPHANS, 1)
    if not warm:
        warm_up()
    _take_in_hand()
    answers.write(READY)
    answers.flush()
    with contextlib.suppress(_AbandonedError):
        while line := _request():
            answers.write(json.dumps({"why": _serve(json.loads(line), answers.fileno())}) + "\n")
            answers.flush()


def _request() -> bytes:
    """Read a line without reading ahead: while a workbook runs, input only tells of its end."""
    line = b""
    while not line.endswith(b"\n"):
        part = os.read(0, 1 << 16)
        if not part:
            return b""
        line += part
    return line


def forked(streams: Sequence[int], become: Callable[[], None]) -> int:
    """Fork a process that does something and ends; return its number.

    It has a session of its own, these as its standard streams, and nothing else that is open here.
    """
    child = os.fork()
    if child:
        return child
    try:
        os.setsid()
        for number, stream in enumerate(streams):
            os.dup2(stream, number)
        # Who waits for the end of what another process writes would wait for this one, too.
        for number in [int(path.name) for path in Path("/proc/self/fd").iterdir()]:
            if number > 2:
                with contextlib.suppress(OSError):
                    os.close(number)
        become()
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(0)


def end_with_parent(parent: int) -> None:
    """Let this process be killed as soon as the one that forked it has ended."""
    _control(_END_WITH_PARENT, signal.SIGKILL)
    if os.getppid() != parent:
        os._exit(0)


def warm_up() -> None:
    """Import what workbooks use, and take the first steps that cost more than later ones."""
    os.environ.update(WITHOUT_THREADS)
    importlib.import_module("pyarrow.ipc")
    from racecalc import digest, figures, tables, words  # noqa: F401
    from racecalc.figures.theme import first_chart
    from racecalc.pooling import foretell, pool
    from racecalc.report import shell  # noqa: F401
    from racecalc.surface import ForecastDay, learn_curves, mornings
    from racecalc.weather import SURFACE_LAYERS

    first_chart()
    # The numbers with which rain is drawn are the same for every forecast, and are kept.
    mornings(0.0, [ForecastDay(0.5, 1.0, 1.0)] * _FORECAST_DAYS, SURFACE_LAYERS["dirt"])
    learn_curves("dirt", [1.0, 0.0], [0, 1])
    foretell(pool([1.0, 2.0], [["one", "other"]], guess=1.0), ["one"])


def _take_in_hand() -> None:
    """Make what each forked process finds new, and leave all that is there to them all."""
    from racecalc.report.shell import Recorder

    # Used by none here.
    Recorder.instance()
    gc.collect()
    gc.freeze()


def _serve(request: dict[str, Any], answers: int) -> str | None:
    """Have a workbook run; return why what it gave is not there, if it is not."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _become(request, answers)
    os.close(writing)
    try:
        why = _wait(child, reading, request["seconds"], request["megabytes"])
    finally:
        os.close(reading)
        _end(child)
    if why is None and not (Path(request["folder"]) / ANSWER).exists():
        return "its process ended before it was done"
    return why


def _become(request: dict[str, Any], answers: int) -> None:
    """Run the cells as a process of its own group, write what they gave or why not, and end."""
    try:
        # Who waits for an answer must see the end of the process that gives it.
        os.close(answers)
        _control(_END_WITH_PARENT, signal.SIGKILL)
        os.setsid()
        os.chdir(request["folder"])
        # A workbook takes a second: looking for what could go costs more of it than it gives back.
        gc.set_threshold(_LIVE_OBJECTS)
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        _write(_run(request["cells"]))
    except BaseException as error:
        with contextlib.suppress(BaseException):
            _write({"why": f"what it gave cannot be kept: {type(error).__name__}: {error}"})
    finally:
        os._exit(0)


def _write(given: Any) -> None:
    part = Path(f"{ANSWER}.part")
    part.write_bytes(orjson.dumps(given))
    part.replace(ANSWER)


def _run(sources: list[str]) -> list[dict[str, Any]]:
    """Run cells one after another up to the first that raises; return what each gave."""
    from racecalc.report.shell import Recorder

    shell, given = Recorder.instance(), []
    for source in sources:
        given.append(shell.record(source))
        if given[-1]["failed"]:
            break
    return given


def _wait(child: int, reading: int, seconds: float, megabytes: float) -> str | None:
    """Wait for the end of a process; return why it has to be ended, where it has."""
    end = time.monotonic() + seconds
    while True:
        # The pipe closes when the process ends, standard input when nobody waits for it any more.
        ready, _, _ = select.select([reading, 0], [], [], _LOOK_S)
        if 0 in ready:
            raise _AbandonedError
        # What it has forked may hold the pipe.
        if ready or os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT):
            return None
        if time.monotonic() > end:
            return f"it took longer than {seconds:g} s"
        if _megabytes(child) > megabytes:
            return f"it took more than {megabytes:g} MB of memory"


def _megabytes(process: int) -> float:
    """Return the memory that a process, and all that it has started, hold in no file.

    A page that several processes share counts for each in part.
    """
    try:
        text = Path(f"/proc/{process}/smaps_rollup").read_text("ascii")
        below = Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()
    except OSError:
        return 0.0
    held = [line.split()[1] for line in text.splitlines() if line.startswith(_IN_NO_FILE)]
    return sum(map(int, held)) / 1000 + sum(_megabytes(int(number)) for number in below)


def _end(child: int) -> None:
    """End a process and all that it has started."""
    # It may not have come to make a group of its own yet.
    for send in (os.killpg, os.kill):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            send(child, signal.SIGKILL)
    with contextlib.suppress(ChildProcessError):
        os.waitpid(child, 0)
        # What it has started is ours now, also what made a session of its own.
        while True:
            for orphan in _children():
                os.kill(orphan, signal.SIGKILL)
            os.waitpid(-1, 0)


def _children() -> list[int]:
    """Return the processes whose parent this one is, ended or not."""
    with contextlib.suppress(OSError):
        return [int(one) for one in Path("/proc/thread-self/children").read_text("ascii").split()]
    return []


def _control(option: int, value: int) -> None:
    """Ask something of Linux for this process, see prctl(2)."""
    ctypes.CDLL(None).prctl(option, value, 0, 0, 0)


if __name__ == "__main__":
    main()
