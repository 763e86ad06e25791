"""A shell that keeps what cells show, in the form in which a notebook holds it."""

import io
from contextlib import redirect_stderr, redirect_stdout
from typing import Any

from IPython.core.displayhook import DisplayHook
from IPython.core.displaypub import DisplayPublisher
from IPython.core.interactiveshell import InteractiveShell
from traitlets import Type
from traitlets.config import Config

__all__ = ["Recorder"]

# What the cell that runs has shown so far. A process runs one workbook, and a workbook one cell.
_SHOWN: list[dict[str, Any]] = []


class _Value(DisplayHook):
    """Keeps the value of a cell's last line."""

    def start_displayhook(self) -> None:
        self._result: dict[str, Any] = {"output_type": "execute_result"}

    def write_output_prompt(self) -> None:
        self._result["execution_count"] = self.prompt_count

    def write_format_data(self, format_dict: Any, md_dict: Any = None) -> None:
        self._result |= {"data": format_dict, "metadata": md_dict or {}}

    def finish_displayhook(self) -> None:
        if self._result.get("data"):
            _SHOWN.append(self._result)


class _Displayed(DisplayPublisher):
    """Keeps what a cell displays."""

    def publish(self, data: Any, metadata: Any = None, *other: Any, **more: Any) -> None:
        _SHOWN.append({"output_type": "display_data", "data": data, "metadata": metadata or {}})


class _Printed(io.TextIOBase):
    """Keeps what a cell prints, pieces of one stream joined."""

    def __init__(self, name: str) -> None:
        self._name = name

    def writable(self) -> bool:
        return True

    def write(self, text: str) -> int:
        last = _SHOWN[-1] if _SHOWN else {}
        if last.get("name") == self._name:
            last["text"] += text
        elif text:
            _SHOWN.append({"output_type": "stream", "name": self._name, "text": text})
        return len(text)


class Recorder(InteractiveShell):
    """A shell as a kernel has it, without the kernel."""

    displayhook_class = Type(_Value)
    display_pub_class = Type(_Displayed)

    def __init__(self, **settings: Any) -> None:
        # A history would be a file of the user's, with a thread that writes it.
        super().__init__(  # type: ignore[no-untyped-call]
            config=Config({"HistoryManager": {"enabled": False}}), **settings
        )

    def _showtraceback(self, etype: Any, evalue: Any, stb: Any) -> None:
        named = {"ename": etype.__name__, "evalue": str(evalue)}
        _SHOWN.append({"output_type": "error", **named, "traceback": list(stb)})

    def record(self, source: str) -> dict[str, Any]:
        """Run a cell; return its outputs, its number, and whether it raised."""
        _SHOWN.clear()
        with redirect_stdout(_Printed("stdout")), redirect_stderr(_Printed("stderr")):
            done = self.run_cell(source, store_history=True)  # type: ignore[no-untyped-call]
        return {
            "outputs": list(_SHOWN),
            "execution_count": done.execution_count,
            "failed": not done.success,
        }
