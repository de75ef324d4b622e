"""Debian's Chromium without a screen, driven over a pipe by its DevTools protocol: no library in between.

Conventions
-----------
Messages are JSON, each ended by a zero byte, on the browser's file descriptors 3 (in) and 4 (out), as Chromium's
switch `--remote-debugging-pipe` has it. Times in seconds, places in CSS pixels.
"""

from __future__ import annotations

import base64
import itertools
import json
import os
import select
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

SWITCHES = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-dev-shm-usage"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions"),
    *(
        "--disable-default-apps",
        "--disable-domain-reliability",
        "--no-pings",
        "--hide-scrollbars",
        "--force-color-profile=srgb",
    ),
    # Even the browser's own errands find no way out.
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
)
PATIENCE = 15.0

# Lays two pipes on the descriptors 3 and 4, whatever lies there, and becomes Chromium.
_PLUMBED = """
import fcntl, os, sys
ends = [fcntl.fcntl(int(word), fcntl.F_DUPFD, 10) for word in sys.argv[1:3]]
for there, end in zip((3, 4), ends):
    os.dup2(end, there)
os.execvp(sys.argv[3], sys.argv[3:])
"""


class Browser:
    """One running Chromium.

    Parameters
    ----------
    folder : of its own, for its profile
    """

    def __init__(self, folder: Path) -> None:
        its_in, self._out = os.pipe()
        self._in, its_out = os.pipe()
        words = ["chromium", *SWITCHES, f"--user-data-dir={folder}", "--remote-debugging-pipe", "about:blank"]
        self._process = subprocess.Popen(
            [sys.executable, "-c", _PLUMBED, str(its_in), str(its_out), *words],
            pass_fds=(its_in, its_out),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "HOME": str(folder)},
        )
        os.close(its_in)
        os.close(its_out)
        self._rest = b""
        self._numbers = itertools.count(1)
        self.events: list[dict[str, Any]] = []

    def call(self, method: str, session: str = "", **words: Any) -> dict[str, Any]:
        """Have a method done; its result."""
        number = next(self._numbers)
        message = {"id": number, "method": method, "params": words, **({"sessionId": session} if session else {})}
        os.write(self._out, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE
        while True:
            answer = self._message(deadline - time.monotonic())
            assert answer is not None, f"Chromium does not answer {method}"
            if answer.get("id") == number:
                assert "error" not in answer, (method, answer["error"])
                result: dict[str, Any] = answer["result"]
                return result
            self.events.append(answer)

    def listen(self, seconds: float = 0.0) -> None:
        """Take in the events of that time."""
        deadline = time.monotonic() + seconds
        while (event := self._message(max(0.0, deadline - time.monotonic()))) is not None:
            self.events.append(event)

    def close(self) -> None:
        """End it."""
        self.call("Browser.close")
        self._process.wait(PATIENCE)
        os.close(self._in)
        os.close(self._out)

    def _message(self, seconds: float) -> dict[str, Any] | None:
        deadline = time.monotonic() + seconds
        while b"\0" not in self._rest:
            if not select.select([self._in], [], [], max(0.0, deadline - time.monotonic()))[0]:
                return None
            came = os.read(self._in, 1 << 20)
            assert came, "Chromium has ended"
            self._rest += came
        message, _, self._rest = self._rest.partition(b"\0")
        read: dict[str, Any] = json.loads(message)
        return read


class Tab:
    """A page in a browser, as wide and high as is said; all that it asks for and complains of is written down."""

    def __init__(self, browser: Browser, address: str, width: int = 800, height: int = 1100) -> None:
        self._browser = browser
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        self._target = target
        self.session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for room in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{room}.enable")
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.call("Emulation.setFocusEmulationEnabled", enabled=True)
        self.go(address)

    def go(self, address: str) -> None:
        """Open an address."""
        self.call("Page.navigate", url=address)

    def call(self, method: str, **words: Any) -> dict[str, Any]:
        """Have a method of this page done."""
        return self._browser.call(method, self.session, **words)

    def ask(self, script: str) -> Any:
        """The value of an expression in the page; a promise is waited for, some seconds long."""
        got = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in got, got["exceptionDetails"]
        return got["result"].get("value")

    def until(self, script: str, seconds: float = 5.0) -> None:
        """Wait until the expression holds."""
        wait_for(lambda: bool(self.ask(script)), script, seconds)

    def center(self, selector: str) -> tuple[float, float]:
        """The middle of an element, scrolled into view."""
        x, y = self.ask(
            f"(() => {{ const e = document.querySelector({selector!r}); e.scrollIntoView({{block: 'center'}});"
            " const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()"
        )
        return x, y

    def mouse(self, kind: str, at: tuple[float, float]) -> None:
        """`kind` is Pressed, Released or Moved."""
        button = {"button": "left", "clickCount": 1} if kind != "Moved" else {}
        self.call("Input.dispatchMouseEvent", type=f"mouse{kind}", x=at[0], y=at[1], **button)

    def key(self, down: bool, key: str, code: str, *, again: bool = False) -> None:
        """A key goes down, or goes down again by itself, or up."""
        kind = "keyDown" if down else "keyUp"
        number = {"Enter": 13, "Tab": 9, "ArrowDown": 40}.get(key, ord(key.upper()[0]))
        text = {"Tab": "", "ArrowDown": "", "Enter": "\r"}.get(key, key) if down else ""
        self.call(
            "Input.dispatchKeyEvent",
            type=kind,
            key=key,
            code=code,
            text=text,
            autoRepeat=again,
            windowsVirtualKeyCode=number,
        )

    def picture(self, path: Path) -> None:
        """Keep a picture of the whole page."""
        data = self.call("Page.captureScreenshot", captureBeyondViewport=True)["data"]
        path.write_bytes(base64.b64decode(data))

    def complaints(self) -> list[dict[str, Any]]:
        """What the page, or the browser of it, has complained of so far: errors, warnings, breaches of its policy."""
        kinds = ("Log.entryAdded", "Runtime.consoleAPICalled", "Runtime.exceptionThrown")
        return [found for kind in kinds for found in self.events(kind)]

    def events(self, method: str) -> list[dict[str, Any]]:
        """What this page has told of that kind so far."""
        self._browser.listen()
        mine = (event for event in self._browser.events if event.get("sessionId") == self.session)
        return [event["params"] for event in mine if event.get("method") == method]

    def close(self) -> None:
        """Close the page, as a person closes a tab."""
        self._browser.call("Target.closeTarget", targetId=self._target)


def wait_for(holds: Callable[[], bool], what: str, seconds: float = 5.0) -> None:
    """Wait until it holds; fail with `what` when it does not in time."""
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline, f"not within {seconds} s: {what}"
        time.sleep(0.01)
