"""What the process holds while we listen for an hour."""

from __future__ import annotations

import gc
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from airladder.hearing.block import HOP_SECONDS, Block
from airladder.hearing.ear import Ear
from bench.clip import Clip
from bench.listeners import blocks_of
from bench.tables import Table

FLAT_KIB = 256.0
"""Flat: what the allocator moves to and fro, with no trend."""

_HOUR_MINUTES = 60
_MEBIBYTE = 2.0**20
_PAGE = 4096


def hour_table(held: list[int]) -> Table:
    """Some minutes of the hour."""
    rows = [(f"{minute}", f"{held[minute - 1] / _MEBIBYTE:.2f}") for minute in (1, 5, 10, 20, 30, 40, 50, 60)]
    grown = f"from minute 10 on it grew by {grown_kib(held):.0f} KiB"
    note = f"Memory of a process that listens for an hour and does nothing else; {grown}."
    return Table("An hour", note, ("minute", "MiB"), tuple(rows))


def grown_kib(held: list[int]) -> float:
    """KiB from minute 10 on."""
    return (held[-1] - held[9]) / 1024.0


def held_each_minute(clip: Clip) -> list[int]:
    """Bytes of memory after each minute of an hour of the same sound over and over, in a process of its own.

    In this one, what others gave back would hide what is taken.
    """
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
        return alone.submit(_held_here, clip).result()


def _held_here(clip: Clip) -> list[int]:
    ear, blocks, held, hop = Ear(clip.series), blocks_of(clip.samples), list[int](), 0
    per_minute = round(60.0 / HOP_SECONDS)
    for _ in range(_HOUR_MINUTES):
        for _ in range(per_minute):
            ear.feed(Block(blocks[hop % len(blocks)].samples, hop, (hop + 1) * HOP_SECONDS))
            hop += 1
        gc.collect()
        held.append(_resident())
    return held


def _resident() -> int:
    """Bytes of memory of this process; Linux only."""
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * _PAGE
