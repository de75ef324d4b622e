"""Every thread of the whole program has a pulse that is felt, and nothing is stuck when it has ended."""

from __future__ import annotations

from pathlib import Path

import pytest

from additive.note import Note
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.app.pulse import CAPTURE, MAIN, Pulses
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys
from airladder.devices.microphone import Microphone
from airladder.devices.scripted import ScriptedMicrophone
from airladder.practice.presses import Button, Press
from stage import KeptPictures, take


@pytest.fixture
def pulses(tmp_path: Path) -> Pulses:
    """Those of a practice that was gone through."""
    settings, pulses = Settings(), Pulses()
    sound = take(settings, Note(1, 1.5))

    def opened(word: str, clock: Clock) -> Microphone:
        return ScriptedMicrophone(sound)

    order = Order(settings, None, "alsa:invented", tmp_path / "log.sqlite", (Press(Button.OK, False, 0.5),))
    practise(order, Outside(KeptPictures(), lambda post: NoKeys(), lambda box: None, Clock(), opened, pulses=pulses))
    return pulses


@pytest.mark.parametrize("name", [MAIN, CAPTURE, "display", "books"])
def test_each_thread_feels_its_pulse_when_it_works(pulses: Pulses, name: str) -> None:
    assert pulses.turns(name) > 0


def test_nothing_is_stuck_at_the_end(pulses: Pulses) -> None:
    assert pulses.stuck == ()


def test_the_loop_turns_at_least_once_for_each_block(pulses: Pulses) -> None:
    assert pulses.turns(MAIN) >= 100
