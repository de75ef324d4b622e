"""The drives at the socket: whatever a computer does and whatever fails, in any order."""

from __future__ import annotations

import tempfile
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from airladder.app.exchanging import Exchange, News
from airladder.devices.gadget import Lun
from airladder.devices.recorded_gadget import RecordedGadget
from airladder.drive.intake import Accepted
from airladder.faults import Fault
from airladder.pages.events import Brought, Computer

FULL = "The disk is full, so the drive was not made anew: make some room."
WRITTEN = datetime(2027, 5, 4, 18, 3)


class Files:
    """Work on two small files that stand for the images; it can be told to fail."""

    def __init__(self, folder: Path) -> None:
        self.out_image, self.in_image = folder / "out.img", folder / "in.img"
        self.takes: list[bytes] = []
        self.blanks = 0
        self.full = False
        self.accepted = Accepted()

    def build(self, content: bytes) -> None:
        """A drive becomes whole: another file under the same name, as `drive.image` does it."""
        aside = self.out_image.with_name("new.img")
        aside.write_bytes(content)
        aside.replace(self.out_image)

    def take(self) -> tuple[Accepted, datetime | None]:
        """What lies in the incoming drive."""
        self.takes.append(self.in_image.read_bytes())
        return self.accepted, WRITTEN

    def blank(self, accepted: Accepted) -> Path:
        """A fresh one, or none at all."""
        if self.full:
            raise Fault(FULL)
        self.blanks += 1
        self.in_image.write_bytes(b"blank %d" % self.blanks)
        return self.in_image


class Table:
    """A box on a table, with a socket into which a computer can be plugged."""

    def __init__(self, folder: Path) -> None:
        (folder / "files").mkdir()
        self.files = Files(folder / "files")
        self.gadget = RecordedGadget(folder)
        self.gadget.open()
        self.news: list[News] = []
        self.heard: list[datetime | None] = []
        self.exchange = Exchange(self.gadget, self.files, self.news.append, self.heard.append)


@pytest.fixture
def table(tmp_path: Path) -> Table:
    table = Table(tmp_path)
    table.files.build(b"log 1")
    table.exchange.built()
    table.exchange.look()
    return table


def test_at_the_start_both_drives_are_offered(table: Table) -> None:
    assert (table.gadget.image(Lun.OUT), table.gadget.image(Lun.IN)) == (table.files.out_image, table.files.in_image)


def test_while_a_computer_has_it_the_drive_is_not_changed_and_afterwards_it_is(table: Table) -> None:
    table.gadget.plug()
    table.exchange.look()
    table.gadget.seen.clear()
    table.files.build(b"log 2")
    table.exchange.built()
    table.exchange.look()
    assert table.gadget.seen == []
    table.gadget.unplug()
    table.exchange.look()
    assert (Lun.OUT, b"log 2") in table.gadget.seen


def test_what_came_in_is_read_when_the_cable_is_out_and_once(table: Table) -> None:
    before = len(table.files.takes)
    table.gadget.plug()
    for _ in range(3):
        table.exchange.look()
    table.files.in_image.write_bytes(b"a routine")
    assert len(table.files.takes) == before
    table.gadget.unplug()
    for _ in range(3):
        table.exchange.look()
    assert table.files.takes[before:] == [b"a routine"]
    assert table.heard[-1] == WRITTEN


def test_an_ejected_drive_is_read_at_once_and_comes_back_only_with_the_cable(table: Table) -> None:
    table.gadget.plug()
    table.exchange.look()
    table.files.in_image.write_bytes(b"a routine")
    for lun in Lun:
        table.gadget.eject(lun)
    for _ in range(3):
        table.exchange.look()
    assert table.files.takes[-1] == b"a routine"
    assert [table.gadget.image(lun) for lun in Lun] == [None, None]
    table.gadget.unplug()
    table.exchange.look()
    table.gadget.plug()
    table.exchange.look()
    assert [table.gadget.image(lun) for lun in Lun] == [table.files.out_image, table.files.in_image]
    assert table.files.takes[-1] == b"a routine"


def test_while_one_of_both_is_still_there_nothing_is_touched(table: Table) -> None:
    table.gadget.plug()
    table.exchange.look()
    before = len(table.files.takes)
    table.gadget.eject(Lun.IN)
    table.exchange.look()
    assert len(table.files.takes) == before


def test_a_computer_that_forbids_it_keeps_the_drive_until_it_has_gone(table: Table) -> None:
    table.gadget.plug()
    table.exchange.look()
    table.gadget.forbids = True
    table.gadget.eject(Lun.OUT)
    before = len(table.files.takes)
    table.exchange.look()
    assert len(table.files.takes) == before
    table.gadget.unplug()
    table.exchange.look()
    assert len(table.files.takes) == before + 1


def test_the_player_is_told_of_the_computer_and_of_what_it_brought(table: Table) -> None:
    table.files.accepted = Accepted(("mine.toml",), ("a4",), ("routines/x.toml: it is no text.",))
    table.gadget.plug()
    table.exchange.look()
    table.gadget.unplug()
    table.exchange.look()
    told = ("A routine came in: mine.", "Set anew from the drive: a4.", "routines/x.toml: it is no text.")
    assert table.news == [Computer(True), Computer(False), Brought(told)]
    table.files.accepted = Accepted()
    table.gadget.plug()
    table.exchange.look()
    table.gadget.unplug()
    table.exchange.look()
    assert table.news[-1] == Brought(())


def test_a_trouble_that_stays_is_told_once(table: Table) -> None:
    table.gadget.broken = 5
    for _ in range(3):
        table.exchange.built()
        table.exchange.look()
    assert len(table.news) == 1
    assert isinstance(table.news[0], Brought)
    assert "cannot be a USB drive now" in table.news[0].sentences[0]
    table.gadget.broken = 0
    table.exchange.look()
    assert table.gadget.image(Lun.OUT) == table.files.out_image


def test_what_a_computer_wrote_between_two_looks_is_read_all_the_same(table: Table) -> None:
    before = len(table.files.takes)
    table.gadget.plug()
    table.files.in_image.write_bytes(b"a routine")
    table.gadget.unplug()
    table.exchange.look()
    assert table.files.takes[before:] == [b"a routine"]


class Plugging(RuleBasedStateMachine):
    """Everything that can happen at the socket, in any order."""

    @initialize()
    def _switch_on(self) -> None:
        self._folder = tempfile.TemporaryDirectory()
        self.table = Table(Path(self._folder.name))
        self.logs, self.writes = 0, 0
        self.untaken: set[bytes] = set()

    @rule()
    def _builds(self) -> None:
        self.logs += 1
        self.table.files.build(b"log %d" % self.logs)
        self.table.exchange.built()

    @rule(full=st.booleans())
    def _disk(self, full: bool) -> None:
        self.table.files.full = full

    @rule()
    def _plug(self) -> None:
        self.table.gadget.plug()

    @rule()
    def _unplug(self) -> None:
        self.table.gadget.unplug()

    @rule(lun=st.sampled_from(Lun))
    @precondition(lambda self: self.table.gadget.attached)
    def _eject(self, lun: Lun) -> None:
        self.table.gadget.eject(lun)

    @rule(forbids=st.booleans())
    @precondition(lambda self: self.table.gadget.attached)
    def _forbid(self, forbids: bool) -> None:
        self.table.gadget.forbids = forbids

    @rule()
    @precondition(lambda self: self.table.gadget.attached and self.table.gadget.image(Lun.IN) is not None)
    def _write(self) -> None:
        """The computer writes to the incoming drive."""
        self.writes += 1
        self.untaken = {b"written %d" % self.writes}
        self.table.files.in_image.write_bytes(b"written %d" % self.writes)

    @rule()
    def _look(self) -> None:
        gadget = self.table.gadget
        held = {lun for lun in Lun if gadget.attached and gadget.holds(lun)}
        seen, takes = len(gadget.seen), len(self.table.files.takes)
        self.table.exchange.look()
        taken = self.table.files.takes[takes:]
        if held:
            touched = {lun for lun, _ in gadget.seen[seen:]} & held
            assert (touched, taken) == (set(), []), "a drive was touched while a computer had it"
        self.untaken -= set(taken)

    @invariant()
    def _what_was_written_is_taken_once(self) -> None:
        written = [content for content in self.table.files.takes if content.startswith(b"written")]
        assert len(set(written)) == len(written)

    def teardown(self) -> None:
        """In the end, with the cable out and room on the disk, all is as it should be."""
        if not hasattr(self, "table"):
            return
        with self._folder:
            self._end()

    def _end(self) -> None:
        self.table.files.full = False
        self.table.gadget.unplug()
        for _ in range(3):
            self._look()
        assert not self.untaken, "what a computer wrote was never read"
        assert self.table.gadget.image(Lun.IN) is not None
        if self.logs:
            assert [content for lun, content in self.table.gadget.seen if lun is Lun.OUT][-1] == b"log %d" % self.logs


TestPlugging = Plugging.TestCase
TestPlugging.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
