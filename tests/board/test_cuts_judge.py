"""The judge of the cuts finds all that a cut may do: disks made here, each with one thing that is wrong."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

import pytest

from airladder.drive import image, outgoing
from airladder.journal.log import Log
from board.cuts_claims import Claims, as_told
from board.cuts_judge import Verdict, judged
from faults.practising import head_of, try_of

PRACTICES = {430.0: 3, 430.01: 5}


@dataclass
class Box:
    """What lies on a data partition, and what the board said of it.

    Attributes
    ----------
    folder : an empty one
    lines : as they came out of the console
    """

    folder: Path
    lines: list[str] = field(default_factory=list)

    @property
    def files(self) -> Path:
        """What is on the partition."""
        return self.folder / "on the disk"

    @property
    def disk(self) -> Path:
        """The partition."""
        return self.folder / "disk"

    def say(self, said: str, **values: object) -> None:
        """The board says it."""
        self.lines.append(f"cut: {json.dumps({'said': said, **values})}")

    def practise(self) -> None:
        """Two practices, of which the board says what it should: all tries are kept, the last is not told so."""
        self.files.mkdir()
        with Log(self.files / "log.sqlite") as log:
            for session, (practice, tries) in enumerate(PRACTICES.items(), 1):
                for number in range(1, tries + 1):
                    attempt, head = try_of(session, number), replace(head_of(session), a4_hz=practice)
                    self.say("given", practice=practice, tried=as_told(attempt))
                    if number == 1:
                        kept_as = log.begin(head, attempt)
                    else:
                        log.keep(kept_as, attempt)
                    if (session, number) != (len(PRACTICES), tries):
                        self.say("kept", practice=practice, number=number)
        (self.files / "settings.toml").write_text("a4 = 430.07\n")
        self.say("saved", a4=430.07)
        self.release()
        self.build()

    def release(self) -> None:
        """A version, whole."""
        program = self.files / "versions/7.1/airladder/__main__.py"
        program.parent.mkdir(parents=True)
        program.write_text("print()\n")
        digest = hashlib.sha256(program.read_bytes()).hexdigest()
        (self.files / "versions/7.1/SHA256SUMS").write_text(f"{digest}  airladder/__main__.py\n")

    def build(self) -> None:
        """The drive that goes out."""
        staged = self.folder / "staged"
        staged.mkdir()
        source, target = sqlite3.connect(self.files / "log.sqlite"), sqlite3.connect(staged / "log.sqlite")
        source.backup(target)
        source.close()
        target.close()
        image.build(staged, self.files / "log-drive/out.img", outgoing.LABEL, datetime(2027, 5, 4, 18, 0))

    def judged(self) -> Verdict:
        """As after a cut; the partition is made, where it is not there yet."""
        claims, work = Claims(), self.folder / "work"
        claims.hear(self.lines)
        work.mkdir()
        if not self.disk.exists():
            with self.disk.open("wb") as file:
                file.truncate(48 << 20)
            subprocess.run(["/usr/sbin/mkfs.ext4", "-q", "-d", self.files, self.disk], check=True)
        return judged(self.disk, claims, work)


@pytest.fixture
def box(tmp_path: Path) -> Box:
    """One that has practised."""
    box = Box(tmp_path)
    box.practise()
    return box


def test_a_disk_with_all_that_was_told_is_well(box: Box) -> None:
    assert box.judged() == Verdict("clean", 8, 0, ())


def sql(box: Box, *statements: str) -> None:
    """Change the log behind everybody's back; its triggers would not let us."""
    connection = sqlite3.connect(box.files / "log.sqlite", isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    connection.close()


def lose_a_try(box: Box) -> None:
    sql(box, "DELETE FROM attempt WHERE session = 2 AND number IN (4, 5)")


def lose_a_practice(box: Box) -> None:
    sql(box, "DELETE FROM attempt WHERE session = 1", "DELETE FROM planned", "DELETE FROM remark")
    sql(box, "DELETE FROM session WHERE id = 1")


def change_a_try(box: Box) -> None:
    sql(box, "UPDATE attempt SET cents = cents + 1 WHERE session = 2 AND number = 3")


def lose_the_log(box: Box) -> None:
    (box.files / "log.sqlite").unlink()


def break_the_log(box: Box) -> None:
    with (box.files / "log.sqlite").open("r+b") as file:
        file.seek(4096)
        file.write(bytes(4096))


def forget_that_it_was_given(box: Box) -> None:
    box.lines = [line for line in box.lines if "given" not in line or '"practice": 430.0,' in line]


def break_the_settings(box: Box) -> None:
    (box.files / "settings.toml").write_bytes(bytes(12))


def bring_back_old_settings(box: Box) -> None:
    (box.files / "settings.toml").write_text("a4 = 430.06\n")


def lose_the_settings(box: Box) -> None:
    (box.files / "settings.toml").unlink()


def tear_a_version(box: Box) -> None:
    (box.files / "versions/7.1/airladder/__main__.py").write_text("pri")


def lose_a_list_of_sums(box: Box) -> None:
    (box.files / "versions/7.1/SHA256SUMS").unlink()


def tear_the_drive(box: Box) -> None:
    with (box.files / "log-drive/out.img").open("r+b") as file:
        file.seek((1 << 20) + 512)
        file.write(b"x" * 4096)


def empty_the_drive(box: Box) -> None:
    with (box.files / "log-drive/out.img").open("r+b") as file:
        file.truncate(1 << 20)


WRONG: dict[Callable[[Box], None], str] = {
    lose_a_try: "practice 430.01: 4 tries were told as kept, 3 are there",
    lose_a_practice: "practice 430.0: 3 tries were told as kept, 0 are there",
    change_a_try: "practice 430.01: 4 tries were told as kept, 2 are there",
    lose_the_log: "practice 430.0: 3 tries were told as kept, 0 are there",
    break_the_log: "log: ",
    forget_that_it_was_given: "practice 430.01: try 1 is not as it was given, or nobody gave it",
    break_the_settings: "settings: ",
    bring_back_old_settings: "settings: A4 is 430.06, told was 430.07",
    lose_the_settings: "settings: A4 is None, told was 430.07",
    tear_a_version: "version 7.1: airladder/__main__.py is not as it was released",
    lose_a_list_of_sums: "version 7.1: SHA256SUMS is not as it was released",
    tear_the_drive: "drive: ",
    empty_the_drive: "drive: ",
}


@pytest.mark.parametrize("harm", WRONG, ids=lambda harm: harm.__name__)
def test_whatever_is_wrong_is_found(harm: Callable[[Box], None], box: Box) -> None:
    harm(box)
    found = box.judged()
    assert any(said.startswith(WRONG[harm]) for said in found.wrong), found


def test_lost_tries_are_counted(box: Box) -> None:
    lose_a_try(box)
    assert box.judged().lost == 1  # one was told as kept, the other one was still on its way


def test_a_file_system_that_only_e2fsck_y_mends_is_told(box: Box) -> None:
    box.judged()
    with box.disk.open("r+b") as file:  # tables of inodes, and what follows
        file.seek(64 << 10)
        file.write(b"\xff" * (2 << 20))
    (box.folder / "work").rename(box.folder / "before")
    found = box.judged()
    assert found.state == "repaired"
    assert found.lost == 7


def test_a_disk_without_a_file_system_is_told(box: Box) -> None:
    box.disk.write_bytes(bytes(48 << 20))
    found = box.judged()
    assert found.state == "given up"
    assert found.wrong[0].startswith("file system: the board would go without it")
    assert found.lost == 7


def test_what_was_seen_once_must_be_there_from_then_on(box: Box) -> None:
    claims = Claims()
    claims.hear(box.lines)
    assert claims.told == 7
    box.judged()
    work = box.folder / "again"
    work.mkdir()
    judged(box.disk, claims, work)
    assert claims.told == 8


def test_a_line_that_was_cut_off_was_not_said() -> None:
    claims = Claims()
    claims.hear(
        ['cut: {"said": "kept", "practice": 430.0, "number": 1}', 'cut: {"said": "kept", "practice": 430.0, "num']
    )
    assert claims.told == 1
