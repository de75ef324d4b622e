"""The sockets by which a test reaches into a running qemu."""

from __future__ import annotations

import json
import socket
import time
from pathlib import Path
from typing import Any

_PATIENCE_S = 30.0


class Talk:
    """A line to a unix socket that qemu makes when it starts."""

    def __init__(self, path: Path) -> None:
        ends = time.monotonic() + _PATIENCE_S
        self._socket = socket.socket(socket.AF_UNIX)
        self._socket.settimeout(_PATIENCE_S)
        while True:
            try:
                self._socket.connect(str(path))
                break
            except OSError:
                if time.monotonic() > ends:
                    raise
                time.sleep(0.02)
        self._answers = self._socket.makefile("r")

    def close(self) -> None:
        """Let go of it."""
        self._answers.close()
        self._socket.close()

    def say(self, line: str) -> None:
        """Send a line."""
        self._socket.sendall(f"{line}\n".encode())

    def heard(self) -> str:
        """The next line that comes back.

        Raises
        ------
        ConnectionError : when qemu has ended.
        """
        line = self._answers.readline()
        if not line:
            raise ConnectionError("qemu has ended.")
        return line


class Qtest(Talk):
    """Sets the lines of devices from outside."""

    def set_line(self, device: str, number: int, level: int) -> None:
        """Set an input of a device.

        Raises
        ------
        ValueError : when qemu refuses; with its words.
        """
        self.say(f"set_irq_in {device} unnamed-gpio-in {number} {level}")
        if not (answer := self.heard()).startswith("OK"):
            raise ValueError(answer.strip())


class Qmp(Talk):
    """Asks qemu."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.heard()  # its greeting
        self.ask("qmp_capabilities")

    def ask(self, command: str, **words: object) -> Any:
        """Its answer.

        Raises
        ------
        ValueError : when it refuses; with its words.
        """
        self.say(json.dumps({"execute": command, "arguments": words}))
        while True:
            answer = json.loads(self.heard())
            if "error" in answer:
                raise ValueError(answer["error"]["desc"])
            if "return" in answer:
                return answer["return"]

    def path_of(self, kind: str) -> str:
        """Where the first device of this kind stands in qemu's tree of objects."""
        top = "/machine/unattached"
        return next(
            f"{top}/{one['name']}" for one in self.ask("qom-list", path=top) if one["type"] == f"child<{kind}>"
        )
