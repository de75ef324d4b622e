"""The page of a group of invented players, as a teacher opens it: by the rules of axe-core, and on a phone."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import html5lib
import pytest

import tenyears
from airladder.studio.joining import join
from browser.test_looks import AXE, open_all
from chromium import Browser, Tab

PLAYERS = 6


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six players, a month each: as few as are told of as a group, and one more."""
    folder = tmp_path_factory.mktemp("drives")
    for player in range(PLAYERS):
        (folder / f"player {player}").mkdir()
        tenyears.make(folder / f"player {player}" / "log.sqlite", days=31, tries=41 + player, seed=40 + player)
    merged = join(sorted(folder.iterdir()), folder / "studio")
    assert (len(merged.devices), merged.faults) == (PLAYERS, [])
    return folder / "studio" / "group.html"


@pytest.fixture
def tab(browser: Browser, page: Path, request: pytest.FixtureRequest) -> Iterator[Tab]:
    """The page in a window of the width that is asked for."""
    tab = Tab(browser, "about:blank", width=request.param[0], height=800)
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": request.param[1]}])
    tab.go(page.as_uri())
    tab.until("document.readyState === 'complete'", 15)
    yield tab
    tab.close()


@pytest.mark.parametrize("tab", [(1100, "light"), (1100, "dark"), (360, "light")], indirect=True)
def test_axe_finds_nothing_serious_and_nothing_scrolls_sideways(tab: Tab, page: Path) -> None:
    open_all(tab)
    tab.ask((files("axe_core_python") / "axe.min.js").read_text(encoding="utf-8") + "; 1")
    found = tab.ask(AXE)
    assert found["serious"] == []
    assert found["passed"] > 15
    assert tab.ask("document.documentElement.scrollWidth <= innerWidth")
    assert tab.complaints() == []
    fetched = [sent["request"]["url"] for sent in tab.events("Network.requestWillBeSent")]
    assert [url for url in fetched if not url.startswith("about:")] == [page.as_uri()]


def test_it_is_html_as_the_standard_has_it_and_names_nobody(page: Path) -> None:
    """html5lib follows the HTML standard; an error of syntax fails."""
    text = page.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert f"{PLAYERS} players" in text
    for player in range(PLAYERS):  # only as a page to open
        assert text.count(f"player {player}") <= 1
