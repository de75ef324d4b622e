"""Serves the page on the loopback: its files, the stream of what is to be seen, the plots; takes edges of buttons.

A request has a thread of its own, and ends when its browser keeps it waiting; the program waits for none of them.
"""

from __future__ import annotations

import logging
import secrets
import socketserver
import sys
import threading
from collections.abc import Callable
from http.server import ThreadingHTTPServer
from typing import Any

from airladder.devices.window.answering import Answering
from airladder.devices.window.guard import LOOPBACK
from airladder.devices.window.holding import Holding
from airladder.devices.window.news import News
from airladder.devices.window.page import site
from airladder.faults import Fault

MOST_CONNECTIONS = 32
"""At once; a further one is closed unheard."""

_LOOK_SECONDS = 0.1  # as long as an end may wait for the thread that takes in connections
_GOODBYE_SECONDS = 1.0

logger = logging.getLogger(__name__)


class Server(ThreadingHTTPServer):
    """The loopback's end of the window; listens from the moment it is made, answers from `start`.

    Parameters
    ----------
    news : what is to be seen
    holding : where the edges go
    history : makes the plots
    port : 0 for any that is free

    Attributes
    ----------
    address : of the page
    token : the secret word in it

    Raises
    ------
    Fault : when the port cannot be had.
    """

    daemon_threads = True
    request_queue_size = MOST_CONNECTIONS

    def __init__(self, news: News, holding: Holding, history: Callable[[], str], port: int) -> None:
        self.news, self.holding, self.site = news, holding, site()
        self.token = secrets.token_urlsafe(16)
        self._history, self._one_at_a_time = history, threading.Lock()
        self._room = threading.BoundedSemaphore(MOST_CONNECTIONS)
        self._thread = threading.Thread(target=self.serve_forever, args=(_LOOK_SECONDS,), name="window", daemon=True)
        try:
            super().__init__((LOOPBACK, port), Answering)
        except (OSError, OverflowError) as refused:
            raise Fault(
                f"Port {port} of this computer cannot be had ({refused}); end what uses it, or choose another with"
                " --port, 0 for any that is free."
            ) from refused
        self.address = f"http://{LOOPBACK}:{self.server_port}/{self.token}/"

    def start(self) -> None:
        """Begin to answer."""
        self._thread.start()

    def close(self) -> None:
        """Say goodbye to every page that listens, and end. Harmless when already closed."""
        if self.news.is_over:
            return
        self.news.end()
        self.holding.until_empty(_GOODBYE_SECONDS)
        self.shutdown()
        self.server_close()

    def history(self) -> str:
        """The plots; one thread at a time makes them.

        Raises
        ------
        Fault : when they cannot be made.
        """
        with self._one_at_a_time:
            return self._history()

    def server_bind(self) -> None:
        """Bind, and ask nobody for this computer's name, as the library would."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = LOOPBACK, self.server_address[1]

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """Answer in a thread of its own, if there is room."""
        if not self._room.acquire(blocking=False):
            self.shutdown_request(request)
            return
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._room.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that went away is no fault of ours; all else is told."""
        if not isinstance(sys.exception(), ConnectionError):
            logger.exception("the window could not answer")
