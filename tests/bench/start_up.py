"""What the start of the box costs, and what it holds in memory: python -m bench.start_up [--out START_UP.md].

Nobody here has a board. arm64 instructions are counted under qemu-user (`start_guest`), memory is this computer's
(`start_memory`). The board's Cortex-A53 at 1 GHz is **assumed** to do 0.3 to 1 instruction a nanosecond in such code,
from memory: it takes its instructions in order, and a start finds nothing in its caches. How long the card takes to
read what is needed is not in that.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from itertools import accumulate
from pathlib import Path

from bench import start_scripts as scripts
from bench.instructions import missing_tools
from bench.start_guest import by_module, by_part, steps
from bench.start_memory import Memory, memory
from bench.tables import Table

A53_MILLIONS = (1000.0, 300.0)
"""Instructions a second of the board's core, in millions: the most and the least. From memory, not measured."""
ARENAS = ("", "1", "2")
_DOCUMENT = Path(__file__).with_name("START_UP.md")
_BEGIN, _END = "<!-- made by bench.start_up -->\n", "<!-- to here -->\n"
_SMALL_MIB, _SMALL_MILLIONS = 0.4, 2.0


def main() -> int:
    """Make the tables anew; 2 where something is missing."""
    words = argparse.ArgumentParser(prog="python -m bench.start_up", description=__doc__)
    words.add_argument("--out", type=Path, default=_DOCUMENT, help="the page whose tables are made anew")
    out: Path = words.parse_args().out
    if missing_tools():
        sys.stderr.write(f"start_up: not on this computer: {', '.join(missing_tools())}\n")
        return 2
    text = "\n".join(table.markdown() for table in tables())
    before, _, rest = out.read_text("utf-8").partition(_BEGIN)
    out.write_text(before + _BEGIN + "\n" + text + "\n" + _END + rest.partition(_END)[2], encoding="utf-8")
    sys.stdout.write(text)
    return 0


def tables() -> list[Table]:
    """All of them."""
    held = memory(scripts.WHOLE, scripts.WHOLE_STEPS)
    return [_whole(held), _pictures(), _uncompiled(), _parts(held), _files(held), _arenas()]


def seconds(millions: float) -> str:
    """What that many instructions may take on the board."""
    quick, slow = (millions / rate for rate in A53_MILLIONS)
    return f"{quick:.2f} to {slow:.2f}"


def _whole(held: Memory) -> Table:
    cost = steps(scripts.WHOLE, scripts.WHOLE_STEPS)
    rows = [
        (what, f"{cost[what]:.0f}", f"{so_far:.0f}", seconds(so_far), f"{memory_of.resident:.1f}")
        for (what, so_far), memory_of in zip(_summed(cost).items(), held.steps.values(), strict=True)
    ]
    note = "Millions of arm64 instructions of `airladder box`, what they may take, and resident MiB after each step."
    return Table("From the start of the service", note, ("step", "M", "so far, M", "so far, s", "MiB"), tuple(rows))


def _pictures() -> Table:
    ready = _summed(steps(scripts.READY_MADE, scripts.READY_MADE_STEPS))
    drawn = steps(scripts.DRAWN, scripts.DRAWN_STEPS)
    rows = [(what, f"{so_far:.0f}", seconds(so_far)) for what, so_far in ready.items()]
    rows += [(what, f"{so_far:.0f}", seconds(so_far)) for what, so_far in [*_summed(drawn).items()][1:]]
    note = "What a picture costs at least: a ready-made one, and below it one that is drawn."
    return Table("A picture and nothing else", note, ("up to", "so far, M", "so far, s"), tuple(rows))


def _uncompiled() -> Table:
    rows = []
    for what, last in (("the first picture", 3), ("a practice has begun", len(scripts.WHOLE_STEPS))):
        kept = sum([*steps(scripts.WHOLE, scripts.WHOLE_STEPS).values()][:last])
        not_kept = sum([*steps(scripts.WHOLE, scripts.WHOLE_STEPS, compiled=False).values()][:last])
        rows.append((what, f"{kept:.0f}", f"{not_kept:.0f}", seconds(not_kept)))
    note = "The same where no compiled Python lies beside the files, as on a root that is read-only."
    return Table("Without compiled Python", note, ("until", "kept, M", "not kept, M", "not kept, s"), tuple(rows))


def _parts(held: Memory) -> Table:
    parts = by_part(by_module(scripts.ALL_OF_IT))
    rows = [
        (part, f"{share.modules}", f"{share.millions:.0f}", f"{held.compiled.get(part, 0.0):.2f}")
        for part, share in parts.items()
        if share.millions >= _SMALL_MILLIONS
    ]
    total = sum(share.millions for share in parts.values())
    rows.append(("all", "", f"{total:.0f}", f"{sum(held.compiled.values()):.2f}"))
    note = "What is imported until the box listens, each part without what it imports of others; its compiled MiB."
    return Table("By part", note, ("part", "modules", "M", "MiB"), tuple(rows))


def _files(held: Memory) -> Table:
    big = {name: size for name, size in held.mapped.items() if size >= _SMALL_MIB}
    rows = [(name, f"{size:.1f}") for name, size in big.items()]
    rows.append(("all files", f"{sum(held.mapped.values()):.1f}"))
    note = "Pages of files in memory at the end, MiB: so much, and what the kernel reads ahead, comes from the card."
    return Table("Files in memory", note, ("file", "MiB"), tuple(rows))


def _arenas() -> Table:
    rows = []
    for most in ARENAS:
        last = [
            *memory(scripts.WHOLE, scripts.WHOLE_STEPS, {"MALLOC_ARENA_MAX": most} if most else {}).steps.values()
        ][-1]
        rows.append((most or "not set", f"{last.private:.1f}", f"{last.resident:.1f}"))
    note = "Whether fewer arenas of glibc's malloc (one a thread, up to eight a core) make the program smaller; MiB."
    return Table("MALLOC_ARENA_MAX", note, ("at most", "private", "resident"), tuple(rows))


def _summed(cost: Mapping[str, float]) -> dict[str, float]:
    return dict(zip(cost, accumulate(cost.values()), strict=True))


if __name__ == "__main__":
    sys.exit(main())
