"""Drives that we build, looked at by fsck.vfat, mtools and file(1), none of which is ours."""

from __future__ import annotations

import os
import random
import subprocess
from datetime import datetime
from pathlib import Path

import pytest

from airladder.drive.image import build
from airladder.faults import Fault, LogFault
from drive.fatpatch import fsck, mtools

WHEN = datetime(2026, 5, 4, 18, 30, 12)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder like the one that goes out; what stands in it is invented."""
    top = tmp_path / "staged"
    draw = random.Random(1)
    for name, size in {
        "README.txt": 3000,
        "report.html": 200_000,
        "log.sqlite": 5_000_000,
        "tries/2026-05.csv": 90_000,
        "tries/2026-05.jsonl": 1,
        "sessions/00001.mid": 0,
        "a name that is much longer than eight and three, with ♭ and ä.txt": 2048,
    }.items():
        (top / name).parent.mkdir(parents=True, exist_ok=True)
        (top / name).write_bytes(draw.randbytes(size))
    (top / "clips").mkdir()
    return top


def test_every_file_comes_back_by_mtools_as_it_was(folder: Path, tmp_path: Path) -> None:
    image = tmp_path / "out.img"
    build(folder, image, "AIRLADDER", WHEN)
    for path in folder.rglob("*"):
        if path.is_file():
            assert mtools("mtype", f"::/{path.relative_to(folder)}", image=image) == path.read_bytes()
    assert b"AIRLADDER" in mtools("mdir", "::/", image=image)
    assert b"<DIR>" in mtools("mdir", "::/clips", image=image)  # an empty folder is there too


def test_fsck_finds_nothing_to_mend(folder: Path, tmp_path: Path) -> None:
    image = tmp_path / "out.img"
    build(folder, image, "AIRLADDER", WHEN)
    looked = fsck(image)
    assert looked.returncode == 0, looked.stdout
    assert "11 files" in looked.stdout  # 7 files, 3 folders, the label


def test_the_same_folder_gives_the_same_bytes_whatever_its_order_and_times(folder: Path, tmp_path: Path) -> None:
    build(folder, tmp_path / "one.img", "AIRLADDER", WHEN)
    again = tmp_path / "again"
    for path in sorted(folder.rglob("*"), reverse=True):
        target = again / path.relative_to(folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        if path.is_dir():
            target.mkdir(exist_ok=True)
        else:
            target.write_bytes(path.read_bytes())
            os.utime(target, (1, 1))
    build(again, tmp_path / "two.img", "AIRLADDER", WHEN)
    assert (tmp_path / "one.img").read_bytes() == (tmp_path / "two.img").read_bytes()


def test_another_content_of_the_same_size_has_another_volume_number(folder: Path, tmp_path: Path) -> None:
    """Computers take a volume of the same number for the one that they have in their cache (common practice)."""
    build(folder, tmp_path / "one.img", "AIRLADDER", WHEN)
    (folder / "tries" / "2026-05.jsonl").write_bytes(b"?")
    build(folder, tmp_path / "two.img", "AIRLADDER", WHEN)
    numbers = [
        mtools("mdir", "::/", image=tmp_path / name).split(b"Number is ")[1][:9] for name in ("one.img", "two.img")
    ]
    assert numbers[0] != numbers[1]


def test_files_have_the_time_that_was_asked_for(folder: Path, tmp_path: Path) -> None:
    build(folder, tmp_path / "out.img", "AIRLADDER", WHEN)
    listed = mtools("mdir", "::/tries", image=tmp_path / "out.img").decode()
    assert listed.count("2026-05-04  18:30") == 4  # the folder, the one above, and two files


@pytest.mark.parametrize(("year", "shown"), [(1970, "1980-01-01"), (2200, "2107-12-31")])
def test_a_clock_beyond_what_fat_can_say_is_brought_to_its_bounds(
    folder: Path, tmp_path: Path, year: int, shown: str
) -> None:
    build(folder, tmp_path / "out.img", "AIRLADDER", datetime(year, 1, 1))
    assert shown in mtools("mdir", "::/tries", image=tmp_path / "out.img").decode()


def test_the_drive_has_a_partition_table_that_others_read(folder: Path, tmp_path: Path) -> None:
    image = tmp_path / "out.img"
    build(folder, image, "AIRLADDER", WHEN)
    words = ["partx", "--show", "--noheadings", "--output", "NR,START,END,TYPE", str(image)]
    table = subprocess.run(words, check=True, capture_output=True, text=True)  # of util-linux, like the kernel's own
    assert table.stdout.split() == ["1", "2048", str(image.stat().st_size // 512 - 1), "0xe"]
    blkid = subprocess.run(
        ["/usr/sbin/blkid", "--probe", "--offset", str(1024 * 1024), str(image)],
        check=True,
        capture_output=True,
        text=True,
    )
    assert 'LABEL="AIRLADDER"' in blkid.stdout
    assert 'TYPE="vfat"' in blkid.stdout


@pytest.mark.parametrize("size", [100, 13_000_000, 13_900_000, 14_700_000, 40_000_000])
def test_what_does_not_fit_a_size_gets_the_next(tmp_path: Path, size: int) -> None:
    folder = tmp_path / "staged"
    folder.mkdir()
    (folder / "log.sqlite").write_bytes(bytes(size))
    build(folder, tmp_path / "out.img", "AIRLADDER", WHEN)
    assert fsck(tmp_path / "out.img").returncode == 0
    left = (tmp_path / "out.img").stat().st_size - size
    assert 2 * 1024 * 1024 < left < 17 * 1024 * 1024


def test_a_large_drive_gets_fat32(tmp_path: Path) -> None:
    folder = tmp_path / "staged"
    folder.mkdir()
    (folder / "small.txt").write_text("small")
    image = tmp_path / "out.img"
    build(folder, image, "AIRLADDER", WHEN, least=513 * 1024 * 1024)
    with image.open("rb") as file:
        first = file.read(1024 * 1024 + 512)
    assert first[450] == 0x0C
    assert first[1024 * 1024 + 82 : 1024 * 1024 + 90] == b"FAT32   "
    assert mtools("mtype", "::/small.txt", image=image) == b"small"


def test_where_the_disk_cannot_insert_the_drive_is_the_same(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(folder, tmp_path / "one.img", "AIRLADDER", WHEN)
    tools = tmp_path / "tools"
    tools.mkdir()
    (tools / "fallocate").write_text("#!/bin/sh\nexit 1\n")
    (tools / "fallocate").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tools}:{os.environ['PATH']}")
    build(folder, tmp_path / "two.img", "AIRLADDER", WHEN)
    assert (tmp_path / "one.img").read_bytes() == (tmp_path / "two.img").read_bytes()


@pytest.mark.parametrize("tool", ["mkfs.vfat", "mmd", "mcopy", "fsck.vfat"])
@pytest.mark.parametrize("harm", ["exit 3", "kill -9 $$"])
def test_a_tool_that_fails_or_dies_leaves_the_old_drive_whole(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, tool: str, harm: str
) -> None:
    image = tmp_path / "drives" / "out.img"
    build(folder, image, "AIRLADDER", WHEN)
    before = image.read_bytes()
    tools = tmp_path / "tools"
    tools.mkdir()
    (tools / tool).write_text(f"#!/bin/sh\necho it is broken >&2\n{harm}\n")
    (tools / tool).chmod(0o755)
    monkeypatch.setenv("PATH", f"{tools}:{os.environ['PATH']}")
    (folder / "README.txt").write_text("another")
    with pytest.raises(Fault, match=rf"{tool} says 'it is broken'"):
        build(folder, image, "AIRLADDER", WHEN)
    assert image.read_bytes() == before
    assert [path.name for path in image.parent.iterdir()] == ["out.img"]


def test_a_build_that_was_killed_is_no_hindrance_for_the_next(folder: Path, tmp_path: Path) -> None:
    image = tmp_path / "out.img"
    for left in (".out.img.new", ".out.img.joined"):
        (tmp_path / left).write_bytes(b"half a drive")
    build(folder, image, "AIRLADDER", WHEN)
    assert fsck(image).returncode == 0
    assert not list(tmp_path.glob(".out.img*"))


def test_a_missing_tool_is_named_with_its_package(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("airladder.drive.tools.shutil.which", lambda *_, **__: None)
    with pytest.raises(Fault, match=r"needs mkfs\.vfat, which is not on this computer; install dosfstools"):
        build(folder, tmp_path / "out.img", "AIRLADDER", WHEN)


def test_a_folder_that_nobody_may_write_in_is_a_sentence(folder: Path) -> None:
    with pytest.raises(LogFault, match="cannot be written"):
        build(folder, Path("/proc/out.img"), "AIRLADDER", WHEN)
