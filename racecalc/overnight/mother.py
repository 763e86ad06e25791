"""A process that imports once what the processes of a night need, and forks them.

``python -m racecalc.overnight.mother`` is told over a socket, its standard input, which process to
begin and which to end, one message each, and ends with it; what it has forked ends with it, too.
Who reads the book is forked as soon as it can read, a worker when all is there that reports need,
together with its warm process. It never draws or sets pages: those libraries hold threads, which a
fork does not survive. What it has forked shares nothing with the next.
"""

import contextlib
import gc
import importlib
import itertools
import json
import os
import select
import signal
import socket
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO

from racecalc.overnight.worker import main as do_tasks
from racecalc.report import engine, zygote

__all__ = ["Child", "begin", "kept", "main"]

_MODULE = "racecalc.overnight.mother"
# In this order: between two of them it hears what is asked.
_ROOMS = (
    "racecalc.overnight.prepare",
    "racecalc.report.run",
    "racecalc.words",
    "racecalc.figures",
    "pypdf",
)
# The longest message, an environment; and the streams that come with it.
_LONGEST = 1 << 18
_STREAMS = 3
# After this time the end of a process is no longer waited for.
_PATIENCE_MS = 10_000


class Child:
    """A process that was begun by the mother.

    Attributes
    ----------
    number : int
        Under which it was asked for.
    stdin, stdout : file
        Its standard streams.
    """

    def __init__(self, mother: "_Mother", number: int, ask: int, answer: int) -> None:
        self.stdin: BinaryIO = os.fdopen(ask, "wb")
        self.stdout: BinaryIO = os.fdopen(answer, "rb")
        self.number = number
        self._mother = mother

    def has_ended(self) -> bool:
        """Return whether it has ended; it is not asked anything now."""
        return bool(_readable(self.stdout.fileno(), 0))

    def end(self) -> None:
        """End it."""
        self._mother.tell({"end": self.number})
        # What it writes to closes when it has ended.
        handle = self.stdout.fileno()
        while (heard := _readable(handle, _PATIENCE_MS)) and os.read(handle, _LONGEST):
            pass
        if not heard:
            # She does not do as she is told; what she has begun ends with her.
            self._mother.end()
        self.let_go()

    def let_go(self) -> None:
        """Close its streams."""
        for stream in (self.stdin, self.stdout):
            with contextlib.suppress(OSError):
                stream.close()


def _readable(handle: int, milliseconds: int) -> bool:
    look = select.poll()
    look.register(handle, select.POLLIN)
    return bool(look.poll(milliseconds))


class _Mother:
    """The mother, as those see her who ask."""

    def __init__(self) -> None:
        self._numbers = itertools.count()
        self._socket, hers = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with hers:
            # A session of its own: Ctrl-C reaches us, and its end follows from ours.
            self._process = subprocess.Popen(
                [sys.executable, "-m", _MODULE],
                stdin=hers.fileno(),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
                env={**os.environ, **zygote.WITHOUT_THREADS},
            )

    def begin(self, environment: Mapping[str, str], said: BinaryIO, *, ready: bool) -> Child:
        """Have a worker begun, see `begin`."""
        if self._process.poll() is not None:
            raise ChildProcessError
        asked, ask = os.pipe()
        answer, answered = os.pipe()
        child = Child(self, next(self._numbers), ask, answer)
        told = {"begin": child.number, "ready": ready, "environment": dict(environment)}
        try:
            message = json.dumps({**told, "folder": str(Path.cwd())}).encode()
            socket.send_fds(self._socket, [message], [asked, answered, said.fileno()])
        except OSError:
            child.let_go()
            raise
        finally:
            os.close(asked)
            os.close(answered)
        return child

    def tell(self, told: Mapping[str, Any]) -> None:
        """Send a message, if she is there."""
        with contextlib.suppress(OSError):
            self._socket.send(json.dumps(told).encode(), socket.MSG_DONTWAIT)

    def end(self) -> None:
        """End her, and what is left of what she has begun."""
        self._socket.close()
        self._process.kill()
        self._process.wait()


class _Shared:
    """The one mother of this process, begun when first asked, while somebody may ask."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._who_may_ask = 0
        self._mother: _Mother | None = None

    @contextmanager
    def kept(self) -> Iterator[None]:
        with self._lock:
            self._who_may_ask += 1
        try:
            yield
        finally:
            with self._lock:
                self._who_may_ask -= 1
                if self._mother and not self._who_may_ask:
                    self._mother.end()
                    self._mother = None

    def get(self) -> _Mother:
        with self._lock:
            if not self._who_may_ask or not engine.is_available():
                raise ChildProcessError
            if self._mother is None:
                self._mother = _Mother()
            return self._mother


_SHARED = _Shared()


def kept() -> AbstractContextManager[None]:
    """Let processes be forked during a block, by a mother who is begun with the first of them."""
    return _SHARED.kept()


def begin(environment: Mapping[str, str], said: BinaryIO, *, ready: bool) -> Child:
    """Begin a process that does tasks, see `racecalc.overnight.worker`.

    Parameters
    ----------
    environment : mapping of str to str
        Its environment.
    said : file
        Takes in what it says of its troubles.
    ready : bool
        Whether its tasks will be reports; then it waits for all that these need.

    Raises
    ------
    OSError
        If there is no mother: outside of `kept`, where the system cannot fork, or where she has
        ended; a process has to be begun in another way.
    """
    return _SHARED.get().begin(environment, said, ready=ready)


def main() -> None:
    """Begin and end processes until nobody can ask any more."""
    nursery = _Nursery(socket.socket(fileno=os.dup(0)))
    # What is imported stays: looking through it again and again for what could go is in vain.
    gc.disable()
    for room in _ROOMS:
        importlib.import_module(room)
        nursery.hear()
    zygote.warm_up()
    gc.freeze()
    nursery.be_ready()
    while True:
        nursery.hear(wait=True)


class _Nursery:
    """The processes that were begun here, by the numbers under which they were asked for."""

    def __init__(self, asked: socket.socket) -> None:
        self._asked = asked
        self._born: dict[int, int] = {}
        # What has to wait until all is imported.
        self._late: dict[int, tuple[dict[str, Any], list[int]]] | None = {}

    def hear(self, *, wait: bool = False) -> None:
        """Do what is asked now; with ``wait`` wait for something that is asked."""
        while wait or _readable(self._asked.fileno(), 0):
            message, streams, _, _ = socket.recv_fds(self._asked, _LONGEST, _STREAMS)
            if not message:
                os._exit(0)
            told = json.loads(message)
            if "end" in told:
                self._end(told["end"])
            elif told["ready"] and self._late is not None:
                self._late[told["begin"]] = told, streams
            else:
                self._bear(told, streams)
            wait = False

    def be_ready(self) -> None:
        """Begin what has waited."""
        late, self._late = self._late or {}, None
        for told, streams in late.values():
            self._bear(told, streams)

    def _bear(self, told: dict[str, Any], streams: list[int]) -> None:
        # Where there is no memory for it, its streams close: it is seen to have ended.
        with contextlib.suppress(OSError):
            become = partial(_become, told, os.getpid())
            self._born[told["begin"]] = zygote.forked(streams, become)
        _close(streams)

    def _end(self, number: int) -> None:
        if self._late and number in self._late:
            _close(self._late.pop(number)[1])
        if child := self._born.pop(number, 0):
            # It may not have come to make a group of its own yet.
            for send in (os.killpg, os.kill):
                with contextlib.suppress(OSError):
                    send(child, signal.SIGKILL)
            os.waitpid(child, 0)


def _close(streams: Iterable[int]) -> None:
    for stream in streams:
        os.close(stream)


def _become(told: dict[str, Any], parent: int) -> None:
    """Do tasks, as a process that was begun by itself would."""
    zygote.end_with_parent(parent)
    gc.enable()
    os.environ.clear()
    os.environ.update(told["environment"])
    tempfile.tempdir = None
    os.chdir(told["folder"])
    if told["ready"]:
        # Later it would have threads. Without memory for it now, it is begun when it is needed.
        with contextlib.suppress(OSError):
            engine.fork()
    do_tasks(ready=told["ready"])


if __name__ == "__main__":
    main()
