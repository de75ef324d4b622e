"""What is no drive, or a damaged one: a sentence for each, and all others are merged."""

from __future__ import annotations

import random
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

import pytest

from airladder.faults import BadInput, LogFault
from airladder.journal.log import Log
from airladder.studio.joining import join
from unit.studio.conftest import Player, attempt
from unit.studio.reading import parquet


def test_the_log_itself_and_its_folder_are_the_same_drive(player: Player, studio: Path) -> None:
    drive = player("one")
    first = join([drive], studio).devices
    assert join([drive / "log.sqlite"], studio).devices == first
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(15,)]


def test_what_another_program_has_just_kept_in_the_log_is_merged_too(player: Player, studio: Path) -> None:
    drive = player("one")
    with Log(drive / "log.sqlite") as log:
        log.keep(3, attempt(6, random.Random(6)))  # still in the file beside it
        assert (drive / "log.sqlite-wal").stat().st_size > 0
        join([drive], studio)
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(16,)]


@pytest.mark.parametrize("bits", [16, 32])
def test_an_image_of_the_drive_is_the_same_drive(player: Player, studio: Path, tmp_path: Path, bits: int) -> None:
    """The image is made by dosfstools and mtools, as any other program would make it."""
    drive, image = player("one"), tmp_path / "one.img"
    _image(image, bits, drive / "log.sqlite")
    first = join([image], studio)
    assert first.faults == []
    assert join([drive], studio).devices == first.devices
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(15,)]


def test_what_cannot_be_merged_is_said_and_all_else_is_merged(player: Player, studio: Path, tmp_path: Path) -> None:
    wrong = {
        "gone": "There is nothing at {path}; name the folder of a drive, an image of one, or a log.",
        "bare": "{path} holds no log.sqlite; name the folder of a drive as it was handed out.",
        "text.txt": "{path} is neither a log nor a whole image of a drive: ",
        "blank.img": "The image {path} holds no log.sqlite; wanted the drive that the box hands out.",
        "other": "{path} is another program's database, no log of Airladder; ",
        "new": "The log {path} is still empty; merge it when it holds a session.",
        "odd": "The log in {path} holds what Airladder never wrote (",
        "torn": "The log in {path} is damaged; copy the drive once more: the box still has the whole log.",
        "half": "The log in {path} is damaged; copy the drive once more: the box still has the whole log.",
    }
    paths = {name: tmp_path / "drives" / name for name in wrong}
    (tmp_path / "drives" / "bare").mkdir(parents=True)
    paths["text.txt"].write_text("Nothing of ours.")
    _image(paths["blank.img"], 16)
    paths["other"].mkdir()
    with closing(sqlite3.connect(paths["other"] / "log.sqlite")) as connection:
        connection.execute("CREATE TABLE notes (text)")
    Log(paths["new"] / "log.sqlite").close()
    with closing(sqlite3.connect(player("odd") / "log.sqlite", isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER session_stays_on_update")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("UPDATE session SET started = 'yesterday' WHERE id = 2")
    _tear(player("torn", days=8, tries=20) / "log.sqlite")
    half = player("half", days=8, tries=20) / "log.sqlite"
    half.write_bytes(half.read_bytes()[: half.stat().st_size // 2])

    merged = join([player("first"), *paths.values(), player("last")], studio)

    assert merged.exit_code == 4
    assert len(merged.devices) == 2
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(30,)]
    for fault, (name, sentence) in zip(merged.faults, wrong.items(), strict=True):
        assert sentence.format(path=paths[name]) in str(fault)
        assert "\n" not in str(fault)


def test_a_studio_with_nothing_in_it_has_no_page(studio: Path, tmp_path: Path) -> None:
    merged = join([tmp_path / "gone"], studio)
    assert [fault.exit_code for fault in merged.faults] == [2, 4]
    assert not (studio / "group.html").exists()


def test_a_drive_that_damaged_meanwhile_takes_nothing_from_the_studio(player: Player, studio: Path) -> None:
    drive = player("one", days=8, tries=20)
    join([drive], studio)
    _tear(drive / "log.sqlite")
    merged = join([drive], studio)
    assert "is damaged" in str(merged.faults[0])
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(160,)]


def test_a_damaged_file_of_the_studio_is_named(player: Player, studio: Path) -> None:
    drive = player("one")
    join([drive], studio)
    held = next(studio.glob("sessions/*/sessions.parquet"))
    held.write_bytes(b"PAR1 and no more")
    with pytest.raises(LogFault, match=rf"The tables of {studio} cannot be looked at .*{held.name}'\); remove"):
        join([drive], studio)
    held.unlink()
    assert join([drive], studio).faults == []


def test_names_that_are_no_names_are_refused(player: Player, studio: Path) -> None:
    studio.mkdir()
    (studio / "names.json").write_text('["a list"]')
    with pytest.raises(BadInput, match=r"names\.json cannot be read"):
        join([player("one")], studio)


def test_an_unknown_engine_is_refused_before_anything_is_written(player: Player, studio: Path) -> None:
    with pytest.raises(BadInput, match="'sparc' is no engine; did you mean spark"):
        join([player("one")], studio, "sparc")
    assert not studio.exists()


def _image(image: Path, bits: int, *files: Path) -> None:
    size = {16: "8192", 32: "65536"}[bits]
    words = ["/usr/sbin/mkfs.vfat", "-C", "-s", "1", "-F", str(bits), str(image), size]
    subprocess.run(words, check=True, capture_output=True)
    if files:
        subprocess.run(["mcopy", "-i", image, *files, "::"], check=True, capture_output=True)


def _tear(log: Path) -> None:
    """Overwrite a page in the middle, as a card that wears out does."""
    held = bytearray(log.read_bytes())
    place = len(held) // 2 // 4096 * 4096
    held[place : place + 4096] = b"\xff" * 4096
    log.write_bytes(held)
