"""What hands do on the page arrives as the edges that hands make, and nothing stays down that nobody holds."""

from __future__ import annotations

import itertools
import time

import pytest

from airladder.panel.debounce import Debouncer
from airladder.practice.presses import Button, Press
from chromium import Browser, Tab, wait_for
from window.conftest import READY, Desk, Opener


def presses(desk: Desk) -> list[Press]:
    """What the box makes of the edges, with its own arithmetic."""
    debouncer = Debouncer()
    made = [press for edge in desk.edges for press in debouncer.edge(edge)]
    return [*made, *debouncer.time(desk.edges[-1].t + 1.0)]


@pytest.mark.parametrize("button", [button.value for button in Button])
def test_a_click_is_a_short_press(desk: Desk, tab: Tab, button: str) -> None:
    place = tab.center(f"[data-button={button}]")
    before = time.monotonic()
    tab.mouse("Pressed", place)
    time.sleep(0.1)
    tab.mouse("Released", place)
    down, up = desk.until((button, True), (button, False))
    assert before < down.t < up.t < time.monotonic()
    assert 0.05 < up.t - down.t < 0.5
    assert [(press.button.value, press.long) for press in presses(desk)] == [(button, False)]


def test_a_click_that_takes_no_time_is_a_press_all_the_same(desk: Desk, tab: Tab) -> None:
    """As a touchpad makes it; the box takes what is shorter than 20 ms for a bouncing contact."""
    for _ in range(2):
        tab.ask(
            "for (const kind of ['pointerdown', 'pointerup', 'click'])"
            " document.querySelector('[data-button=ok]').dispatchEvent(new PointerEvent(kind, {pointerId: 1}))"
        )
    edges = desk.until(*[("ok", True), ("ok", False)] * 2)
    assert all(after.t - before.t >= 0.03 for before, after in itertools.pairwise(edges))
    assert [press.long for press in presses(desk)] == [False, False]


def test_a_button_held_down_is_a_long_press(desk: Desk, tab: Tab) -> None:
    place = tab.center("[data-button=up]")
    tab.mouse("Pressed", place)
    desk.until(("up", True))
    assert tab.ask("document.querySelector('[data-button=up]').classList.contains('down')")
    time.sleep(1.0)
    tab.mouse("Released", place)
    desk.until(("up", True), ("up", False))
    assert [(press.long, press.again) for press in presses(desk)][:2] == [(True, False), (True, True)]


@pytest.mark.parametrize(
    ("key", "code", "button"),
    [
        ("a", "KeyA", "back"),
        ("s", "KeyS", "down"),
        ("D", "KeyD", "up"),  # with the capitals lock on
        ("f", "KeyF", "ok"),
        (" ", "Space", "foot"),
    ],
)
def test_the_keys_of_the_terminal_press_the_buttons(desk: Desk, tab: Tab, key: str, code: str, button: str) -> None:
    tab.key(True, key, code)
    for _ in range(3):
        tab.key(True, key, code, again=True)
    desk.until((button, True))
    tab.key(False, key, code)
    desk.until((button, True), (button, False))


def test_other_keys_and_those_of_the_browser_press_nothing(desk: Desk, tab: Tab) -> None:
    tab.key(True, "x", "KeyX")
    tab.key(False, "x", "KeyX")
    tab.call("Input.dispatchKeyEvent", type="rawKeyDown", key="s", code="KeyS", modifiers=2)
    tab.call("Input.dispatchKeyEvent", type="keyUp", key="s", code="KeyS", modifiers=2)
    tab.key(True, "f", "KeyF")
    desk.until(("ok", True))


@pytest.mark.parametrize(("key", "code"), [("Enter", "Enter"), (" ", "Space")])
def test_by_keyboard_alone_the_button_with_the_focus_is_pressed(desk: Desk, tab: Tab, key: str, code: str) -> None:
    for _ in range(2):
        tab.key(True, "Tab", "Tab")
        tab.key(False, "Tab", "Tab")
    assert tab.ask("document.activeElement.dataset.button") == "down"
    assert tab.ask("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    tab.key(True, key, code)
    desk.until(("down", True))
    tab.key(False, key, code)
    desk.until(("down", True), ("down", False))


def test_enter_on_another_button_presses_none_of_the_box(desk: Desk, tab: Tab) -> None:
    desk.plots = "<p class=fresh>Fresh.</p>"
    tab.ask("document.querySelector('.again').focus()")
    tab.key(True, " ", "Space")
    tab.key(False, " ", "Space")
    tab.until("document.querySelector('.fresh') !== null")
    assert desk.edges == []


def test_after_a_click_the_space_bar_is_still_the_foot_switch(desk: Desk, tab: Tab) -> None:
    place = tab.center("[data-button=back]")
    tab.mouse("Pressed", place)
    tab.mouse("Released", place)
    desk.until(("back", True), ("back", False))
    tab.key(True, " ", "Space")
    desk.until(("back", True), ("back", False), ("foot", True))


def test_a_press_without_any_edges_is_a_short_press(desk: Desk, tab: Tab) -> None:
    """As a screen reader makes it."""
    tab.ask("document.querySelector('[data-button=ok]').click()")
    desk.until(("ok", True), ("ok", False))
    assert [press.long for press in presses(desk)] == [False]


def test_leaving_the_button_lets_it_go(desk: Desk, tab: Tab) -> None:
    tab.mouse("Pressed", tab.center("[data-button=ok]"))
    desk.until(("ok", True))
    tab.mouse("Moved", (2, 2))
    desk.until(("ok", True), ("ok", False))


@pytest.mark.parametrize("lost", ["blur", "pagehide"])
def test_a_window_in_the_background_holds_nothing(desk: Desk, tab: Tab, lost: str) -> None:
    tab.key(True, "a", "KeyA")
    tab.mouse("Pressed", tab.center("[data-button=up]"))
    desk.until(("back", True), ("up", True))
    tab.ask(f"window.dispatchEvent(new Event('{lost}'))")
    wait_for(lambda: len(desk.edges) == 4, f"two edges up, but {desk.edges}")
    assert {(edge.button, edge.down) for edge in desk.edges[2:]} == {(Button.BACK, False), (Button.UP, False)}


def test_a_key_that_was_let_go_for_us_does_not_come_back_by_repeating(desk: Desk, tab: Tab) -> None:
    tab.key(True, "f", "KeyF")
    desk.until(("ok", True))
    tab.ask("window.dispatchEvent(new Event('blur'))")
    desk.until(("ok", True), ("ok", False))
    tab.key(True, "f", "KeyF", again=True)
    time.sleep(0.2)
    desk.until(("ok", True), ("ok", False))


def test_a_touch_that_the_browser_takes_away_lets_go(desk: Desk, tab: Tab) -> None:
    x, y = tab.center("[data-button=down]")
    tab.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
    desk.until(("down", True))
    tab.call("Input.dispatchTouchEvent", type="touchCancel", touchPoints=[])
    desk.until(("down", True), ("down", False))


def test_a_page_that_is_closed_lets_go_of_what_it_held(browser: Browser, desk: Desk) -> None:
    tab = Tab(browser, desk.window.address)
    tab.until(READY)
    tab.key(True, "f", "KeyF")
    desk.until(("ok", True))
    tab.close()
    desk.until(("ok", True), ("ok", False))


def test_two_pages_on_one_button_are_one_press(desk: Desk, opened: Opener) -> None:
    first, second = opened(), opened()
    first.key(True, "f", "KeyF")
    desk.until(("ok", True))
    second.key(True, "f", "KeyF")
    second.key(True, "s", "KeyS")
    desk.until(("ok", True), ("down", True))
    first.key(False, "f", "KeyF")
    time.sleep(0.2)
    desk.until(("ok", True), ("down", True))
    second.key(False, "f", "KeyF")
    desk.until(("ok", True), ("down", True), ("ok", False))


def test_hands_that_are_closed_let_go_and_post_no_more(desk: Desk, tab: Tab) -> None:
    tab.key(True, "f", "KeyF")
    desk.until(("ok", True))
    desk.hands.close()
    desk.until(("ok", True), ("ok", False))
    tab.key(True, "a", "KeyA")
    tab.key(False, "a", "KeyA")
    time.sleep(0.2)
    desk.until(("ok", True), ("ok", False))
    desk.window.hands(desk.edges.append)  # type: ignore[arg-type]
    tab.key(True, "s", "KeyS")
    desk.until(("ok", True), ("ok", False), ("down", True))
