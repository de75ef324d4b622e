"""A window on nothing: its history, and the edges that it posts, are the test's own."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PIL import Image

from airladder.devices.clock import Clock
from airladder.devices.window import Window
from airladder.devices.window.window import WindowHands
from airladder.faults import Fault
from airladder.panel.debounce import Edge
from airladder.practice.presses import Press
from chromium import Browser, Tab, wait_for

Opener = Callable[..., Tab]

READY = "document.readyState === 'complete' && document.querySelector('[data-button]')?.disabled === false"
"""Holds when the page is connected."""


@dataclass
class Desk:
    """A window with what stands behind it."""

    edges: list[Edge] = field(default_factory=list)
    plots: str | Fault = "<p>No plots yet.</p>"

    def __post_init__(self) -> None:
        self.window = Window(self._history, Clock())
        self.hands: WindowHands = self.window.hands(self._post)

    def _history(self) -> str:
        if isinstance(self.plots, Fault):
            raise self.plots
        return self.plots

    def _post(self, edge: Press | Edge) -> None:
        assert isinstance(edge, Edge)
        self.edges.append(edge)

    def until(self, *told: tuple[str, bool]) -> list[Edge]:
        """Wait until these edges have come, and no others; the edges."""
        wait_for(lambda: len(self.edges) >= len(told), f"{told}, but {self.edges}")
        assert [(edge.button.value, edge.down) for edge in self.edges] == list(told)
        return self.edges


@pytest.fixture
def desk() -> Iterator[Desk]:
    desk = Desk()
    yield desk
    desk.window.close()


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    assert shutil.which("chromium"), "Chromium is not here; sh firmware/setup test gets it"
    browser = Browser(tmp_path_factory.mktemp("chromium"))
    yield browser
    browser.close()


@pytest.fixture
def opened(browser: Browser, desk: Desk) -> Iterator[Opener]:
    """Opens the desk's page; words are those of `Tab`."""
    tabs: list[Tab] = []

    def opened(address: str = "", **words: int) -> Tab:
        tab = Tab(browser, address or desk.window.address, **words)
        tabs.append(tab)
        tab.until(READY)
        return tab

    yield opened
    for tab in tabs:
        tab.close()


@pytest.fixture
def tab(opened: Opener) -> Tab:
    return opened()


@pytest.fixture
def picture() -> Image.Image:
    """A real screen, which has no symmetry that could hide a mistake."""
    golden = Path(__file__).parents[1] / "screens" / "golden" / "cracked.png"
    with Image.open(golden) as screen:
        return screen.convert("1")
