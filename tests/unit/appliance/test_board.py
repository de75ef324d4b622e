"""The box's start: whatever is missing, it comes up, says a sentence, and practises if it can."""

from __future__ import annotations

import threading
import wave
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from airladder.app.order import Done
from airladder.appliance import board as board_module
from airladder.appliance.board import OFF, RETRY_SECONDS, Asked, order_of, patiently, practise_on_board
from airladder.appliance.screen import LateScreen
from airladder.devices.clock import Clock, StillClock
from airladder.devices.gadget import Gadget
from airladder.devices.pins import pin_map
from airladder.faults import BadInput
from airladder.pages.page import Page
from airladder.panel.notices import draw_fault
from airladder.practice.presses import Button, Press
from airladder.practice.session import begin
from climbing import climb
from listening import series_of
from stage import KeptPictures

DONE = Done(begin(climb(series_of("alto", "Bb3"))), (), ())


def still() -> StillClock:
    return StillClock(datetime(2001, 1, 1, tzinfo=UTC))


@pytest.fixture
def asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Asked:
    """A box whose folders lie in a temporary one."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "data"))
    (tmp_path / "run").mkdir()
    return Asked(runtime=tmp_path / "run")


def settings_of(tmp_path: Path, text: str) -> None:
    (tmp_path / "data" / "airladder").mkdir(parents=True)
    (tmp_path / "data" / "airladder" / "settings.toml").write_text(text)


def test_a_start_that_fails_shows_its_sentence_and_is_tried_again() -> None:
    display, clock = KeptPictures(), still()
    faults = [BadInput("horn: 'altoo' is no horn."), BadInput("a4: too high.")]

    def start() -> Done:
        if faults:
            raise faults.pop(0)
        return DONE

    assert patiently(start, display, clock) is DONE
    shown = [picture.tobytes() for picture in display.pictures]
    assert shown == [draw_fault(text).tobytes() for text in ("horn: 'altoo' is no horn.", "a4: too high.")]
    assert clock.monotonic() == 2 * RETRY_SECONDS


def test_what_is_no_fault_is_not_hidden() -> None:
    def start() -> Done:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        patiently(start, KeptPictures(), still())


def test_a_new_box_has_its_first_run_before_it_and_nothing_to_say(asked: Asked) -> None:
    order, _ = order_of(asked)
    assert order.notes == {}
    assert order.source == "alsa:default"
    assert order.first == (Page.SETUP, Page.CAUTIONS, Page.LEVEL)


def test_settings_from_the_future_hold_as_far_as_they_are_known(tmp_path: Path, asked: Asked) -> None:
    settings_of(tmp_path, 'horn = "tenor"\nfingering = "C4"\nhologram = true\nscreen = "glass of 2099"\n')
    order, _ = order_of(asked)
    assert (order.settings.horn.name, str(order.settings.fingering)) == ("tenor", "C4")
    assert order.settings.screen == "ssd1306"
    sentence = order.notes["settings"]
    assert "hologram" in sentence
    assert "glass of 2099" in sentence


def test_settings_that_are_no_toml_are_told_and_left_alone(tmp_path: Path, asked: Asked) -> None:
    settings_of(tmp_path, "horn = \x00")
    order, _ = order_of(asked)
    assert order.settings.horn.name == "alto"
    assert "no TOML" in order.notes["settings"]
    assert (tmp_path / "data" / "airladder" / "settings.toml").read_text() == "horn = \x00"


def test_without_a_data_partition_the_log_lies_in_memory_and_that_is_said(tmp_path: Path, asked: Asked) -> None:
    (tmp_path / "data").write_text("no folder can be made here")
    order, _ = order_of(asked)
    assert order.log == tmp_path / "run" / "data" / "log.sqlite"
    assert order.notes["data"].startswith("Nothing is kept")


def test_an_update_that_came_up_or_did_not_is_told(tmp_path: Path, asked: Asked) -> None:
    versions = tmp_path / "data" / "airladder" / "versions"
    versions.mkdir(parents=True)
    (versions / "refused").write_text("9.9.9 3\n")
    assert "9.9.9 did not come up" in order_of(asked)[0].notes["version"]
    assert "version" not in order_of(asked)[0].notes


class Hand:
    """Somebody who presses as soon as the box listens."""

    def __init__(self, *presses: Press) -> None:
        self._presses = presses

    def __call__(self, pins: Any, clock: Clock, pulses: Any, post: Callable[[Any], None]) -> Hand:
        """Begin."""
        for press in self._presses:
            post(press)
        return self

    def close(self) -> None:
        """Nothing to give back."""


def silence(path: Path, seconds: float) -> str:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes(bytes(2 * int(48_000 * seconds)))
    return str(path)


def run(asked: Asked, tmp_path: Path, seconds: float) -> tuple[int, KeptPictures]:
    shown = KeptPictures()
    source = silence(tmp_path / "silence.wav", seconds)
    on = Asked(source, asked.log, asked.settings_file, asked.runtime)
    return practise_on_board(on, LateScreen(lambda: shown, Clock()), Clock()), shown


def test_good_night_by_hand_stands_for_a_while_and_asks_for_the_switch(
    tmp_path: Path, asked: Asked, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole program with its real threads; no gauge, no gadget and no bus are here, which hinders nothing."""
    monkeypatch.setattr(board_module, "hands", Hand(Press(Button.BACK, True, 0.0)))
    monkeypatch.setattr(board_module, "GOOD_NIGHT_S", 0.0)
    before = set(threading.enumerate())
    code, shown = run(asked, tmp_path, 30.0)
    assert code == 0
    assert shown.pictures
    assert (tmp_path / "run" / OFF).exists()
    assert {thread.name for thread in set(threading.enumerate()) - before} == set()


def test_sound_that_ends_switches_nothing_off(tmp_path: Path, asked: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(board_module, "hands", Hand())
    code, _ = run(asked, tmp_path, 0.2)
    assert code == 0
    assert not (tmp_path / "run" / OFF).exists()
    assert (tmp_path / "data" / "airladder" / "box.txt").exists()


class Line:
    """The line that tells of the USB cable."""

    def __init__(self) -> None:
        self.pin, self.pulled, self.closed = 0, True, False

    def __call__(self, pin: int) -> Line:
        """Have the pin."""
        self.pin = pin
        return self

    def close(self) -> None:
        """Give the pin back."""
        self.closed = True


def test_the_drives_hear_of_the_cable_by_its_line_which_is_given_back_at_the_end(
    tmp_path: Path, asked: Asked, monkeypatch: pytest.MonkeyPatch
) -> None:
    line, heard = Line(), []

    def gadget(*, pulled: Callable[[], bool]) -> Gadget:
        for line.pulled in (True, False):
            heard.append(pulled())
        return Gadget(pulled=pulled)

    monkeypatch.setattr(board_module, "CableSense", line)
    monkeypatch.setattr(board_module, "Gadget", gadget)
    monkeypatch.setattr(board_module, "hands", Hand())
    run(asked, tmp_path, 0.2)
    assert heard == [True, False]
    assert (line.pin, line.closed) == (pin_map().usb.cable, True)
