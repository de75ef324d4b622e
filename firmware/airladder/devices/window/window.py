"""The window as the program sees it: a display, hands, and a level, at an address of this computer."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from airladder.devices.clock import Clock
from airladder.devices.window.holding import Holding
from airladder.devices.window.news import HEIGHT, WIDTH, News
from airladder.devices.window.server import Server
from airladder.pages.light import Light
from airladder.panel.debounce import Edge
from airladder.practice.presses import Press

if TYPE_CHECKING:
    from PIL.Image import Image


class WindowHands:
    """The buttons of all pages; they post from the moment they are made until they are closed."""

    def __init__(self, holding: Holding, post: Callable[[Edge], None]) -> None:
        self._holding = holding
        holding.begin(post)

    def close(self) -> None:
        """Let go of what is held, and post no more. Harmless when already closed."""
        self._holding.end()


class Window:
    """A `Display` on a page that browsers of this computer can open. It serves from the moment it is made.

    Parameters
    ----------
    history : gives the plots of the log as a fragment of HTML, made anew at each call, from a thread of the window;
        the sentence of a `Fault` that it raises is shown in their place
    clock : stamps the edges of the buttons (monotonic)
    port : of the loopback; 0 for any that is free

    Attributes
    ----------
    address : what to open in the browser. It holds a secret word, which nobody else on this computer knows.

    Raises
    ------
    Fault : when the port cannot be had.
    """

    def __init__(self, history: Callable[[], str], clock: Clock, port: int = 0) -> None:
        self._news, self._holding = News(), Holding(clock)
        self._server = Server(self._news, self._holding, history, port)
        self.address = self._server.address
        self._server.start()

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Let the pages show the picture (mode "1", 128 x 64) in that light; waits for none of them."""
        if (picture.mode, picture.size) != ("1", (WIDTH, HEIGHT)):
            raise ValueError(f"the picture is {picture.mode} {picture.size}, not 1 {(WIDTH, HEIGHT)}")
        self._news.show(picture.tobytes(), light)

    def hands(self, post: Callable[[Press | Edge], None]) -> WindowHands:
        """Begin to post the edges of the pages' buttons, from threads of the window."""
        return WindowHands(self._holding, post)

    def level(self, dbfs: float | None) -> None:
        """Let the pages show the newest level of the microphone, dBFS, or that there is none; waits for nothing."""
        self._news.level(dbfs)

    def close(self) -> None:
        """Tell the pages that the program has ended, and stop serving. Harmless when already closed."""
        self._holding.end()
        self._server.close()
