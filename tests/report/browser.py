"""A headless Chromium, driven over its own debugging protocol: enough to look at one local file."""

import base64
import itertools
import json
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import websocket

_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--hide-scrollbars",
    "--remote-debugging-port=0",
)


def executable() -> str | None:
    """Return where a Chromium is, if this machine has one."""
    return next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
    )


class Page:
    """One tab, and everything that it complained of or asked for."""

    def __init__(self, socket: websocket.WebSocket) -> None:
        self._socket = socket
        self._ids = itertools.count(1)
        self._events: list[dict[str, Any]] = []
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility"):
            self.send(f"{domain}.enable")

    def send(self, method: str, **params: Any) -> dict[str, Any]:
        """Send one command and return its result."""
        wanted = next(self._ids)
        self._socket.send(json.dumps({"id": wanted, "method": method, "params": params}))
        while True:
            message = json.loads(self._socket.recv())
            if message.get("id") == wanted:
                assert "error" not in message, message
                return dict(message["result"])
            self._events.append(message)

    def open(self, path: Path, width: int, *, scheme: str = "light", media: str = "screen") -> None:
        """Open a file at a width in CSS pixels, and wait until it is laid out."""
        self._events.clear()
        self.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=800,
            deviceScaleFactor=1,
            mobile=width < 600,
        )
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.send("Emulation.setEmulatedMedia", media=media, features=features)
        self.send("Page.navigate", url=path.resolve().as_uri())
        while not self._saw("Page.loadEventFired"):
            self._events.append(json.loads(self._socket.recv()))

    def value(self, script: str) -> Any:
        """Return the value of a JavaScript expression, computed from outside of the page."""
        result = self.send("Runtime.evaluate", expression=script, returnByValue=True)
        assert "exceptionDetails" not in result, result
        return result["result"].get("value")

    def complaints(self) -> list[str]:
        """Return what the console holds: errors, warnings, refused loads."""
        kinds = ("Log.entryAdded", "Runtime.consoleAPICalled", "Runtime.exceptionThrown")
        return [json.dumps(event) for event in self._events if event.get("method") in kinds]

    def requests(self) -> list[str]:
        """Return every address that the page asked for."""
        asked = [
            event for event in self._events if event.get("method") == "Network.requestWillBeSent"
        ]
        return [event["params"]["request"]["url"] for event in asked]

    def spoken(self) -> list[tuple[str, str]]:
        """Return role and name of everything that a screen reader is given, in order."""
        nodes = self.send("Accessibility.getFullAXTree")["nodes"]
        heard = [node for node in nodes if not node.get("ignored")]
        return [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in heard]

    def picture(self, path: Path) -> None:
        """Save the whole page as PNG."""
        shot = self.send("Page.captureScreenshot", captureBeyondViewport=True)
        path.write_bytes(base64.b64decode(shot["data"]))

    def printed(self) -> bytes:
        """Return the page as the browser would print it."""
        result = self.send("Page.printToPDF", preferCSSPageSize=True, displayHeaderFooter=False)
        return base64.b64decode(result["data"])

    def _saw(self, method: str) -> bool:
        return any(event.get("method") == method for event in self._events)


@contextmanager
def browser(profile: Path) -> Iterator[Page]:
    """Start a browser with an empty profile, give its one page, end the browser."""
    program = executable()
    assert program, "no Chromium on this machine"
    process = subprocess.Popen(
        [program, *_FLAGS, f"--user-data-dir={profile}", "about:blank"],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        text=True,
    )
    try:
        assert process.stderr is not None
        said = next(line for line in process.stderr if "DevTools listening on " in line)
        address = said.split("listening on ")[1].strip()
        socket = websocket.create_connection(_tab(address), suppress_origin=True, timeout=60)
        try:
            yield Page(socket)
        finally:
            socket.close()
    finally:
        process.terminate()
        process.communicate(timeout=30)


def _tab(address: str) -> str:
    """Make a tab and return the address of its own socket."""
    socket = websocket.create_connection(address, suppress_origin=True, timeout=60)
    try:
        command = {"id": 1, "method": "Target.createTarget", "params": {"url": "about:blank"}}
        socket.send(json.dumps(command))
        while True:
            message = json.loads(socket.recv())
            if message.get("id") == 1:
                target = message["result"]["targetId"]
                return f"{address.split('/devtools')[0]}/devtools/page/{target}"
    finally:
        socket.close()
