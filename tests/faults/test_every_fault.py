"""A disk that is full, broken or closed at every one of its deeds in turn: nothing told as kept is lost.

For every n the n-th write (flush, read ...) of a practice fails, once or from then on, until a practice comes through
without meeting the fault. Each fault that touches a try is a sentence, and when it is over the tries get kept.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.log import Reader
from faults.disk import held, written
from faults.episodes import FILES, NAME
from faults.looking import unsound, wrong
from faults.practising import Practice, Rows, old_log
from faults.vfs import FaultyDisk, What

CHANGES = (What.OPEN, What.WRITE, What.TRUNCATE, What.SYNC, What.DELETE)
FULL = "The disk is full, so the log "
BROKEN = "cannot be used (disk I/O error); what it holds was not changed."
CLOSED = "; it wants a folder that this user may write in."


@dataclass(frozen=True)
class Trouble:
    """What the disk fails with, and what of a sentence is then told."""

    codes: Mapping[What, int]
    said: tuple[str, ...]
    torn: bool = False


TROUBLES = {
    "full": Trouble({What.WRITE: sqlite3.SQLITE_FULL}, (FULL,)),
    "full in the middle of a write": Trouble({What.WRITE: sqlite3.SQLITE_FULL}, (FULL,), torn=True),
    "a write error": Trouble({What.WRITE: sqlite3.SQLITE_IOERR_WRITE}, (BROKEN,), torn=True),
    "a flush error": Trouble({What.SYNC: sqlite3.SQLITE_IOERR_FSYNC}, (BROKEN,)),
    "a read error": Trouble({What.READ: sqlite3.SQLITE_IOERR_READ}, (BROKEN,)),
    "an open error": Trouble({What.OPEN: sqlite3.SQLITE_CANTOPEN}, (CLOSED,)),
    "no shared memory": Trouble({What.SHARE: sqlite3.SQLITE_IOERR_SHMSIZE}, (BROKEN,)),
    "a lock error": Trouble({What.LOCK: sqlite3.SQLITE_IOERR_LOCK}, (BROKEN,)),
    "read-only": Trouble(dict.fromkeys(CHANGES, sqlite3.SQLITE_READONLY), (CLOSED,)),
}
QUIET = {
    "a length error": Trouble({What.TRUNCATE: sqlite3.SQLITE_IOERR_TRUNCATE}, (BROKEN,)),
    "a delete error": Trouble({What.DELETE: sqlite3.SQLITE_IOERR_DELETE}, (BROKEN,)),
}
"""Such a fault touches only the tidying up after tries, which is done again later."""


class Rig:
    """Practices again and again from the same beginning, each with the fault one deed later.

    Parameters
    ----------
    disk, folder : where
    form : of the log with which each practice begins; 0 is none
    trouble : what fails
    lasting : whether all fails from the n-th deed on
    """

    def __init__(self, disk: FaultyDisk, folder: Path, form: int, trouble: Trouble, *, lasting: bool) -> None:
        self.disk, self._folder, self._trouble, self._lasting = disk, folder, trouble, lasting
        self._rows = old_log(folder / NAME, form, sessions=1, tries=3) if form else []
        self._holds = held(folder, FILES)
        self._seen_failing: tuple[dict[str, bytes], Rows, int] | None = None
        self.next_session = 2 if form else 1
        self.sentences = 0

    def each(self, practise: Callable[[Practice], None]) -> None:
        """Practise once for every n, and look through each log after it.

        Raises
        ------
        AssertionError : when a log is not well, the fault was never met, or never told though it is not a quiet one.
        """
        nth, failed = 0, True
        while failed:
            nth += 1
            written(self._holds, self._folder)
            practice = Practice(self._folder / NAME, pages=5, given=list(self._rows), told=len(self._rows))
            with self.disk.used():
                self.disk.fail(self._trouble.codes, nth, lasting=self._lasting, torn=self._trouble.torn)
                practise(practice)
                failed = self.disk.failed > 0
            self._look(practice, f"with fault {nth}")
        assert nth > 1
        assert practice.troubles == []
        assert self.sentences > 0 or self._trouble in QUIET.values()

    def copy_failing(self, practice: Practice) -> None:
        """Keep the files as they are now, to be looked through later: what is told now must be in them."""
        self._seen_failing = held(self._folder, FILES), list(practice.given), practice.told

    def _look(self, practice: Practice, when: str) -> None:
        for said in filter(None, practice.troubles):
            self.sentences += 1
            assert any(words in said for words in self._trouble.said), when
            assert "\n" not in said, when
        assert wrong(practice.path, practice.given, practice.told) == "", when
        assert list(unsound(practice.path)) == [], when
        if self._seen_failing is not None:
            files, given, told = self._seen_failing
            written(files, self._folder)
            assert wrong(practice.path, given, told) == "", when


troubles = pytest.mark.parametrize("trouble", TROUBLES.values(), ids=list(TROUBLES))
quiet_ones_too = pytest.mark.parametrize("trouble", (TROUBLES | QUIET).values(), ids=list(TROUBLES | QUIET))
forms = pytest.mark.parametrize("form", [0, 1], ids=["a new log", "a log of form 1"])


@forms
@quiet_ones_too
def test_a_fault_that_passes_loses_nothing_and_every_try_gets_kept(
    faulty_disk: FaultyDisk, folder: Path, form: int, trouble: Trouble
) -> None:
    rig = Rig(faulty_disk, folder, form, trouble, lasting=False)

    def practise(practice: Practice) -> None:
        practice.session(rig.next_session, 6)
        practice.session(rig.next_session + 1, 2)
        assert practice.told == len(practice.given)

    rig.each(practise)


@forms
@troubles
def test_a_fault_that_stays_a_while_loses_nothing_and_every_try_gets_kept(
    faulty_disk: FaultyDisk, folder: Path, form: int, trouble: Trouble
) -> None:
    rig = Rig(faulty_disk, folder, form, trouble, lasting=True)

    def practise(practice: Practice) -> None:
        keeper = practice.session(rig.next_session, 5, close=False)
        rig.copy_failing(practice)
        rig.disk.well()
        practice.go_on(keeper, 6)
        assert practice.troubles[-1:] in ([], [""])
        keeper.close()
        assert practice.told == len(practice.given)

    rig.each(practise)


@forms
@quiet_ones_too
def test_a_fault_that_stays_to_the_end_is_told_and_gives_back_what_could_not_be_kept(
    faulty_disk: FaultyDisk, folder: Path, form: int, trouble: Trouble
) -> None:
    rig = Rig(faulty_disk, folder, form, trouble, lasting=True)

    def practise(practice: Practice) -> None:
        keeper = practice.session(rig.next_session, 5, close=False)
        with pytest.raises(LogFault) if keeper.unkept else nullcontext() as last:
            keeper.close()
        assert last is None or practice.troubles[-1] in str(last.value)
        assert practice.told + len(keeper.unkept) == len(practice.given)
        rig.copy_failing(practice)

    rig.each(practise)


@pytest.mark.parametrize("name", ["a read error", "an open error", "no shared memory", "a lock error"])
def test_a_fault_while_the_log_is_read_is_a_sentence(faulty_disk: FaultyDisk, folder: Path, name: str) -> None:
    trouble = TROUBLES[name]
    practice = Practice(folder / NAME)
    practice.session(1, 20)
    kept_open = practice.session(2, 5, close=False)
    nth, failed = 0, True
    sentences: list[str] = []
    while failed:
        nth += 1
        with faulty_disk.used():
            faulty_disk.fail(trouble.codes, nth)
            try:
                with Reader(practice.path) as log:
                    assert list(log.tries()) == practice.given
            except LogFault as fault:
                sentences.append(str(fault))
            failed = faulty_disk.failed > 0
    kept_open.close()
    assert sentences
    assert [said for said in sentences if trouble.said[0] not in said] == []
