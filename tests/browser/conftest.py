"""The report of an invented log, in a real Chromium."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import tenyears
from airladder.journal.log import Log, Reader
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.report.page import report
from chromium import Browser, Tab
from unit.journal.conftest import HEAD, TONE

Opener = Callable[..., Tab]

DRAWN = "document.readyState === 'complete' && document.querySelector('#ladders .drawn svg') !== null"
"""Holds when the plots are there."""

HOSTILE = "microphone </script><!--<script>alert(1)</script>"


@pytest.fixture(scope="session")
def log_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of more than a year of invented practice with starts asked for, and two sessions of the demo."""
    path = tmp_path_factory.mktemp("log") / "log.sqlite"
    tenyears.make(path, days=430, tries=40)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DROP TRIGGER attempt_stays_on_update")
        asked = "CASE number % 2 WHEN 0 THEN 'tongued' ELSE 'air' END"
        connection.execute(f"UPDATE attempt SET start_wanted = {asked} WHERE asked_exercise = 'attacks'")
    with Log(path) as log:
        demo = replace(HEAD, invented=True, source=HOSTILE, horn="baritone", fingering="A3")
        for _ in range(2):
            log.begin(demo, Attempt(1, 6.0, 3, Outcome.SPOKE, TONE))
    return path


@pytest.fixture(scope="session")
def address(log_path: Path) -> str:
    """Of the report."""
    page = log_path.with_name("report.html")
    with Reader(log_path) as log:
        report(log, page, None)
    return page.as_uri()


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    assert shutil.which("chromium"), "Chromium is not here; sh firmware/setup test gets it"
    browser = Browser(tmp_path_factory.mktemp("chromium"))
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def read(browser: Browser, address: str) -> Iterator[Tab]:
    """The report as it opens; for those who only read in it."""
    tab = Tab(browser, address, width=1100, height=800)
    tab.until(DRAWN, 15)
    yield tab
    tab.close()


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Opener]:
    """Opens the report; `media` are features of the medium such as ``prefers-color-scheme``."""
    tabs: list[Tab] = []

    def opened(fragment: str = "", media: dict[str, str] | None = None, script: bool = True, **size: int) -> Tab:
        tab = Tab(browser, "about:blank", **{"width": 1100, "height": 800, **size})
        tabs.append(tab)
        features = [{"name": name, "value": value} for name, value in (media or {}).items()]
        tab.call("Emulation.setEmulatedMedia", features=features)
        if not script:
            tab.call("Emulation.setScriptExecutionDisabled", value=True)
        tab.go(address + fragment)
        if script:
            tab.until(DRAWN, 15)
        return tab

    yield opened
    for tab in tabs:
        tab.close()


def rows(tab: Tab, section: str) -> list[list[str]]:
    """The table of a section as text, opened where it was not."""
    tab.ask(f"document.querySelector('#{section} details').open = true")
    tab.until(f"document.querySelector('#{section} details').open")
    tab.ask("new Promise((done) => setTimeout(done, 50))")  # the table is written when the browser says it is open
    found: list[list[str]] = tab.ask(
        f"[...document.querySelectorAll('#{section} tbody tr')]"
        ".map((row) => [...row.cells].map((cell) => cell.textContent))"
    )
    return found


def labels(tab: Tab, section: str) -> list[str]:
    """What is said of the plots of a section."""
    found: list[str] = tab.ask(
        f"[...document.querySelectorAll('#{section} .drawn svg[role=img]')]"
        ".map((svg) => svg.getAttribute('aria-label'))"
    )
    return found


def asked(log_path: Path, query: str, *values: Any) -> list[tuple[Any, ...]]:
    """What SQLite itself finds in the log."""
    with closing(sqlite3.connect(log_path)) as connection:
        return connection.execute(query, values).fetchall()
