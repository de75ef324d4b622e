"""One request of a browser, from its first byte to the last of the answer."""

from __future__ import annotations

import base64
import json
import select
import socket
import time
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler
from typing import TYPE_CHECKING, Any

from airladder.devices.window.guard import HEADERS, MOST_BYTES, edge_in, is_our_host, is_our_origin, name_in
from airladder.devices.window.holding import MOST_PAGES
from airladder.devices.window.news import Sight
from airladder.devices.window.page import File
from airladder.faults import Fault

if TYPE_CHECKING:
    from airladder.devices.window.server import Server

ENDED = "Airladder has ended. Start it again with `airladder desk`, and open the new address that it prints."
FULL = f"{MOST_PAGES} pages show this screen already. Close one of them, and load this one again."

NOT_OURS = "This address belongs to no page here; open the whole address that airladder desk has printed."
NOT_FROM_HERE = "Buttons are pressed on the page itself and from nowhere else."
NO_EDGE = "This is no edge of a button: wanted are page, button, and down as true or false, in JSON."
NOBODY = "Nobody takes presses at this moment."

_PATIENCE_SECONDS = 2.0  # for a browser that does not send, or does not read
_PICTURE_SECONDS = 1 / 30  # least time between two sights: more often than the panel is drawn
_LOOK_SECONDS = 0.25  # a page that has gone is noticed so soon
_SEND_BYTES = 16384  # what is kept for a slow browser is old before it is read, so little is


class Answering(BaseHTTPRequestHandler):
    """Answers one request, then the connection ends (HTTP/1.0)."""

    server: Server
    timeout = _PATIENCE_SECONDS
    server_version, sys_version = "Airladder", ""

    def do_GET(self) -> None:
        """A file, the plots, or the stream."""
        name = self._name_asked_for()
        if name is None:
            self._refuse(HTTPStatus.FORBIDDEN, NOT_OURS)
        elif name == "sights":
            self._stream()
        elif name == "history":
            self._answer(HTTPStatus.OK, self._history())
        elif name in self.server.site:
            self._answer(HTTPStatus.OK, self.server.site[name])
        else:
            self._refuse(HTTPStatus.NOT_FOUND, NOT_OURS)

    def do_POST(self) -> None:
        """An edge of a button."""
        body = self._body()
        if self._name_asked_for() != "edge":
            self._refuse(HTTPStatus.FORBIDDEN, NOT_OURS)
        elif not is_our_origin(self.headers):
            self._refuse(HTTPStatus.FORBIDDEN, NOT_FROM_HERE)
        elif body is None or self.headers.get_content_type() != "application/json":
            self._refuse(HTTPStatus.BAD_REQUEST, NO_EDGE)
        else:
            self._edge(body)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 (the library's name)
        """Nothing: the address holds a secret, which belongs in no log."""

    def _name_asked_for(self) -> str | None:
        if not is_our_host(self.headers, self.server.server_port):
            return None
        return name_in(self.path, self.server.token)

    def _body(self) -> bytes | None:
        """What was sent; None when it is too long, or its length is not told."""
        length = self.headers.get("Content-Length", "")
        is_number = length.isascii() and length.isdigit() and len(length) <= len(str(MOST_BYTES))
        if not is_number or int(length) > MOST_BYTES:
            return None
        return self.rfile.read(int(length))

    def _edge(self, body: bytes) -> None:
        try:
            page, button, down = edge_in(body)
        except ValueError:
            self._refuse(HTTPStatus.BAD_REQUEST, NO_EDGE)
            return
        if self.server.holding.edge(page, button, down=down):
            self._begin(HTTPStatus.NO_CONTENT)
        else:
            self._refuse(HTTPStatus.CONFLICT, NOBODY)

    def _history(self) -> File:
        try:
            return File("text/html; charset=utf-8", self.server.history().encode())
        except Fault as fault:
            return _sentence(str(fault))

    def _stream(self) -> None:
        """What is to be seen, until the page or the program ends."""
        self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _SEND_BYTES)
        self._begin(HTTPStatus.OK, "text/event-stream")
        page = self.server.holding.enter()
        if page is None:
            self._event("goodbye", FULL)
            return
        try:
            self._event("page", page)
            self._sights()
        except OSError:  # it does not read any more
            return
        finally:
            self.server.holding.leave(page)

    def _sights(self) -> None:
        news, seen = self.server.news, None
        while not news.is_over:
            sight = news.after(seen, _LOOK_SECONDS)
            if self._has_gone():
                return
            if sight is not None:
                self._event("sight", _told(sight, seen))
                seen = sight
                time.sleep(_PICTURE_SECONDS)
        self._event("goodbye", ENDED)

    def _has_gone(self) -> bool:
        """Whether the browser has closed its end: it has nothing more to send, so all that can be read is that."""
        return bool(select.select([self.connection], [], [], 0)[0])

    def _event(self, name: str, what: object) -> None:
        self.wfile.write(f"event: {name}\ndata: {json.dumps(what)}\n\n".encode())

    def _begin(self, status: HTTPStatus, kind: str = "", length: int | None = None) -> None:
        self.send_response(status)
        headers = {**HEADERS, "Content-Type": kind, "Content-Length": "" if length is None else str(length)}
        for name, value in headers.items():
            if value:
                self.send_header(name, value)
        self.end_headers()

    def _answer(self, status: HTTPStatus, file: File) -> None:
        self._begin(status, file.kind, len(file.content))
        self.wfile.write(file.content)

    def _refuse(self, status: HTTPStatus, sentence: str) -> None:
        self._answer(status, _sentence(sentence))


def _sentence(text: str) -> File:
    return File("text/plain; charset=utf-8", text.encode())


def _told(sight: Sight, seen: Sight | None) -> dict[str, object]:
    """A sight as the page reads it; the picture only when it is another one."""
    told: dict[str, object] = {"light": sight.light.value, "level": sight.level}
    if seen is None or sight.pixels != seen.pixels:
        told["pixels"] = base64.b64encode(sight.pixels).decode()
    return told
