"""Which page holds which button down, so that none stays down when its page has gone.

Conventions
-----------
A button is down while at least one page holds it: two pages that press the same button are one press, as two fingers
on it are. Edges are stamped and posted in the order in which they happened.
"""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable

from airladder.devices.clock import Clock
from airladder.panel.debounce import Edge
from airladder.practice.presses import Button

MOST_PAGES = 4
"""Pages at once. A browser opens six connections to one place, and each page keeps one of them."""

Post = Callable[[Edge], None]
"""Takes an edge in a thread of the window; must neither wait nor raise."""


class Holding:
    """The pages that are there, and the buttons that they hold; for any number of threads.

    Parameters
    ----------
    clock : stamps the edges (monotonic)
    """

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._pages: dict[str, set[Button]] = {}
        self._post: Post | None = None
        self._lock = threading.Condition()

    def enter(self) -> str | None:
        """A new page's name; None when there are enough pages."""
        with self._lock:
            if len(self._pages) >= MOST_PAGES:
                return None
            page = secrets.token_urlsafe(9)
            self._pages[page] = set()
            return page

    def leave(self, page: str) -> None:
        """The page has gone: what it held is let go. Harmless when done twice."""
        with self._lock:
            for button in [*self._pages.get(page, ())]:
                self._let_go(page, button)
            self._pages.pop(page, None)
            self._lock.notify_all()

    def until_empty(self, seconds: float) -> None:
        """Wait until every page has gone, but no longer than that."""
        with self._lock:
            self._lock.wait_for(lambda: not self._pages, seconds)

    def edge(self, page: str, button: Button, *, down: bool) -> bool:
        """A button went down or up on a page; False when that page is not there, or nobody takes edges."""
        with self._lock:
            if page not in self._pages or self._post is None:
                return False
            if not down:
                self._let_go(page, button)
            elif button not in self._pages[page]:
                is_first = not self._is_held(button)
                self._pages[page].add(button)
                if is_first:
                    self._tell(button, down=True)
            return True

    def begin(self, post: Post) -> None:
        """From now on edges are posted."""
        with self._lock:
            self._post = post

    def end(self) -> None:
        """All that is held is let go, and nothing is posted any more. Harmless when done twice."""
        with self._lock:
            for page, held in self._pages.items():
                for button in [*held]:
                    self._let_go(page, button)
            self._post = None

    def _let_go(self, page: str, button: Button) -> None:
        if button in self._pages[page]:
            self._pages[page].remove(button)
            if not self._is_held(button):
                self._tell(button, down=False)

    def _is_held(self, button: Button) -> bool:
        return any(button in held for held in self._pages.values())

    def _tell(self, button: Button, *, down: bool) -> None:
        if self._post is not None:
            self._post(Edge(button, down, self._clock.monotonic()))
