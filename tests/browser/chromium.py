"""A headless Chromium, driven through its own pipe (Chrome DevTools Protocol, "target" sessions).

Debian's package `chromium` is meant; no network is touched: pages are files. Nothing here sleeps:
every answer and event is read from the pipe as it comes.
"""

import json
import os
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import pytest

PATH = shutil.which("chromium")
AXE = os.environ.get("TWELVEFOLD_AXE", "")
FLAGS = (
    *("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"),
    *("--no-first-run", "--disable-extensions", "--disable-background-networking"),
    *("--disable-component-update", "--hide-scrollbars", "--remote-debugging-pipe"),
    "--host-resolver-rules=MAP * ~NOTFOUND",
)
# Chromium reads its third file and writes its fourth. One that hangs is ended, and so is the test.
LAUNCH = 'exec timeout 600 "$0" "$@" 3<&{reading} 4>&{writing}'
KEYS = {"Tab": 9, "Enter": 13, "Escape": 27, "ArrowDown": 40, "Space": 32}


def needed(there: object, what: str) -> None:
    """Skip a test for what is not there; where the whole is checked, that is a failure."""
    if not there and os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and nothing may be left out here")
    if not there:
        pytest.skip(f"{what} is missing")


class Chromium:
    """One browser with one page; `with Chromium(folder) as browser`, the folder for its profile."""

    def __init__(self, folder: Path) -> None:
        read_here, write_there = os.pipe()
        read_there, write_here = os.pipe()
        script = LAUNCH.format(reading=read_there, writing=write_there)
        self._process = subprocess.Popen(
            ["bash", "-c", script, str(PATH), *FLAGS, f"--user-data-dir={folder}"],
            pass_fds=(read_there, write_there),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(read_there)
        os.close(write_there)
        self._out = os.fdopen(write_here, "wb", buffering=0)
        self._in = os.fdopen(read_here, "rb")
        self._number, self._session, self._rest = 0, "", b""
        self.events: list[dict[str, Any]] = []

    def __enter__(self) -> Self:
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        attached = self.call("Target.attachToTarget", targetId=target, flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log", "Accessibility"):
            self.call(f"{domain}.enable")
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._session = ""
        self.call("Browser.close")
        self._process.wait(timeout=30)
        self._out.close()
        self._in.close()

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Ask for something; what happens until the answer comes is put among the events."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        self._out.write(json.dumps(message).encode() + b"\0")
        for heard in self._heard():
            if heard.get("id") == self._number:
                assert "error" not in heard, (method, heard["error"])
                result: dict[str, Any] = heard["result"]
                return result
            self.events.append(heard)
        raise AssertionError("the browser went away")

    def _heard(self) -> Iterator[dict[str, Any]]:
        while True:
            message, found, self._rest = self._rest.partition(b"\0")
            if found:
                yield json.loads(message)
                continue
            more = self._in.read1(1 << 16)
            if not more:
                return
            self._rest = message + more

    def until(self, method: str) -> None:
        """Wait for an event that has not come yet or came since the events were cleared."""
        if any(one.get("method") == method for one in self.events):
            return
        for heard in self._heard():
            self.events.append(heard)
            if heard.get("method") == method:
                return

    # --- a page -------------------------------------------------------------------------------

    def open(self, path: Path, width: int = 768, *, scripts: bool = True, **media: str) -> None:
        """Open a file at a width in CSS pixels; `media` are features, `color_scheme="dark"`."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=900,
            deviceScaleFactor=1,
            mobile=width < 600,
        )
        features = [
            {"name": f"prefers-{name.replace('_', '-')}", "value": value}
            for name, value in media.items()
        ]
        self.call("Emulation.setEmulatedMedia", media="", features=features)
        self.call("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.events.clear()
        self.call("Page.navigate", url=path.as_uri())
        self.until("Page.loadEventFired")

    def value(self, expression: str) -> Any:
        """What an expression comes to in the page; a promise is awaited."""
        answer = self.call(
            "Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return answer["result"].get("value")

    def press(self, *keys: str) -> None:
        """Press keys one after the other: Tab, Enter, Space, ArrowDown, Escape."""
        for key in keys:
            text = {"Enter": "\r", "Space": " "}.get(key, "")
            named = {"key": text.strip() or key if key != "Space" else " ", "code": key}
            code = {"windowsVirtualKeyCode": KEYS[key]}
            kind = "keyDown" if text else "rawKeyDown"
            self.call("Input.dispatchKeyEvent", type=kind, text=text, **named, **code)
            self.call("Input.dispatchKeyEvent", type="keyUp", **named, **code)

    def type(self, text: str) -> None:
        """Type a text where the focus is, key by key."""
        for one in text:
            self.call("Input.dispatchKeyEvent", type="keyDown", text=one, key=one)
            self.call("Input.dispatchKeyEvent", type="keyUp", key=one)

    @property
    def asked_for(self) -> list[str]:
        """The addresses that were asked for since a page was opened."""
        sent = (one for one in self.events if one.get("method") == "Network.requestWillBeSent")
        return [one["params"]["request"]["url"] for one in sent]

    @property
    def complaints(self) -> Sequence[str]:
        """What the browser had to say of the page since it was opened."""
        logged = [one["params"] for one in self.events if one.get("method") == "Log.entryAdded"]
        thrown = [one for one in self.events if one.get("method") == "Runtime.exceptionThrown"]
        return [*(one["entry"]["text"] for one in logged), *map(str, thrown)]

    def roles(self) -> list[tuple[str, str]]:
        """The accessibility tree as (role, name), what is ignored left out."""
        nodes = self.call("Accessibility.getFullAXTree")["nodes"]
        shown = (one for one in nodes if not one["ignored"])
        return [(one["role"]["value"], one.get("name", {}).get("value", "")) for one in shown]
