"""A page's stream read by hand, as slowly as a test wants."""

from __future__ import annotations

import json
import socket
from typing import Any
from urllib.parse import urlsplit


class Reader:
    """Reads the events of a window's stream.

    Parameters
    ----------
    address : of the page
    room : bytes that the computer may keep for us unread; its own choice when 0
    """

    def __init__(self, address: str, room: int = 0) -> None:
        where = urlsplit(address)
        self._line = socket.socket()
        if room:
            self._line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, room)
        self._line.settimeout(5)
        self._line.connect((where.hostname, where.port))
        self._line.sendall(f"GET {where.path}sights HTTP/1.1\r\nHost: {where.netloc}\r\n\r\n".encode())
        self._file = self._line.makefile("rb")
        self.status = int(self._file.readline().split()[1])
        while self._file.readline() not in (b"\r\n", b""):
            pass

    def event(self) -> tuple[str, Any] | None:
        """The next event as (name, what it says); None at the end of the stream."""
        name = self._file.readline().decode().removeprefix("event: ").strip()
        data = self._file.readline().decode().removeprefix("data: ")
        self._file.readline()
        return (name, json.loads(data)) if name and data else None

    def next(self, name: str) -> Any:
        """What the next event says, which must have that name."""
        event = self.event()
        assert event is not None
        assert event[0] == name, event
        return event[1]

    def close(self) -> None:
        """Go away without a word."""
        self._file.close()
        self._line.close()
