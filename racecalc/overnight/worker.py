"""A process that does tasks one after another: ``python -m racecalc.overnight.worker [ready]``.

It reads tasks from its standard input and writes answers to its standard output, each as a length
and a pickle; it is begun, fed and ended by `pool`. When its input closes it ends at once, also in
the middle of a task: nobody waits for the answer any more. With ``ready`` it does first whatever
costs more the first time that a report is made.
"""

import contextlib
import os
import pickle
import queue
import struct
import sys
import threading
from typing import Any, BinaryIO

__all__ = ["READY", "main", "receive", "send"]

READY = "ready"

_LENGTH = struct.Struct(">Q")


def send(stream: BinaryIO, content: Any) -> None:
    """Write an object to a stream."""
    data = pickle.dumps(content, protocol=pickle.HIGHEST_PROTOCOL)
    stream.write(_LENGTH.pack(len(data)) + data)
    stream.flush()


def receive(stream: BinaryIO) -> Any:
    """Read an object from a stream.

    Raises
    ------
    EOFError
        If the other side has ended.
    """
    head = stream.read(_LENGTH.size)
    data = stream.read(_LENGTH.unpack(head)[0]) if len(head) == _LENGTH.size else b""
    if not data:
        raise EOFError
    return pickle.loads(data)


def main(*, ready: bool) -> None:
    """Do tasks until standard input closes; ``ready`` where they will be reports."""
    answers = os.fdopen(os.dup(1), "wb")
    # What a library prints must not come between answers.
    os.dup2(2, 1)
    tasks: queue.SimpleQueue[Any] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(tasks,), daemon=True).start()
    if ready:
        from racecalc.report.run import get_ready

        # What hinders it will hinder a report, which says so.
        with contextlib.suppress(Exception):
            get_ready()
    while True:
        send(answers, tasks.get().run())


def _listen(tasks: "queue.SimpleQueue[Any]") -> None:
    """Take in tasks also while one is done, to hear of the end."""
    stream = os.fdopen(0, "rb", closefd=False)
    try:
        while True:
            tasks.put(receive(stream))
    finally:
        os._exit(0)


if __name__ == "__main__":
    main(ready=READY in sys.argv)
