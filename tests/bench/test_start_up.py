"""The sums of `start_up`; what they are sums of is counted by qemu."""

from __future__ import annotations

from bench.start_guest import MAKING, by_part, part_of, without_each_other
from bench.start_memory import memory
from bench.start_up import seconds


def test_what_a_module_imports_is_not_its_own() -> None:
    """0 to 100: numpy, in which 10 to 40 is its own core, in which 20 to 25 is re; then re again from 60 to 65."""
    marks = [(0, 0), (2, 10), (4, 20), (5, 25), (3, 40), (6, 60), (7, 65), (1, 100)]
    alone = without_each_other(marks, ["numpy", "numpy.core", "re", "re"])
    assert alone == {"numpy": 100 - 30 - 5, "numpy.core": 30 - 5, "re": 10}
    assert sum(alone.values()) == 100


def test_modules_are_put_together_by_part_the_dearest_first() -> None:
    parts = by_part(
        {"re": 1_000_000, "numpy": 2_000_000, "numpy.linalg": 3_000_000, "airladder.pages.box": 4_000_000}
    )
    assert list(parts) == ["numpy", "ours: pages", "standard library"]
    assert (parts["numpy"].millions, parts["numpy"].modules) == (5.0, 2)


def test_every_module_belongs_to_a_part() -> None:
    assert part_of("airladder.hearing.ear") == "ours: hearing"
    assert part_of("airladder.config") == part_of("airladder") == "ours: command line and settings"
    assert part_of("PIL.Image") == "PIL"
    assert part_of(MAKING) == MAKING


def test_memory_is_looked_at_when_a_step_is_marked() -> None:
    taken = 48 * 1024 * 1024
    script = f"mark(0)\nkept = bytearray(b'x' * {taken})\nmark(1)\n"
    held = memory(script, ("before", "after")).steps
    assert 47 <= held["after"].private - held["before"].private <= 100  # it stood there twice for a moment


def test_instructions_are_told_as_a_range_of_seconds() -> None:
    assert seconds(600.0) == "0.60 to 2.00"
