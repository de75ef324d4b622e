"""A damaged log is set aside whole, what it held goes on in a new one, and a pulled plug loses nothing of either."""

from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from airladder.faults import LogFault
from airladder.journal import mending
from airladder.journal.forgetting import forget
from airladder.journal.headless import REMARK, SOURCE
from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from airladder.journal.mending import Mended, mended
from airladder.journal.records import KNOWN, Head, Moment, Planned
from airladder.journal.salvage import Saved
from airladder.journal.steps import shipped
from airladder.practice.attempt import Attempt
from children import begun, dying_at, ended, in_a_child
from formlogs import made, rows, shell

Trier = Callable[..., Attempt]
PAGE = 4096
FORMS = len(shipped())


@pytest.fixture
def pulled(tmp_path: Path, head: Head, tried: Trier) -> Path:
    """A log as a pulled plug leaves it: three sessions of 30 tries, the newest of them waiting beside it."""
    path = tmp_path / "box" / "log.sqlite"
    long = tuple((2, 0.25 + n) for n in range(300))  # a path that takes pages of its own
    with Log(path) as log:
        log._connection.execute("PRAGMA synchronous = OFF")  # quick to make
        for number in range(3):
            moment = Moment(f"invented-{number // 2}", 10.0 * number, KNOWN)
            plan = (Planned("rungs", "The next one."), Planned("rest"))
            session = log.begin(replace(head, moment=moment, plan=plan, remarks=("Well done.",)), tried(1, path=long))
            for attempt in range(2, 31):
                log.keep(session, tried(attempt))
            if number == 1:
                log._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (tmp_path / "pulled").mkdir()
        for name in ("log.sqlite", "log.sqlite-wal"):
            shutil.copy(path.with_name(name), tmp_path / "pulled" / name)
    return tmp_path / "pulled" / "log.sqlite"


def spoil(path: Path, at: int, with_: bytes) -> None:
    content = bytearray(path.read_bytes())
    content[at : at + len(with_)] = with_
    path.write_bytes(content)


def spoil_a_wait(path: Path) -> None:
    """Spoil a page that waits, of those that wait again in a later commit."""
    beside = path.with_name(path.name + "-wal")
    content, frame = beside.read_bytes(), 24 + PAGE
    numbers = [content[at : at + 4] for at in range(32, len(content), frame)]
    at = next(n for n in range(10, len(numbers)) if numbers[n] in numbers[n + 3 :])
    spoil(beside, 32 + at * frame + 24 + 7, b"\xa5\x5a")


def everything(path: Path) -> list[str]:
    """Every row of a log, and the switches that a dump leaves out."""
    return [*rows(path), shell(path, "PRAGMA user_version; PRAGMA application_id; PRAGMA integrity_check")]


def bytes_of(folder: Path) -> dict[str, bytes]:
    """The files of a folder; SQLite's shared memory, which holds nothing of the log's own, is left out."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if not file.name.endswith("-shm")}


def whole_page_lost(content: bytearray) -> None:
    content[:PAGE] = bytes(PAGE)


def head_lost(content: bytearray) -> None:
    content[:100] = bytes(100)


def garbage_head(content: bytearray) -> None:
    content[:100] = random.Random(1).randbytes(100)


def wrong_owner(content: bytearray) -> None:
    content[68:72] = b"\xff\xff\xff\xff"


def no_form(content: bytearray) -> None:
    content[60:64] = bytes(4)


@pytest.mark.parametrize("damage", [whole_page_lost, head_lost, garbage_head, wrong_owner, no_form])
def test_a_log_that_lost_its_first_page_loses_no_row(
    pulled: Path, tmp_path: Path, damage: Callable[[bytearray], None]
) -> None:
    """Moved in first, so that what waits beside it does not bring the page back."""
    with Log(pulled):
        pass
    before = everything(pulled)
    content = bytearray(pulled.read_bytes())
    damage(content)
    pulled.write_bytes(content)
    told = mended(pulled)
    assert told is not None
    assert str(told) == (
        "The log was damaged; it lies aside as log.damaged-1.sqlite; 90 of its tries were saved into a new one."
    )
    assert told.saved == Saved(sessions=3, tries=90, headless=0, refused=0)
    assert everything(pulled) == before
    assert told.aside.read_bytes() == content
    assert mended(pulled, whole=True) is None


@pytest.mark.parametrize("form", range(1, FORMS + 1))
def test_every_value_of_every_form_is_saved(form: int, tmp_path: Path) -> None:
    """Without the page that holds the names of the tables; compared with the same log brought up whole."""
    path, whole = made(form, tmp_path / "log.sqlite"), made(form, tmp_path / "whole.sqlite")
    spoil(path, 0, bytes(PAGE))
    Log(whole).close()
    told = mended(path, own=True)
    assert told is not None
    assert told.saved == Saved(3, int(shell(whole, "SELECT count(*) FROM attempt")), 0, 0)
    assert everything(path) == everything(whole)


def test_the_set_aside_log_keeps_every_byte_and_what_waited_beside_it(pulled: Path) -> None:
    spoil(pulled.with_name("log.sqlite-wal"), 32 + 24 + 100, b"\xa5\x5a")
    before = bytes_of(pulled.parent)
    assert mended(pulled)
    after = bytes_of(pulled.parent)
    assert after["log.damaged-1.sqlite"] == before["log.sqlite"]
    assert after["log.damaged-1.sqlite-wal"] == before["log.sqlite-wal"]
    assert {name.removesuffix("-wal") for name in after} == {"log.sqlite", "log.damaged-1.sqlite"}


def test_a_broken_page_among_those_that_wait_loses_none_of_the_others(pulled: Path) -> None:
    """SQLite itself would pass over all commits from there on."""
    before = everything(pulled)
    spoil_a_wait(pulled)
    told = mended(pulled)
    assert told is not None
    assert told.saved.tries == 90
    assert everything(pulled) == before


def test_a_page_that_waits_only_broken_gives_all_its_rows_but_the_broken_one(pulled: Path) -> None:
    """A leaf of the tries, in every commit that holds it: each checksum fails, and one row in each is spoilt."""
    beside = pulled.with_name("log.sqlite-wal")
    content = beside.read_bytes()
    places = range(32, len(content), 24 + PAGE)
    held = pulled.stat().st_size // PAGE
    leaves = {at: content[at : at + 4] for at in places if content[at + 24] == 0x0A and content[at + 28] > 8}
    number = next(number for number in leaves.values() if int.from_bytes(number, "big") > held)
    for at in places:
        if content[at : at + 4] == number:
            spoil(beside, at + 24 + PAGE // 2, b"\xff" * 20)
    told = mended(pulled)
    assert told is not None
    assert 88 <= told.saved.tries <= 90


def test_a_log_emptied_beside_its_newest_tries_gives_those(pulled: Path) -> None:
    pulled.write_bytes(b"")
    told = mended(pulled)
    assert told is not None
    assert told.saved.tries >= 30
    with Reader(pulled) as log:
        assert len(log.session(3).attempts) == 30


def test_a_log_cut_short_gives_the_rows_that_are_left(pulled: Path) -> None:
    with Log(pulled):
        pass
    before = set(rows(pulled))
    pulled.write_bytes(pulled.read_bytes()[: -4 * PAGE - 1000])
    told = mended(pulled, whole=True)
    assert told is not None
    assert 30 <= told.saved.tries < 90
    kept = {row for row in rows(pulled) if "INTO attempt" in row}
    assert kept < before
    assert checked(pulled) is None


@pytest.fixture
def headless(tmp_path: Path, head: Head, tried: Trier) -> Path:
    """A log in which the heads of the first and of the third session are gone, and a switch-on."""
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        for number, horn in enumerate(("soprano", "tenor", "baritone", "alto")):
            moment = Moment(f"invented-{number}", 10.0, KNOWN)
            for attempt in (1, 2):
                one = replace(head, horn=horn, moment=moment)
                log.begin(one, tried(1)) if attempt == 1 else log.keep(number + 1, tried(2))
    connection = sqlite3.connect(path)
    guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("DELETE FROM session WHERE id IN (1, 3)")
    connection.execute("DELETE FROM boot WHERE number = 4")
    for _, sql in guards:
        connection.execute(sql)
    connection.commit()
    connection.close()
    return path


def test_tries_whose_head_is_lost_get_that_of_the_session_before_and_say_so(headless: Path, tried: Trier) -> None:
    told = mended(headless, whole=True)
    assert told is not None
    assert told.saved == Saved(sessions=4, tries=8, headless=2, refused=0)
    with Reader(headless) as log:
        first, third = log.session(1), log.session(3)
        assert first.attempts == third.attempts == (tried(1), tried(2))
        assert (third.head.horn, third.head.source, third.head.remarks) == (
            *("tenor", SOURCE),
            (REMARK.format(whose="those of session 2"),),
        )
        assert (first.head.horn, first.head.remarks) == ("tenor", (REMARK.format(whose="those of session 2"),))
        assert third.head.moment is not None
        assert third.head.moment.trust == "carried"


def test_sessions_stay_in_the_order_of_their_numbers(headless: Path) -> None:
    assert mended(headless, whole=True)
    with Reader(headless) as log:
        assert [summary.id for summary in log.sessions()] == [1, 2, 3, 4]


def test_a_log_of_nothing_but_tries_keeps_them(tmp_path: Path, head: Head, tried: Trier) -> None:
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        log.begin(head, tried(1))
    root = int(shell(path, "SELECT rootpage FROM sqlite_schema WHERE name = 'session'"))
    spoil(path, (root - 1) * PAGE, b"\xa5" * PAGE)
    told = mended(path)
    assert told is not None
    assert told.saved == Saved(1, 1, 1, 0)
    with Reader(path) as log:
        assert (log.session(1).head.horn, log.session(1).attempts) == ("unknown", (tried(1),))


def test_numbers_go_on_after_those_of_sessions_that_could_not_be_saved(
    tmp_path: Path, head: Head, tried: Trier
) -> None:
    """Session 2 is gone without a trace but for the count of the numbers given."""
    path = made(FORMS, tmp_path / "log.sqlite")
    spoil(path, 0, bytes(PAGE))
    assert mended(path, own=True)
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 8


def test_numbers_of_sessions_that_were_all_forgotten_are_not_given_again(
    tmp_path: Path, head: Head, tried: Trier
) -> None:
    path = made(FORMS, tmp_path / "log.sqlite")
    forget(path, None)
    spoil(path, 0, bytes(100))
    told = mended(path)
    assert told is not None
    assert told.saved == Saved(0, 0, 0, 0)
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 8


def test_rows_that_break_a_rule_stay_out_and_are_counted(pulled: Path) -> None:
    """`cracked` becomes `crackee`, in the place of one try and of another."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT max(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    at = content.index(b"cracked", (page - 1) * PAGE)
    spoil(pulled, at, b"crackee")
    spoil(pulled, content.index(b"cracked", at + 1), b"crackee")
    spoil(pulled, 0, bytes(100))
    told = mended(pulled)
    assert told is not None
    assert (told.saved.tries, told.saved.refused) == (88, 2)


def test_a_row_that_the_tables_take_and_the_reader_does_not_stays_out(pulled: Path) -> None:
    """`[2, 0.25]` in a path becomes `[2, 0,25]`, JSON as well."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT max(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    spoil(pulled, content.index(b"[[2, 0.25], [null", (page - 1) * PAGE) + len("[[2, 0"), b",")
    spoil(pulled, 0, bytes(100))
    told = mended(pulled)
    assert told is not None
    assert (told.saved.tries, told.saved.refused) == (89, 1)


def test_a_head_that_breaks_a_rule_is_given_anew(pulled: Path) -> None:
    """`tempered` becomes `temperee` in the head of the second session."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT rootpage FROM sqlite_schema WHERE name = 'session'"))
    spoil(pulled, content.index(b"tempered", content.index(b"tempered", (page - 1) * PAGE) + 1), b"temperee")
    told = mended(pulled, whole=True)
    assert told is not None
    assert told.saved == Saved(sessions=3, tries=90, headless=1, refused=1)


def test_a_log_of_which_nothing_can_be_read_is_begun_anew(tmp_path: Path, head: Head, tried: Trier) -> None:
    path = tmp_path / "log.sqlite"
    garbage = random.Random(2).randbytes(5 * PAGE)
    path.write_bytes(garbage)
    assert mended(path) is None  # it may be anybody's
    told = mended(path, own=True)
    assert str(told) == (
        "The log was damaged; it lies aside as log.damaged-1.sqlite; "
        "none of its tries could be read: a new one is begun."
    )
    assert (tmp_path / "log.damaged-1.sqlite").read_bytes() == garbage
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 1


def test_each_damaged_log_gets_a_name_of_its_own(pulled: Path) -> None:
    first = bytes_of(pulled.parent)
    (pulled.parent / "log.damaged-1.sqlite-wal").write_bytes(b"somebody's")
    for number in (2, 3):
        spoil(pulled, 0, bytes(PAGE))
        pulled.with_name("log.sqlite-wal").unlink(missing_ok=True)
        told = mended(pulled)
        assert told is not None
        assert told.aside.name == f"log.damaged-{number}.sqlite"
    assert (pulled.parent / "log.damaged-1.sqlite-wal").read_bytes() == b"somebody's"
    assert first["log.sqlite"][PAGE:] == (pulled.parent / "log.damaged-2.sqlite").read_bytes()[PAGE:]


def random_damage(seed: int, path: Path) -> None:
    """What a bad card does: bits, half pages, pages in the wrong place."""
    lot = random.Random(seed)
    target = lot.choice([path, path, path.with_name(path.name + "-wal")])
    content = bytearray(target.read_bytes())
    for _ in range(lot.randint(1, 8)):
        match lot.randrange(3):
            case 0:
                content[lot.randrange(len(content))] ^= 1 << lot.randrange(8)
            case 1:
                at = lot.randrange(len(content) // 512) * 512
                content[at : at + 512] = lot.choice([bytes(512), lot.randbytes(512)])
            case _:
                one, other = (lot.randrange(len(content) // PAGE) * PAGE for _ in range(2))
                content[one : one + PAGE] = content[other : other + PAGE]
    target.write_bytes(content)


@pytest.mark.parametrize("seed", range(40))
def test_whatever_the_damage_practice_goes_on_and_most_is_saved(
    seed: int, pulled: Path, head: Head, tried: Trier
) -> None:
    """At most eight spots: what is lost are the rows on them, at most 14 tries a page; a number may be another."""
    with Reader(pulled) as log:
        before = {(number, attempt.number) for number, _, attempt in log.tries()}
    random_damage(seed, pulled)
    damaged = bytes_of(pulled.parent)
    told = mended(pulled, whole=True)
    with Reader(pulled) as log:
        kept = {(number, attempt.number) for number, _, attempt in log.tries()}
    assert len(before - kept) <= 8 * 14
    if told is not None:
        after = bytes_of(pulled.parent)
        assert after["log.damaged-1.sqlite"] == damaged["log.sqlite"]
        assert after["log.damaged-1.sqlite-wal"] == damaged["log.sqlite-wal"]
    with Log(pulled) as log:
        number = log.begin(head, tried(1))
        assert number > 3
        assert len(list(log.tries())) == len(kept) + 1
    assert mended(pulled, whole=True) is None


# A pulled plug, and programs that start at once.

EVENTS = {"os.rename", "os.mkdir", "os.remove", "os.rmdir", "open", "sqlite3.connect", "shutil.rmtree"}


def mend_and_die(path: Path, left: int) -> None:
    """Mend, and be killed at the so many-th thing that is done to the disk."""
    die = dying_at(left)
    sys.addaudithook(lambda event, _: die() if event in EVENTS else None)
    mended(path)


def test_a_plug_pulled_at_any_moment_of_the_mending_loses_nothing(pulled: Path, tmp_path: Path) -> None:
    expected = everything(pulled)
    spoil_a_wait(pulled)
    damaged = bytes_of(pulled.parent)
    mended_by_the_first, died = 0, 0
    for left in count():
        folder = tmp_path / f"died-{left}"
        shutil.copytree(pulled.parent, folder)
        path = folder / "log.sqlite"
        status = in_a_child(partial(mend_and_die, path, left))
        told = mended(path)
        mended_by_the_first += told is None
        assert everything(path) == expected, left
        after = bytes_of(folder)
        assert after["log.damaged-1.sqlite"] == damaged["log.sqlite"], left
        assert after["log.damaged-1.sqlite-wal"] == damaged["log.sqlite-wal"], left
        names = {name.removesuffix("-wal") for name in after}
        assert names == {"log.sqlite", "log.damaged-1.sqlite"}, left
        assert mended(path, whole=True) is None
        shutil.rmtree(folder)
        if status == 0:
            break
        died += 1
        assert status == -9
    assert died > 15
    assert 1 <= mended_by_the_first < died


def test_of_programs_that_start_at_once_one_mends_and_the_others_find_it_well(pulled: Path) -> None:
    expected = everything(pulled)
    spoil_a_wait(pulled)
    programs = [begun(lambda: int(mended(pulled) is not None)) for _ in range(4)]
    assert sorted(map(ended, programs)) == [0, 0, 0, 1]
    assert everything(pulled) == expected
    assert not list(pulled.parent.glob("*damaged-2*"))


HOLDING = """
import sys
from pathlib import Path
from airladder.journal.log import Log
with Log(Path(sys.argv[1])):
    print("open", flush=True)
    sys.stdin.readline()
"""


def test_a_damaged_log_that_another_program_holds_is_left_where_it_is(
    pulled: Path, other_program: Callable[..., subprocess.Popen[str]]
) -> None:
    with Log(pulled):
        pass
    page = int(shell(pulled, "SELECT max(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    spoil(pulled, (page - 1) * PAGE, b"\xa5" * PAGE)
    before = pulled.read_bytes()
    with other_program(HOLDING, pulled, stdin=subprocess.PIPE) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "open\n"
        with pytest.raises(LogFault, match=r"is damaged \(.*\) and another program holds it; close that program and"):
            mended(pulled, whole=True)
        program.communicate("\n")
    assert pulled.read_bytes() == before
    assert mended(pulled, whole=True)


def test_a_log_begun_while_another_was_mended_is_not_written_over(
    pulled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoil(pulled, 0, bytes(PAGE))
    pulled.with_name("log.sqlite-wal").unlink()
    damaged, flush = pulled.read_bytes(), mending._flush

    def begun_now(path: Path) -> None:
        flush(path)
        if path == pulled.parent and not pulled.exists():
            pulled.write_bytes(b"begun")

    monkeypatch.setattr(mending, "_flush", begun_now)
    with pytest.raises(LogFault, match=r"A new log was begun at .* while the damaged one was mended; move it to"):
        mended(pulled)
    monkeypatch.undo()
    with pytest.raises(LogFault, match="A new log was begun at"):
        mended(pulled)
    assert pulled.read_bytes() == b"begun"
    assert pulled.with_name("log.damaged-1.sqlite").read_bytes() == damaged
    pulled.unlink()
    told = mended(pulled)
    assert isinstance(told, Mended)
    assert told.saved.tries == 60


# Disks that take nothing.

FULL_DISK = """
import shutil, sys
from pathlib import Path
from airladder.faults import LogFault
from airladder.journal.mending import mended

disk, log = Path(sys.argv[1]), Path(sys.argv[2])
shutil.copy(log, disk / "log.sqlite")
before = (disk / "log.sqlite").read_bytes()
try:
    mended(disk / "log.sqlite")
except LogFault as fault:
    print(fault)
print((disk / "log.sqlite").read_bytes() == before, sorted(file.name for file in disk.iterdir()))
"""


def test_a_full_disk_is_told_and_the_damaged_log_stays_where_it_is(
    pulled: Path, tmp_path: Path, small_disk: Callable[..., list[str]]
) -> None:
    with Log(pulled):
        pass
    spoil(pulled, 0, bytes(PAGE))
    held = -(-pulled.stat().st_size // 1024)
    with TemporaryDirectory() as elsewhere:  # the small disk hides the folder of this test
        fault, left = small_disk(FULL_DISK, shutil.copy(pulled, elsewhere), size=f"{held + 40}k")
    assert fault.endswith(
        "is damaged and the disk has no room to save its tries into a new one; it was left as it is: make some room "
        "and start again."
    )
    assert left == "True ['log.sqlite']"


@pytest.fixture
def closed(open_folder: Path, pulled: Path, request: pytest.FixtureRequest) -> Path:
    """A damaged log in a folder that this user may not write in."""
    path = Path(shutil.copy(pulled, open_folder / "log.sqlite"))
    spoil(path, 0, bytes(PAGE))
    path.chmod(0o444)
    open_folder.chmod(0o555)
    request.getfixturevalue("ordinary_user")
    return path


def test_a_place_where_this_user_may_not_write_is_told_and_nothing_is_changed(closed: Path) -> None:
    before = closed.read_bytes()
    with pytest.raises(LogFault, match=r"is damaged and cannot be mended \(.*Permission denied.*\); nothing of it"):
        mended(closed)
    assert closed.read_bytes() == before
    assert [file.name for file in closed.parent.iterdir()] == ["log.sqlite"]


def test_what_is_no_damage_is_left_alone(tmp_path: Path, pulled: Path) -> None:
    (tmp_path / "take.wav").write_bytes(b"RIFF" + bytes(20000))
    before = bytes_of(pulled.parent)
    for path in (
        pulled,
        tmp_path,
        tmp_path / "take.wav",
        tmp_path / "none.sqlite",
        tmp_path / "no" / "folder.sqlite",
    ):
        assert mended(path) is None
    after = bytes_of(pulled.parent)
    assert after == before
    assert {file.name for file in tmp_path.iterdir()} == {"take.wav", "box", "pulled"}
