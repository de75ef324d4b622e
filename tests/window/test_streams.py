"""The stream of what is to be seen: the newest wins, and no browser, slow or gone, holds the program up."""

from __future__ import annotations

import base64
import os
import subprocess
import sys
import threading
import time

import pytest
from PIL import Image

from airladder.devices.window.answering import ENDED, FULL
from airladder.devices.window.holding import MOST_PAGES
from airladder.pages.light import Light
from airladder.practice.presses import Button
from chromium import wait_for
from window.conftest import Desk
from window.reader import Reader


def numbered(number: int) -> Image.Image:
    """A picture that is told from others by its first bytes."""
    return Image.frombytes("1", (128, 64), number.to_bytes(4, "big") + bytes(1020))


def number_in(sight: dict[str, str]) -> int:
    return int.from_bytes(base64.b64decode(sight["pixels"])[:4], "big")


def until_over(reader: Reader) -> list[tuple[str, object]]:
    events = []
    while (event := reader.event()) is not None:
        events.append(event)
    return events


def test_a_stream_begins_with_all_there_is_and_goes_on_with_what_changes(desk: Desk) -> None:
    desk.window.show(numbered(7), Light.DIM)
    desk.window.level(-23.4)
    reader = Reader(desk.window.address)
    assert len(reader.next("page")) >= 8
    first = reader.next("sight")
    assert (number_in(first), first["light"], first["level"]) == (7, "dim", -23.5)
    desk.window.level(-30.0)
    assert reader.next("sight") == {"light": "dim", "level": -30.0}
    desk.window.show(numbered(8))
    later = reader.next("sight")
    assert (number_in(later), later["light"]) == (8, "bright")
    reader.close()


def test_what_is_shown_already_is_not_sent_again(desk: Desk) -> None:
    desk.window.show(numbered(1))
    reader = Reader(desk.window.address)
    reader.next("page")
    reader.next("sight")
    for _ in range(5):
        desk.window.show(numbered(1))
        desk.window.level(None)
        time.sleep(0.05)
    desk.window.show(numbered(2))
    assert number_in(reader.next("sight")) == 2
    reader.close()


def test_the_newest_picture_wins_and_the_program_waits_for_nobody(desk: Desk) -> None:
    """A thousand pictures at once: the reader sees few of them, and the last."""
    reader = Reader(desk.window.address)
    reader.next("page")
    began = time.monotonic()
    for number in range(1, 1001):
        desk.window.show(numbered(number))
    assert time.monotonic() - began < 1.0
    seen = [number_in(reader.next("sight"))]
    while seen[-1] != 1000:
        seen.append(number_in(reader.next("sight")))
    assert len(seen) < 100
    assert seen == sorted(seen)
    reader.close()


def test_a_picture_is_told_at_once(desk: Desk) -> None:
    reader = Reader(desk.window.address)
    reader.next("page")
    reader.next("sight")
    time.sleep(0.1)
    began = time.monotonic()
    desk.window.show(numbered(1))
    reader.next("sight")
    assert time.monotonic() - began < 0.1
    reader.close()


def test_a_reader_that_reads_no_more_is_left_and_what_it_held_is_let_go(desk: Desk) -> None:
    slow = Reader(desk.window.address, room=2048)
    page = slow.next("page")
    desk.window._holding.edge(page, Button.OK, down=True)
    desk.until(("ok", True))
    longest, number, deadline = 0.0, 0, time.monotonic() + 8.0
    while len(desk.edges) < 2:
        assert time.monotonic() < deadline
        number += 1
        began = time.monotonic()
        desk.window.show(numbered(number))
        longest = max(longest, time.monotonic() - began)
        time.sleep(0.002)
    desk.until(("ok", True), ("ok", False))
    assert longest < 0.5
    slow.close()


def test_a_reader_that_vanishes_lets_go_soon(desk: Desk) -> None:
    reader = Reader(desk.window.address)
    page = reader.next("page")
    desk.window._holding.edge(page, Button.FOOT, down=True)
    desk.until(("foot", True))
    gone = time.monotonic()
    reader.close()
    desk.until(("foot", True), ("foot", False))
    assert time.monotonic() - gone < 1.0


def test_the_end_of_the_program_is_said_to_every_stream(desk: Desk) -> None:
    readers = [Reader(desk.window.address) for _ in range(2)]
    page = readers[0].next("page")
    desk.window._holding.edge(page, Button.OK, down=True)
    began = time.monotonic()
    desk.window.close()
    assert time.monotonic() - began < 1.5
    desk.until(("ok", True), ("ok", False))
    for reader in readers:
        assert until_over(reader)[-1] == ("goodbye", ENDED)
        reader.close()
    desk.window.close()
    desk.window.show(numbered(3))
    desk.window.level(-10.0)


def test_a_stopped_reader_holds_up_no_end(desk: Desk) -> None:
    slow = Reader(desk.window.address, room=2048)
    desk.window._holding.edge(slow.next("page"), Button.OK, down=True)
    for number in range(60):
        desk.window.show(numbered(number))
        time.sleep(0.034)
    began = time.monotonic()
    desk.window.close()
    assert time.monotonic() - began < 2.0
    assert [edge.down for edge in desk.edges] == [True, False]
    slow.close()


PROGRAM = """
import sys
from airladder.devices.clock import Clock
from airladder.devices.window import Window
window = Window(lambda: "", Clock())
print(window.address, flush=True)
sys.stdin.readline()
window.close()
"""


def test_a_program_that_ends_says_goodbye_first() -> None:
    """A process of its own, whose threads end with it wherever they are."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
    ) as program:
        assert program.stdin is not None
        assert program.stdout is not None
        try:
            address = program.stdout.readline().strip()
            readers = [Reader(address) for _ in range(MOST_PAGES)]
            for reader in readers:
                reader.next("page")
            program.stdin.write("end\n")
            program.stdin.flush()
            for reader in readers:
                assert until_over(reader)[-1] == ("goodbye", ENDED)
                reader.close()
            assert program.wait(5) == 0
        finally:
            program.kill()


def test_so_many_pages_and_no_more(desk: Desk) -> None:
    readers = [Reader(desk.window.address) for _ in range(MOST_PAGES)]
    for reader in readers:
        reader.next("page")
    further = Reader(desk.window.address)
    assert until_over(further) == [("goodbye", FULL)]
    readers.pop().close()

    def there_is_room() -> bool:
        again = Reader(desk.window.address)
        event = again.event()
        again.close()
        return event is not None and event[0] == "page"

    wait_for(there_is_room, "a page that went makes room for another")
    for reader in [*readers, further]:
        reader.close()


def test_no_thread_is_left_behind(desk: Desk) -> None:
    before = threading.active_count()
    readers = [Reader(desk.window.address) for _ in range(3)]
    for reader in readers:
        reader.next("page")
    desk.window.close()
    wait_for(lambda: threading.active_count() < before, "the threads of the window end")
    for reader in readers:
        reader.close()


def test_another_picture_than_the_panels_is_a_mistake_of_the_program(desk: Desk) -> None:
    with pytest.raises(ValueError, match=r"^the picture is L \(128, 64\), not 1 \(128, 64\)$"):
        desk.window.show(Image.new("L", (128, 64)))
