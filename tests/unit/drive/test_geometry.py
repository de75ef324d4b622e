"""Sizes of volumes, held to the bounds between FAT12, FAT16 and FAT32 of Microsoft's paper."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from airladder.drive.geometry import MIB, geometry, partition_table


@given(st.lists(st.integers(0, 900 * MIB), max_size=4), st.integers(0, 64 * MIB))
def test_every_volume_holds_its_files_and_is_surely_of_its_kind(sizes: list[int], least: int) -> None:
    form = geometry([(f"folder {n}/a long name of a file {n}.txt", size) for n, size in enumerate(sizes)], least)
    clusters = form.size // form.cluster
    tables = 2 * clusters * form.fat // 8
    assert sum(-(-size // form.cluster) for size in sizes) * form.cluster + tables + 2 * MIB <= form.size
    assert form.size >= max(least, 16 * MIB)
    if form.fat == 16:
        assert clusters - tables // form.cluster - 64 > 4085 + 16
        assert clusters < 65525 - 16
    else:
        assert clusters - tables // form.cluster - 64 > 65525 + 16
    assert form.cluster <= 32768
    assert form.size % 512 == 0


@given(st.integers(0, 40 * MIB))
def test_a_little_more_seldom_makes_another_size(size: int) -> None:
    one, other = (geometry([("log.sqlite", s)], 0).size for s in (size, size + 50_000))
    assert other - one in (0, 4 * MIB)


def test_the_partition_table_has_one_entry_and_the_signature() -> None:
    form = geometry([], 0)
    table = partition_table(form, 0x12345678)
    assert len(table) == 512
    assert table[510:] == b"\x55\xaa"
    assert table[440:444] == bytes.fromhex("78563412")
    assert table[:440] == bytes(440)
    assert table[462:510] == bytes(48)
