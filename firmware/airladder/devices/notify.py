"""What a service tells systemd: that it is ready, that it lives, what it is at.

Source: sd_notify(3). A program that no systemd started has nobody to tell, and tells nothing. Untested on hardware.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Mapping
from contextlib import suppress


class Notifier:
    """Tells by the socket that systemd names.

    Parameters
    ----------
    environment : where NOTIFY_SOCKET and WATCHDOG_USEC are looked for

    Attributes
    ----------
    watchdog_s : so long systemd waits for a sign of life before it starts the service anew; None: it does not wait
    """

    def __init__(self, environment: Mapping[str, str] | None = None) -> None:
        environment = os.environ if environment is None else environment
        self._address = environment.get("NOTIFY_SOCKET", "")
        microseconds = environment.get("WATCHDOG_USEC", "")
        self.watchdog_s = int(microseconds) / 1e6 if microseconds.isdecimal() and self._address else None

    def ready(self) -> None:
        """The service is up."""
        self._tell("READY=1")

    def alive(self) -> None:
        """A sign of life."""
        self._tell("WATCHDOG=1")

    def stopping(self) -> None:
        """The service ends of its own accord."""
        self._tell("STOPPING=1")

    def status(self, sentence: str) -> None:
        """What `systemctl status` is to show."""
        self._tell("STATUS=" + " ".join(sentence.split()))

    def _tell(self, line: str) -> None:
        if not self._address:
            return
        place = "\0" + self._address[1:] if self._address.startswith("@") else self._address
        with suppress(OSError), socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as line_out:  # nobody waits for it
            line_out.sendto(line.encode(), place)
