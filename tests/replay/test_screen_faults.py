"""The whole program with the real screen driver on a bus that misbehaves: nothing of the practice is lost."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest
from PIL import ImageChops

from additive.note import Note
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings
from airladder.devices.keys import NoKeys
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.pages.box import Box
from airladder.panel.shift import place_at, shifted
from airladder.panel.views import picture
from airladder.practice.judge import Outcome
from climbing import climb
from oledwire import oled
from stage import FixedDate, ended, take, written

NOTES = [Note(1, seconds=0.8), Note(2, seconds=0.8), Note(3, seconds=0.8)]


def practised(bus: Recorder, tmp_path: Path, *, away_after: int, back_after: int) -> tuple[list[Outcome], Box]:
    """Three notes; after so many tries the screen is unplugged, and after so many plugged in again."""
    settings = Settings()
    source = written(tmp_path / "notes.wav", take(settings, *NOTES))
    boxes: list[Box] = []

    def watch(box: Box) -> None:
        tries = len(box.session.attempts) if box.session else 0
        before = len(boxes[-1].session.attempts) if boxes and boxes[-1].session else 0
        boxes.append(box)
        if tries > before and tries == away_after:
            bus.unplug()
        if tries > before and tries == back_after:
            bus.plug_in()

    order = Order(settings, climb(settings.series), str(source), tmp_path / "log.sqlite", at_once=True)
    done = practise(order, Outside(oled(bus, "ssd1306"), lambda post: NoKeys(), watch, FixedDate()))
    return [attempt.outcome for attempt in ended(done).attempts], boxes[-1]


def on_glass(bus: Recorder, box: Box) -> bool:
    drawn = shifted(picture(box), place_at(box.now))
    return ImageChops.logical_xor(bus.picture(), drawn).getbbox() is None


def test_a_screen_that_goes_and_comes_back_shows_the_practice_that_went_on(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    bus = recorded_bus("ssd1306")
    with caplog.at_level(logging.WARNING):
        outcomes, last = practised(bus, tmp_path, away_after=1, back_after=2)
    assert outcomes == [Outcome.SPOKE] * 3
    assert on_glass(bus, last)
    assert [record.message[:10] for record in caplog.records] == ["The screen", "The screen"]


def test_a_screen_that_never_comes_back_costs_no_try(tmp_path: Path) -> None:
    bus = recorded_bus("ssd1306")
    outcomes, last = practised(bus, tmp_path, away_after=1, back_after=99)
    assert outcomes == [Outcome.SPOKE] * 3
    assert not on_glass(bus, last)


def test_a_bus_that_hangs_for_seconds_holds_up_nothing(tmp_path: Path) -> None:
    """The display thread waits; the practice of a recording, which takes no real time, is over long before."""
    waits: list[float] = []
    bus = recorded_bus("ssd1306", sleep=waits.append)
    bus.hang(2.0)
    outcomes, last = practised(bus, tmp_path, away_after=99, back_after=99)
    assert outcomes == [Outcome.SPOKE] * 3
    assert waits[0] >= 2.0
    assert on_glass(bus, last)
