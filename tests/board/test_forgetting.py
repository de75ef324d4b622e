"""The forgetting disk, by an outside client of the protocol: qemu-io, qemu-img and nbdinfo; and by all sequences."""

from __future__ import annotations

import json
import random
import socket
import struct
import subprocess
from collections.abc import Sequence
from itertools import count as numbers
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from board.forgetting import SECTOR, Aftermath, ForgettingDisk, Way
from board.nbdserver import lent

SECTORS = 64


def image_of(folder: Path) -> Path:
    image = folder / "disk"
    image.write_bytes(bytes(SECTORS * SECTOR))
    return image


def words_for(address: str, commands: Sequence[str]) -> list[str]:
    return [
        "qemu-io",
        "-t",
        "writeback",
        "-f",
        "raw",
        *(word for command in commands for word in ("-c", command)),
        address,
    ]


def qemu_io(address: str, *commands: str) -> str:
    """Its own cache is a write-back one: a `write` is no flush, `flush` is one, and so is its end."""
    return subprocess.run(words_for(address, commands), capture_output=True, text=True, check=True).stdout


def killed_qemu_io(address: str, *commands: str) -> None:
    """The same, killed when it has done them: no flush at its end."""
    words = ["stdbuf", "-oL", *words_for(address, [*commands, "read 0 512", "sleep 60000"])]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as client:
        assert client.stdout is not None
        assert any("read 512/512 bytes" in line for line in client.stdout)
        client.kill()


def sectors_of(image: Path) -> list[int]:
    """The first byte of each sector; all bytes of one are alike."""
    content = image.read_bytes()
    parts = [content[start : start + SECTOR] for start in range(0, len(content), SECTOR)]
    assert all(len(set(part)) == 1 for part in parts)
    return [part[0] for part in parts]


def test_nbdinfo_sees_a_disk_that_is_to_be_flushed(tmp_path: Path) -> None:
    with lent(ForgettingDisk(image_of(tmp_path)), tmp_path / "s"):
        said = subprocess.run(
            ["nbdinfo", "--json", f"nbd+unix:///?socket={tmp_path / 's'}"], capture_output=True, check=True
        )
    (export,) = json.loads(said.stdout)["exports"]
    assert export["export-size"] == SECTORS * SECTOR
    assert export["can_flush"]
    assert export["can_fua"]
    assert not export["can_trim"]
    assert export["block_size_minimum"] == SECTOR


def test_qemu_img_copies_what_was_written(tmp_path: Path) -> None:
    content = random.Random(1).randbytes(SECTORS * SECTOR)
    (tmp_path / "source").write_bytes(content)
    with lent(ForgettingDisk(image_of(tmp_path)), tmp_path / "s") as address:
        convert = ("qemu-img", "convert", "-f", "raw", "-O", "raw")
        subprocess.run([*convert, "-n", tmp_path / "source", address], check=True)
        subprocess.run([*convert, address, tmp_path / "copy"], check=True)
    assert (tmp_path / "copy").read_bytes() == content


def test_what_qemu_io_has_flushed_is_there_after_the_cut_and_what_it_has_not_may_be(tmp_path: Path) -> None:
    fates = set()
    for seed in range(12):
        image = image_of(tmp_path)
        disk = ForgettingDisk(image)
        with lent(disk, tmp_path / "s") as address:
            killed_qemu_io(address, "write -P 1 0 4k", "flush", "write -P 2 2k 4k", "write -P 3 -f 16k 1k")
        disk.cut(random.Random(seed))
        found = sectors_of(image)
        assert found[:4] == [1] * 4
        assert set(found[4:8]) <= {1, 2}
        assert set(found[8:12]) <= {0, 2}
        assert found[12:32] == [0] * 20
        assert found[32:34] == [3, 3]
        fates.add(tuple(found[4:12]))
    assert (1,) * 4 + (0,) * 4 in fates
    assert (2,) * 8 in fates
    assert len(fates) > 3, "no write was torn"


def test_a_disk_that_lies_loses_what_qemu_io_has_flushed(tmp_path: Path) -> None:
    lost = 0
    for seed in range(12):
        image = image_of(tmp_path)
        disk = ForgettingDisk(image, Way.LIES)
        with lent(disk, tmp_path / "s") as address:
            qemu_io(address, "write -P 1 0 4k", "flush", "write -P 2 -f 8k 4k")
        assert disk.flushes
        disk.cut(random.Random(seed))
        lost += sectors_of(image)[:24] != [1] * 8 + [0] * 8 + [2] * 8
    assert lost > 4


def test_a_disk_that_keeps_all_keeps_all(tmp_path: Path) -> None:
    disk = ForgettingDisk(image_of(tmp_path), Way.KEEPS)
    with lent(disk, tmp_path / "s") as address:
        killed_qemu_io(address, "write -P 1 0 4k", "write -P 2 2k 4k")
    assert disk.cut(random.Random(1)) == Aftermath(kept=2)
    assert sectors_of(tmp_path / "disk")[:12] == [1] * 4 + [2] * 8


def test_a_machine_that_comes_back_sees_what_the_cut_has_left(tmp_path: Path) -> None:
    disk = ForgettingDisk(image_of(tmp_path))
    for seed in range(4):
        with lent(disk, tmp_path / "s") as address:
            killed_qemu_io(address, f"write -P {seed + 1} 0 16k", "flush", "write -P 99 0 16k")
        disk.cut(random.Random(seed))
        with lent(disk, tmp_path / "s") as address:
            dump = qemu_io(address, "read -v 0 16k")
        seen = bytes(int(byte, 16) for line in dump.splitlines() if ":  " in line for byte in line[11:58].split())
        assert seen == (tmp_path / "disk").read_bytes()[: 16 * 1024]


@pytest.mark.parametrize(
    ("kind", "place", "length"), [(0, 1 << 20, 512), (1, 1 << 20, 512), (0, 256, 512), (9, 0, 0)]
)
def test_what_no_disk_can_do_is_refused(kind: int, place: int, length: int, tmp_path: Path) -> None:
    """Beyond the end, between sectors, unheard of: qemu would not even ask for it."""
    invalid = 22
    with lent(ForgettingDisk(image_of(tmp_path)), tmp_path / "s"), socket.socket(socket.AF_UNIX) as line:
        line.connect(str(tmp_path / "s"))
        line.sendall(struct.pack(">I8sII", 3, b"IHAVEOPT", 1, 0))
        greeting = 18 + 10
        received(line, greeting)
        line.sendall(
            struct.pack(">IHHQQI", 0x25609513, 0, kind, 7, place, length) + bytes(length if kind == 1 else 0)
        )
        assert struct.unpack(">IIQ", received(line, 16)) == (0x67446698, invalid, 7)


def received(line: socket.socket, length: int) -> bytes:
    return line.recv(length, socket.MSG_WAITALL)


def test_the_power_may_go_in_the_middle_of_a_write(tmp_path: Path) -> None:
    """Nobody hears that it was done, and any part of it may be there."""
    disk, writes = ForgettingDisk(image_of(tmp_path)), numbers(1)
    with lent(disk, tmp_path / "s", lambda: next(writes) == 2) as address:
        words = words_for(address, ["write -P 1 0 4k", "write -P 2 8k 4k", "write -P 3 16k 4k"])
        said = subprocess.run(words, capture_output=True, text=True, check=False).stdout
    assert said.count("wrote 4096/4096 bytes") == 1
    disk.cut(random.Random(1))
    assert set(sectors_of(tmp_path / "disk")[32:40]) == {0}


def test_of_two_writes_to_one_sector_either_may_be_there(tmp_path: Path) -> None:
    found = set()
    for seed in range(40):
        disk = ForgettingDisk(image_of(tmp_path))
        disk.write(0, b"\x01" * SECTOR)
        disk.write(0, b"\x02" * SECTOR)
        disk.cut(random.Random(seed))
        found.add(sectors_of(tmp_path / "disk")[0])
    assert found == {0, 1, 2}


Deeds = Sequence[tuple[str, int, int]]
DEEDS = st.lists(
    st.tuples(st.sampled_from(["write", "write", "fua", "flush"]), st.integers(0, 15), st.integers(1, 6)), max_size=20
)


@given(DEEDS, st.integers(0, 2**32))
def test_each_sector_holds_what_was_flushed_or_what_came_after(
    tmp_path_factory: pytest.TempPathFactory, deeds: Deeds, seed: int
) -> None:
    folder = tmp_path_factory.mktemp("disk")
    disk = ForgettingDisk(image_of(folder))
    seen = [0] * SECTORS
    may_be = [{0} for _ in range(SECTORS)]
    for number, (what, place, count) in enumerate(deeds, 1):
        if what == "flush":
            disk.flush()
            may_be = [{now} for now in seen]
            continue
        disk.write(place * SECTOR, bytes([number]) * (count * SECTOR), safe=what == "fua")
        for sector in range(place, place + count):
            seen[sector] = number
            may_be[sector] = {number} if what == "fua" else may_be[sector] | {number}
    assert disk.read(0, SECTORS * SECTOR) == b"".join(bytes([now]) * SECTOR for now in seen)
    disk.cut(random.Random(seed))
    found = sectors_of(folder / "disk")
    assert all(now in allowed for now, allowed in zip(found, may_be, strict=True))
    assert disk.read(0, SECTORS * SECTOR) == (folder / "disk").read_bytes()


def test_what_became_of_each_write_is_counted(tmp_path: Path) -> None:
    told = []
    for seed in range(40):
        disk = ForgettingDisk(image_of(tmp_path))
        disk.write(0, b"a" * SECTOR)
        disk.write(8 * SECTOR, b"b" * (8 * SECTOR))
        disk.write(32 * SECTOR, b"c" * (8 * SECTOR), safe=True)
        told.append(disk.cut(random.Random(seed)))
        content = (tmp_path / "disk").read_bytes()
        there = [content[:1] == b"a", content[8 * SECTOR : 16 * SECTOR].count(b"b") // SECTOR]
        assert told[-1].torn == (0 < there[1] < 8)
        assert told[-1].kept == there[0] + (there[1] == 8)
        assert told[-1].dropped == (not there[0]) + (there[1] == 0)
    assert {(one.dropped, one.kept) for one in told} >= {(2, 0), (0, 2)}
    assert any(one.torn for one in told)
