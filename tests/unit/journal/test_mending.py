"""A damaged log is set aside whole, and a pulled plug loses nothing of it; other programs, disks and rights."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from airladder.faults import LogFault
from airladder.journal import mending
from airladder.journal.flushing import flush
from airladder.journal.log import Log, Reader
from airladder.journal.mending import Mended, mended
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from children import begun, dying_at, ended, in_a_child
from formlogs import shell

from .spoiling import PAGE, bytes_of, everything, spoil, spoil_a_wait

Trier = Callable[..., Attempt]


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
    damaged = pulled.read_bytes()

    def begun_now(path: Path) -> None:
        flush(path)
        if path == pulled.parent and not pulled.exists():
            pulled.write_bytes(b"begun")

    monkeypatch.setattr(mending, "flush", begun_now)
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
