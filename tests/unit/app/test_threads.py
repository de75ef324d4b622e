"""The queues and threads of the app: bounded, and each says what it does when it is full."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from PIL import Image

from airladder.app import showing as showing_module
from airladder.app.capture import Capture
from airladder.app.inbox import Ended, Inbox
from airladder.app.showing import Showing
from airladder.devices.clock import StillClock
from airladder.devices.scripted import ScriptedMicrophone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block
from airladder.pages.box import Box, practising
from airladder.pages.light import Light
from airladder.pages.page import Page
from airladder.practice.presses import Button, Press
from airladder.practice.session import begin
from climbing import climb
from listening import series_of
from stage import KeptPictures

BOX = practising(begin(climb(series_of("alto", "Bb3"))))


def letters(inbox: Inbox) -> list[object]:
    """All that comes until the sound has ended."""
    taken: list[object] = []
    while not taken or not isinstance(taken[-1], Ended):
        letter = inbox.take(5.0)
        assert letter is not None, "the capture thread has stopped without a word"
        taken.append(letter)
    return taken


def captured(microphone: ScriptedMicrophone, presses: tuple[Press, ...] = ()) -> list[object]:
    inbox = Inbox(4)
    microphone.open()
    capture = Capture(microphone, inbox, presses)
    capture.start()
    try:
        return letters(inbox)
    finally:
        capture.close()


def test_a_recording_waits_for_room_and_nothing_of_it_is_lost() -> None:
    taken = captured(ScriptedMicrophone(np.zeros(50 * HOP, np.float32), live=False))
    blocks = [letter for letter in taken if isinstance(letter, Block)]
    assert [block.sequence for block in blocks] == list(range(50))
    assert not any(block.lost for block in blocks)


class OneByOne(ScriptedMicrophone):
    """A live microphone that gives a block only when it is allowed to, and says when it is asked for the next."""

    def __init__(self) -> None:
        super().__init__(np.zeros(50 * HOP, np.float32))
        self.allowed = threading.Semaphore(0)
        self.asked = threading.Semaphore(0)

    def read(self) -> Block | None:
        """The next block, when it is allowed to go."""
        self.asked.release()
        self.allowed.acquire(timeout=5.0)
        return super().read()

    def give(self, count: int) -> None:
        """Let so many blocks go; returns when all of them have been dealt with."""
        for _ in range(count):
            self.asked.acquire(timeout=5.0)
            self.allowed.release()
        self.asked.acquire(timeout=5.0)
        self.asked.release()


def test_live_sound_that_finds_no_room_is_dropped_and_the_next_block_says_so() -> None:
    inbox, microphone = Inbox(2), OneByOne()
    microphone.open()
    capture = Capture(microphone, inbox)
    capture.start()
    microphone.give(5)
    first = [inbox.take(1.0), inbox.take(1.0)]
    microphone.give(2)
    then = [inbox.take(1.0), inbox.take(1.0)]
    microphone.allowed.release()
    capture.close()
    blocks = [letter for letter in (*first, *then) if isinstance(letter, Block)]
    assert [(block.sequence, block.lost) for block in blocks] == [(0, False), (1, False), (5, True), (6, False)]


def test_presses_of_a_replay_come_before_the_block_of_their_time() -> None:
    press = Press(Button.OK, False, 10.5 * HOP / RATE)
    taken = captured(ScriptedMicrophone(np.zeros(20 * HOP, np.float32), live=False), (press,))
    before = taken[: taken.index(press)]
    assert len(before) == 10


def test_a_source_that_goes_away_ends_with_its_fault() -> None:
    taken = captured(ScriptedMicrophone(np.zeros(RATE, np.float32), live=False, goes_away_at=0.5))
    ended = taken[-1]
    assert isinstance(ended, Ended)
    assert isinstance(ended.fault, SoundFault)


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_even_an_error_of_ours_ends_the_sound_instead_of_leaving_the_loop_waiting() -> None:
    class Broken(ScriptedMicrophone):
        def read(self) -> Block | None:
            """Not at all."""
            raise ZeroDivisionError

    assert captured(Broken(np.zeros(HOP, np.float32), live=False)) == [Ended()]


def test_a_press_from_a_hand_is_dropped_rather_than_waited_for(caplog: pytest.LogCaptureFixture) -> None:
    inbox = Inbox(1)
    for _ in range(2):
        inbox.post_by_hand(Press(Button.OK, False, 0.0))
    assert "a press was dropped" in caplog.text


def test_nobody_waits_for_room_that_is_no_longer_wanted() -> None:
    inbox = Inbox(1)
    inbox.post_by_hand(Press(Button.OK, False, 0.0))
    inbox.post_while(lambda: False, Press(Button.UP, False, 0.0))
    assert inbox.take(0.1) == Press(Button.OK, False, 0.0)
    assert inbox.take(0.0) is None


def test_the_last_state_is_always_shown() -> None:
    display = KeptPictures()
    drawn: list[Box] = []

    def draw(box: Box) -> Image.Image:
        drawn.append(box)
        return Image.new("1", (128, 64))

    showing = Showing(display, draw, StillClock(datetime(2001, 1, 1, tzinfo=UTC)))
    showing.start()
    boxes = [replace(BOX, now=0.1 * number) for number in range(100)]
    for box in boxes:
        showing.show(box)
    showing.close()
    assert drawn[-1] is boxes[-1]
    assert len(display.pictures) == len(drawn)


def test_a_slow_display_misses_states_but_never_holds_up_the_program() -> None:
    release = threading.Event()
    display = KeptPictures()

    def slow(box: Box) -> Image.Image:
        release.wait(5.0)
        return Image.new("1", (128, 64))

    showing = Showing(display, slow, StillClock(datetime(2001, 1, 1, tzinfo=UTC)))
    showing.start()
    for _ in range(1000):
        showing.show(BOX)
    release.set()
    showing.close()
    assert 1 <= len(display.pictures) <= 3


class OneAtATime(KeptPictures):
    """A display that says when a picture has come."""

    def __init__(self) -> None:
        super().__init__()
        self.came = threading.Semaphore(0)

    def show(self, picture: Image.Image, light: Light = Light.BRIGHT) -> None:
        """Keep it."""
        super().show(picture, light)
        self.came.release()


@pytest.mark.parametrize("pressed", [True, False])
def test_what_a_press_changed_does_not_wait_for_the_next_frame(
    monkeypatch: pytest.MonkeyPatch, pressed: bool
) -> None:
    """A frame lasts for ever here."""
    monkeypatch.setattr(showing_module, "FRAME_SECONDS", 3600.0)
    display = OneAtATime()
    showing = Showing(display, lambda box: Image.new("1", (128, 64)), StillClock(datetime(2001, 1, 1, tzinfo=UTC)))
    showing.start()
    showing.show(BOX)
    assert display.came.acquire(timeout=5.0)
    later = replace(BOX, now=1.0)
    showing.show(replace(later, page=Page.TODAY, session=None) if pressed else later)
    assert display.came.acquire(timeout=5.0 if pressed else 0.3) is pressed
    showing.close()
    assert len(display.pictures) == 2


def test_the_light_goes_with_the_picture_and_the_picture_is_moved_against_burning_in() -> None:
    lights: list[Light] = []

    class Lit(KeptPictures):
        def show(self, picture: Image.Image, light: Light = Light.BRIGHT) -> None:
            """Keep both."""
            super().show(picture, light)
            lights.append(light)

    drawn = Image.new("1", (128, 64))
    drawn.putpixel((5, 5), 255)
    display = Lit()
    showing = Showing(display, lambda box: drawn, StillClock(datetime(2001, 1, 1, tzinfo=UTC)))
    showing.start()
    showing.show(replace(BOX, now=130.0))
    showing.close()
    assert lights == [Light.DIM]
    assert display.pictures[0].getbbox() == (6, 5, 7, 6)
