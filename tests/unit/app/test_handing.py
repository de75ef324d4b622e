"""The thread of the drive: it builds at the start and after each practice, serves sticks, and ends when told to."""

from __future__ import annotations

import queue
import threading
from datetime import datetime
from pathlib import Path

import pytest

from airladder.app.exchanging import News
from airladder.app.handing import STICK_DONE, Handing
from airladder.devices.gadget import Lun
from airladder.devices.recorded_gadget import RecordedGadget
from airladder.drive.intake import Accepted
from airladder.faults import Fault
from airladder.pages.events import Brought, Computer

SOON = 10.0


class Bench:
    """Work whose building waits for a word, and which can fail."""

    def __init__(self, folder: Path) -> None:
        self.out_image, self.in_image = folder / "out.img", folder / "in.img"
        self.go = threading.Semaphore(0)
        self.begun: queue.Queue[int] = queue.Queue()
        self.builds = 0
        self.fault: Fault | None = None

    def build(self) -> Path:
        """Say that it has begun, wait for the word, and write."""
        self.builds += 1
        self.begun.put(self.builds)
        self.go.acquire(timeout=SOON)
        if self.fault is not None:
            raise self.fault
        self.out_image.write_bytes(b"log %d" % self.builds)
        return self.out_image

    def stop(self) -> None:
        """Wait no longer."""
        self.go.release()

    def take(self) -> tuple[Accepted, datetime | None]:
        """Nothing came in."""
        return Accepted(), None

    def blank(self, accepted: Accepted) -> Path:
        """An empty drive."""
        self.in_image.write_bytes(b"")
        return self.in_image

    def exchange(self, mounted: Path) -> Accepted:
        """A stick brings a routine."""
        return Accepted(("mine.toml",))


class Room:
    """The thread, and all that stands around it."""

    def __init__(self, folder: Path) -> None:
        (folder / "box").mkdir()
        self.gadget, self.work = RecordedGadget(folder / "box"), Bench(folder)
        self.news: queue.Queue[News] = queue.Queue()
        self.sticks: list[Path] = []
        self.handing = Handing(self.gadget, self.work, self.news.put, sticks=lambda: list(self.sticks), every=0.01)

    def wait_for(self, lun: Lun, content: bytes) -> None:
        """Until this drive has this content."""
        for _ in range(int(SOON / 0.01)):
            if (lun, content) in self.gadget.seen:
                return
            threading.Event().wait(0.01)
        raise AssertionError(f"{content!r} was never offered")


@pytest.fixture
def room(tmp_path: Path) -> Room:
    return Room(tmp_path)


def test_a_drive_is_built_at_the_start_and_offered_when_it_is_whole(room: Room) -> None:
    assert room.work.begun.get(timeout=SOON) == 1
    assert all(lun is not Lun.OUT for lun, content in room.gadget.seen if content is not None)
    room.work.go.release()
    room.wait_for(Lun.OUT, b"log 1")
    room.handing.close()


def test_what_changes_while_one_is_built_is_built_after_it_and_once(room: Room) -> None:
    room.work.begun.get(timeout=SOON)
    for _ in range(3):
        room.handing.changed()
    threading.Event().wait(0.1)  # the thread hears of it while the building goes on
    room.work.go.release()
    assert room.work.begun.get(timeout=SOON) == 2
    room.work.go.release()
    room.wait_for(Lun.OUT, b"log 2")
    with pytest.raises(queue.Empty):
        room.work.begun.get(timeout=0.2)
    room.handing.close()


def test_a_computer_is_noticed_while_a_drive_is_being_built(room: Room) -> None:
    room.work.begun.get(timeout=SOON)
    room.gadget.plug()
    assert room.news.get(timeout=SOON) == Computer(True)
    room.gadget.unplug()
    assert room.news.get(timeout=SOON) == Computer(False)
    room.handing.close()


def test_a_drive_that_cannot_be_built_is_a_sentence_and_the_next_one_is_offered(room: Room) -> None:
    room.work.begun.get(timeout=SOON)
    room.work.fault = Fault("The disk is full.")
    room.work.go.release()
    assert room.news.get(timeout=SOON) == Brought(("The disk is full.",))
    room.work.fault = None
    room.handing.changed()
    room.work.begun.get(timeout=SOON)
    room.work.go.release()
    room.wait_for(Lun.OUT, b"log 2")
    room.handing.close()


def test_a_stick_is_served_once_each_time_it_is_put_in(room: Room, tmp_path: Path) -> None:
    done = Brought(("A routine came in: mine.", STICK_DONE))
    for _ in range(2):
        room.sticks = [tmp_path]
        assert room.news.get(timeout=SOON) == done
        with pytest.raises(queue.Empty):
            room.news.get(timeout=0.1)
        room.sticks = []
        threading.Event().wait(0.1)
    room.handing.close()


def test_without_a_gadget_only_the_programs_log_says_so_once_and_sticks_are_served(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "box").mkdir()
    gadget, work = RecordedGadget(tmp_path / "box"), Bench(tmp_path)
    gadget.broken = 19
    news: queue.Queue[News] = queue.Queue()
    handing = Handing(gadget, work, news.put, sticks=lambda: [tmp_path], every=0.01)
    assert news.get(timeout=SOON) == Brought(("A routine came in: mine.", STICK_DONE))
    handing.changed()
    handing.close()
    assert news.empty()
    assert work.builds == 0
    assert [record.message.split(" (")[0] for record in caplog.records] == ["The box cannot be a USB drive now"]


def test_drives_that_root_makes_later_than_we_begin_are_found(tmp_path: Path) -> None:
    (tmp_path / "box").mkdir()
    gadget, work = RecordedGadget(tmp_path / "box"), Bench(tmp_path)
    gadget.broken = 19
    handing = Handing(gadget, work, lambda news: None, every=0.01)
    threading.Event().wait(0.05)  # it has been refused a few times
    assert work.builds == 0
    gadget.broken = 0
    assert work.begun.get(timeout=SOON) == 1
    work.go.release()
    handing.close()


def test_closing_takes_the_drives_away(room: Room, tmp_path: Path) -> None:
    room.work.begun.get(timeout=SOON)
    room.handing.close()
    assert (tmp_path / "box/usb_gadget/airladder/UDC").read_text().strip() == ""
