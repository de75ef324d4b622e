"""What the start costs on the arm64 side: module by module, and step by step until the box listens.

Everything is counted in one run of the program under qemu-user: the guest marks a place (`instructions.MARK`), and
what lies between two marks is the cost. Compiled Python is kept from one run to the next, as on the board, unless
it is asked what it would cost otherwise.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from bench.instructions import MARK, Counted, counted
from bench.panel_cost import _packages as pure_packages
from bench.store import CACHE

BYTECODE = CACHE / "arm64-bytecode"
MAKING = "making dataclasses"
"""Not a module: what `dataclasses` writes and compiles for each of ours, at every start."""

_TESTS = Path(__file__).parents[1]
_MARKING = f"""
import os, sys
sys.pycache_prefix = {{bytecode!r}}
sys.dont_write_bytecode = not sys.pycache_prefix
def mark(number):
    try:
        os.close({MARK} + number)
    except OSError:
        pass
"""
_WATCHING = f"""
import _frozen_importlib, json
names = []
def timed(name, call, *words):
    number = len(names)
    names.append(name)
    mark(2 * number)
    try:
        return call(*words)
    finally:
        mark(2 * number + 1)
find = _frozen_importlib._find_and_load_unlocked
_frozen_importlib._find_and_load_unlocked = lambda name, importing: timed(name, find, name, importing)
import dataclasses
make = dataclasses._process_class
dataclasses._process_class = lambda *words: timed({MAKING!r}, make, *words)
{{script}}
print(json.dumps(names))
"""


@dataclass(frozen=True)
class Share:
    """Of one module, or of several: millions of instructions without the modules that they import, and how many."""

    millions: float
    modules: int


def by_module(script: str, paths: Sequence[Path] = ()) -> Counter[str]:
    """Instructions of each module that a script imports, without those that it imports itself."""
    done = _run(_WATCHING.format(script=script), paths)
    return without_each_other(done.marks, json.loads(done.said.splitlines()[-1]))


def without_each_other(marks: Sequence[tuple[int, int]], names: Sequence[str]) -> Counter[str]:
    """What each took without those within it: marks 2 n and 2 n + 1 are the begin and the end of `names[n]`."""
    alone: Counter[str] = Counter()
    under: list[list[int]] = []
    for number, at in marks:
        which, is_end = divmod(number, 2)
        if not is_end:
            under.append([at, 0])
            continue
        began, inner = under.pop()
        alone[names[which]] += at - began - inner
        if under:
            under[-1][1] += at - began
    return alone


def by_part(modules: Mapping[str, int]) -> dict[str, Share]:
    """The same by part: ours by room, libraries by name, the standard library as one; the dearest first."""
    millions: Counter[str] = Counter()
    count: Counter[str] = Counter()
    for name, instructions in modules.items():
        millions[part_of(name)] += instructions
        count[part_of(name)] += 1
    return {part: Share(cost / 1e6, count[part]) for part, cost in millions.most_common()}


def part_of(name: str) -> str:
    """The part that a module belongs to."""
    if name == MAKING:
        return MAKING
    first, _, rest = name.partition(".")
    if first == "airladder":
        room = rest.partition(".")[0]
        return f"ours: {room}" if room in _ROOMS else "ours: command line and settings"
    return first if first in _LIBRARIES else "standard library"


_ROOMS = {path.name for path in (_TESTS.parent / "firmware/airladder").iterdir() if path.is_dir()}
_LIBRARIES = {"numpy", "aubio", "PIL", "luma", "smbus2", "gpiozero", "colorzero", "cbor2", "sqlite3", "_sqlite3"}


def steps(script: str, told: Sequence[str], paths: Sequence[Path] = (), *, compiled: bool = True) -> dict[str, float]:
    """Millions of instructions from step to step of a script that marks them, 0 being its first line.

    Parameters
    ----------
    script : calls `mark(number)` once for each
    told : what each step is called: from the start of the process to mark 0, to mark 1, and so on
    compiled : whether compiled Python is kept
    """
    done = _run(script, paths, compiled=compiled)
    first = dict(reversed(done.marks))
    at = [0, *(first[number] for number in range(len(told)))]
    return {what: (end - begin) / 1e6 for what, (begin, end) in zip(told, pairwise(at), strict=True)}


def _run(script: str, paths: Sequence[Path], *, compiled: bool = True) -> Counted:
    packages = (_TESTS, *pure_packages(), *paths)
    ready = _MARKING.format(bytecode=str(BYTECODE) if compiled else None)
    if not compiled:
        return counted(ready + script, [], packages)
    counted(ready + script, [], packages)  # compiles what is not kept yet
    return counted(ready + script, [], packages)
