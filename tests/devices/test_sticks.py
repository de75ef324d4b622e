"""Which sticks are put in: by tables as the kernel writes them (proc_pid_mountinfo(5))."""

from __future__ import annotations

from pathlib import Path

import pytest

from airladder.devices.sticks import sticks

LINE = "36 28 {device} / {where} {ways},relatime shared:1 - {kind} /dev/sda1 rw,fmask=0022\n"


@pytest.fixture
def blocks(tmp_path: Path) -> Path:
    """A stick sda with a partition (8:1), and a card that is built in (179:2)."""
    devices = tmp_path / "devices"
    for disk, part, removable in (("sda", "sda1", "1"), ("mmcblk0", "mmcblk0p2", "0")):
        (devices / disk / part).mkdir(parents=True)
        (devices / disk / "removable").write_text(f"{removable}\n")
    blocks = tmp_path / "block"
    blocks.mkdir()
    for number, target in (("8:0", "sda"), ("8:1", "sda/sda1"), ("179:2", "mmcblk0/mmcblk0p2")):
        (blocks / number).symlink_to(devices / target)
    return blocks


def found(tmp_path: Path, blocks: Path, **words: str) -> list[Path]:
    table = tmp_path / "mountinfo"
    usual = {"device": "8:1", "where": "/media/stick", "ways": "rw", "kind": "vfat"}
    table.write_text("1 1 0:1 / / rw - ext4 /dev/root rw\n" + LINE.format(**(usual | words)))
    return sticks(table, blocks)


def test_a_stick_is_where_it_is_mounted(tmp_path: Path, blocks: Path) -> None:
    assert found(tmp_path, blocks) == [Path("/media/stick")]
    assert found(tmp_path, blocks, device="8:0", kind="exfat") == [Path("/media/stick")]
    assert found(tmp_path, blocks, where="/media/my\\040stick") == [Path("/media/my stick")]


@pytest.mark.parametrize(
    "words", [{"device": "179:2"}, {"kind": "ext4"}, {"ways": "ro"}, {"device": "99:9"}], ids=lambda words: str(words)
)
def test_what_is_built_in_or_cannot_be_written_is_none(tmp_path: Path, blocks: Path, words: dict[str, str]) -> None:
    assert found(tmp_path, blocks, **words) == []


def test_where_nobody_can_tell_there_is_none(tmp_path: Path) -> None:
    assert sticks(tmp_path / "nothing", tmp_path) == []


def test_the_mounts_of_this_computer_can_be_read() -> None:
    assert all(path.is_dir() for path in sticks())
