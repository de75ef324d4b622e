"""The whole program with the box's own parts: gpiozero's mock pins for buttons, luma's driver on a recorded bus."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from gpiozero.pins.mock import MockFactory
from PIL import ImageChops

from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings
from airladder.devices.buttons import Buttons
from airladder.devices.clock import Clock
from airladder.devices.paced import Paced
from airladder.devices.pins import pin_map
from airladder.devices.recorded_bus import recorded_bus
from airladder.devices.scripted import ScriptedMicrophone
from airladder.hearing.block import RATE
from airladder.pages.box import Box
from airladder.pages.page import Page
from airladder.panel.views import picture
from airladder.practice.presses import Button
from oledwire import oled

SHORT, HELD, PAUSE = 0.08, 0.75, 0.15  # s


class Hand:
    """Presses the pins of the box."""

    def __init__(self) -> None:
        self.factory: Any = MockFactory()

    def down(self, *buttons: Button) -> None:
        """Close these contacts, one right after the other."""
        for button in buttons:
            self._pin(button).drive_low()

    def up(self, *buttons: Button) -> None:
        """Open them."""
        for button in buttons:
            self._pin(button).drive_high()

    def press(self, *buttons: Button, seconds: float = SHORT) -> None:
        """Hold them down for so long, then wait a little."""
        self.down(*buttons)
        time.sleep(seconds)
        self.up(*buttons)
        time.sleep(PAUSE)

    def chatter(self, button: Button, seconds: float) -> None:
        """A contact that is worn out: closed for a moment every 5 ms.

        No sleep while it is closed: on a busy computer one of 5 ms may last as long as a press.
        """
        for _ in range(round(seconds / 0.005)):
            self.down(button)
            self.up(button)
            time.sleep(0.005)
        time.sleep(PAUSE)

    def _pin(self, button: Button) -> Any:
        return self.factory.pin(pin_map().buttons[button])


def pages_after(tmp_path: Path, act: Callable[[Hand], None]) -> list[Page]:
    """The pages that were seen while somebody acted on the box; held BACK ends it, and the glass shows the end."""
    hand, bus, boxes = Hand(), recorded_bus("ssd1306"), list[Box]()
    microphone = Paced(ScriptedMicrophone(np.zeros(12 * RATE, np.float32)), Clock())
    microphone.live = True
    settings = replace(Settings(), log_folder=tmp_path)
    planned = threading.Event()

    def acting() -> None:
        assert planned.wait(5.0)
        act(hand)
        hand.press(Button.BACK, seconds=HELD)

    def watch(box: Box) -> None:
        boxes.append(box)
        if box.page is Page.TODAY and box.glance is not None:
            planned.set()

    actor = threading.Thread(target=acting, daemon=True)

    def hands(post: Callable[[Any], None]) -> Buttons:
        buttons = Buttons(pin_map().buttons, post, Clock(), hand.factory)
        actor.start()
        return buttons

    order = Order(settings, None, "alsa:scripted", settings.log)
    practise(order, Outside(oled(bus, "ssd1306"), hands, watch, Clock(), lambda word, clock: microphone))
    actor.join(5.0)
    assert ImageChops.logical_xor(bus.picture(), picture(boxes[-1])).getbbox() is None
    return [page for page, _ in groupby(box.page for box in boxes)]


def test_a_finger_leads_from_page_to_page_and_a_held_one_says_good_night(tmp_path: Path) -> None:
    def act(hand: Hand) -> None:
        hand.press(Button.BACK)
        hand.press(Button.OK)
        hand.press(Button.FOOT)

    seen = pages_after(tmp_path, act)
    assert seen == [Page.WAITING, Page.TODAY, Page.MORE, Page.LEVEL, Page.TODAY, Page.NIGHT]


def test_a_worn_out_contact_does_nothing_by_itself_and_the_next_button_works(tmp_path: Path) -> None:
    def act(hand: Hand) -> None:
        hand.chatter(Button.DOWN, 0.5)
        hand.press(Button.UP)

    assert pages_after(tmp_path, act) == [Page.WAITING, Page.TODAY, Page.DAYS, Page.NIGHT]


@pytest.mark.parametrize(
    ("first", "second", "end"), [(Button.BACK, Button.FOOT, Page.LEVEL), (Button.UP, Button.BACK, Page.TODAY)]
)
def test_two_buttons_at_once_count_one_after_the_other(
    tmp_path: Path, first: Button, second: Button, end: Page
) -> None:
    seen = pages_after(tmp_path, lambda hand: hand.press(first, second))
    assert seen[-2:] == [end, Page.NIGHT]
