"""What the page shows, in a real browser: the panel's own pixels, light, level, plots, and how it ends."""

from __future__ import annotations

import json
from typing import Any

import pytest
from PIL import Image

from airladder.devices.window.answering import ENDED
from airladder.faults import LogFault
from airladder.pages.light import Light
from chromium import Tab
from window.conftest import Desk, Opener

PIXELS = """(() => {
    const data = document.querySelector("canvas").getContext("2d").getImageData(0, 0, 128, 64).data;
    return Array.from({length: 8192}, (_, at) => data[4 * at]);
})()"""
NAMES = """[...document.querySelectorAll("[data-button]")].map((b) => b.firstChild.textContent)"""
SAID = "document.querySelector('.told').textContent"


def shown(tab: Tab, picture: Image.Image) -> None:
    """Wait until the canvas holds exactly this picture."""
    wanted = json.dumps(list(picture.convert("L").tobytes()))
    tab.until(f"JSON.stringify({PIXELS}) === JSON.stringify({wanted})")


def styled(tab: Tab, selector: str, what: str) -> Any:
    return tab.ask(f"getComputedStyle(document.querySelector('{selector}')).{what}")


def test_the_pixels_on_the_page_are_those_of_the_picture(desk: Desk, tab: Tab, picture: Image.Image) -> None:
    desk.window.show(picture)
    shown(tab, picture)
    other = picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    desk.window.show(other)
    shown(tab, other)


def test_a_page_that_opens_later_shows_the_newest_picture(desk: Desk, opened: Opener, picture: Image.Image) -> None:
    desk.window.show(Image.new("1", (128, 64), 1))
    desk.window.show(picture)
    shown(opened(), picture)


@pytest.mark.parametrize(("width", "whole"), [(360, 2), (800, 5), (1200, 5)])
def test_each_pixel_is_enlarged_by_a_whole_number(opened: Opener, width: int, whole: int) -> None:
    tab = opened(width=width)
    tab.until(f"document.querySelector('canvas').getBoundingClientRect().width === {128 * whole}")
    assert tab.ask("document.querySelector('canvas').getBoundingClientRect().height") == 64 * whole


def test_dim_is_dimmed_and_dark_is_dark(desk: Desk, tab: Tab, picture: Image.Image) -> None:
    seen = {}
    for light in (Light.BRIGHT, Light.DIM, Light.DARK):
        desk.window.show(picture, light)
        tab.until(f"document.querySelector('.glass').dataset.light === '{light.value}'")
        seen[light] = float(styled(tab, "canvas", "opacity"))
    assert seen[Light.BRIGHT] == 1.0
    assert 0.2 < seen[Light.DIM] < 0.6
    assert seen[Light.DARK] == 0.0
    assert "The screen is dark" in tab.ask(SAID)


@pytest.mark.parametrize(
    ("dbfs", "share", "words"),
    [(-23.4, 0.608, "−23 dBFS"), (-60.0, 0.0, "−60 dBFS"), (-75.0, 0.0, "−75 dBFS"), (0.0, 1.0, "0 dBFS")],
)
def test_the_bar_is_as_long_as_the_level_is_high(desk: Desk, tab: Tab, dbfs: float, share: float, words: str) -> None:
    """Half a decibel is the finest step: a share of 1/120."""
    desk.window.level(dbfs)
    tab.until(f"document.querySelector('.now').textContent === '{words}'")
    tab.until("document.querySelector('.fill').getAnimations().length === 0")
    full, long = tab.ask(
        "['.lane', '.fill'].map((what) => document.querySelector(what).getBoundingClientRect().width)"
    )
    assert long / full == pytest.approx(share, abs=0.01)
    assert tab.ask("document.querySelector('.lane').getAttribute('aria-valuetext')") == words


def test_no_level_is_said_in_words(desk: Desk, tab: Tab) -> None:
    desk.window.level(-20.0)
    tab.until("document.querySelector('.now').textContent === '−20 dBFS'")
    desk.window.level(None)
    tab.until("document.querySelector('.now').textContent === 'no sound yet'")


def test_the_plots_are_made_anew_when_they_are_asked_for(desk: Desk, tab: Tab) -> None:
    tab.until("document.querySelector('.history').textContent === 'No plots yet.'")
    desk.plots = "<style>.fresh { color: rgb(1, 2, 3) }</style><p class='fresh'>Fresh.</p>"
    tab.ask("document.querySelector('.again').click()")
    tab.until("document.querySelector('.fresh') !== null")
    assert styled(tab, ".fresh", "color") == "rgb(1, 2, 3)"


def test_the_sentence_of_a_fault_stands_in_place_of_the_plots_as_text(desk: Desk, opened: Opener) -> None:
    desk.plots = LogFault("The log <b>cannot</b> be read & mended.")
    tab = opened()
    tab.until("document.querySelector('.history').textContent === 'The log <b>cannot</b> be read & mended.'")
    desk.plots = "<p>Well again.</p>"
    tab.ask("document.querySelector('.again').click()")
    tab.until("document.querySelector('.history').textContent === 'Well again.'")


def test_no_script_runs_that_came_with_the_plots(desk: Desk, opened: Opener) -> None:
    desk.plots = "<img src=x onerror='document.title = \"run\"'><p class=after>after</p>"
    tab = opened()
    tab.until("document.querySelector('.after') !== null")
    tab.ask("new Promise((done) => setTimeout(done, 100))")
    assert tab.ask("document.title") == "Airladder: the panel"
    assert any("Content Security Policy" in entry["entry"]["text"] for entry in tab.events("Log.entryAdded"))


def test_when_the_program_ends_the_page_says_so(desk: Desk, tab: Tab, picture: Image.Image) -> None:
    desk.window.show(picture)
    shown(tab, picture)
    desk.window.close()
    tab.until(f"{SAID} === {ENDED!r}".replace("`", "\\x60"))
    assert tab.ask("[...document.querySelectorAll('[data-button]')].every((b) => b.disabled)")
    assert float(styled(tab, "canvas", "opacity")) == 0.0


def test_nothing_is_asked_for_elsewhere_and_nothing_goes_wrong(desk: Desk, tab: Tab, picture: Image.Image) -> None:
    desk.window.show(picture)
    desk.window.level(-20.0)
    tab.until("document.querySelector('.now').textContent === '−20 dBFS'")
    tab.mouse("Pressed", tab.center("[data-button=ok]"))
    tab.mouse("Released", tab.center("[data-button=ok]"))
    desk.until(("ok", True), ("ok", False))
    asked = [sent["request"]["url"] for sent in tab.events("Network.requestWillBeSent")]
    assert {url.removeprefix(desk.window.address) for url in asked if not url.startswith("data:")} == {
        *("", "page.css", "page.js", "sights", "history", "edge"),
    }
    assert tab.events("Log.entryAdded") == []
    assert tab.events("Runtime.consoleAPICalled") == []
    assert tab.events("Runtime.exceptionThrown") == []


def test_a_phone_scrolls_in_one_direction_only(desk: Desk, opened: Opener) -> None:
    desk.plots = "<p style='width: 40rem'>What has no room scrolls by itself.</p>"
    tab = opened(width=360, height=640)
    tab.until("document.querySelector('.history p[style]') !== null")
    assert tab.ask("document.documentElement.scrollWidth") <= 360
    boxes = tab.ask("[...document.querySelectorAll('[data-button]')].map((b) => b.getBoundingClientRect().toJSON())")
    assert all(box["width"] >= 44 and box["height"] >= 44 for box in boxes)  # WCAG 2.2, 2.5.5: 44 CSS pixels


def test_the_page_can_be_read_without_seeing_it(tab: Tab) -> None:
    """Names, roles and languages as WCAG 2.2 wants them (3.1.1, 2.4.2, 1.1.1, 4.1.2)."""
    assert tab.ask("document.documentElement.lang") == "en"
    assert tab.ask("document.title")
    assert tab.ask(NAMES) == ["Back", "Down", "Up", "OK", "Foot switch"]
    tree = tab.call("Accessibility.getFullAXTree")["nodes"]
    named = {(node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"]}
    assert ("button", "Back a") in named
    assert ("meter", "Level of the microphone") in named
    assert ("heading", "History") in named
    assert any(role == "main" for role, _ in named)
    assert any(role in ("img", "image", "Canvas") and name.startswith("The screen") for role, name in named)
    assert not [role for role, name in named if role in ("button", "meter", "img", "image", "Canvas") and not name]
    assert tab.ask("new Set([...document.querySelectorAll('[id]')].map((e) => e.id)).size") == tab.ask(
        "document.querySelectorAll('[id]').length"
    )


def test_words_stand_out_from_what_is_behind_them(tab: Tab) -> None:
    """Contrast of 4.5 at least (WCAG 2.2, 1.4.3, with its formula of relative luminance)."""
    for selector, behind in (("h2", "body"), ("footer", "body"), ("button", "button"), ("kbd", "button")):
        front, back = (
            luminance(styled(tab, selector, "color")),
            luminance(styled(tab, behind, "backgroundColor")),
        )
        assert (max(front, back) + 0.05) / (min(front, back) + 0.05) >= 4.5, selector


def luminance(color: str) -> float:
    parts = [int(part) / 255 for part in color.removeprefix("rgb(").removesuffix(")").split(",")]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_who_wants_no_motion_gets_none(tab: Tab) -> None:
    assert styled(tab, ".fill", "transitionDuration") == "0.06s"
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-reduced-motion", "value": "reduce"}])
    assert styled(tab, ".fill", "transitionProperty") == "none"
