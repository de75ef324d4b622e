"""The installed box on the virtual board: ``python -m acceptance.board.prove [WORD ...]``; `run` tells the words."""

from __future__ import annotations

import functools
import sys
import tempfile
import time
import traceback
from pathlib import Path

from acceptance.board import faults, tree, whole
from acceptance.board.box import switched_on
from acceptance.kernel.claims import Claims, say
from board.sounds import write


def main(words: list[str]) -> int:
    """Every part that is named by a word of it, or all; 1 when a claim failed."""
    began, claims = time.monotonic(), Claims()
    with tempfile.TemporaryDirectory(prefix="board-") as folder:
        work = Path(folder)
        image, sounds = work / "box.ext4", work / "sounds"
        sounds.mkdir()
        write(sounds / "horn.wav")
        tree.installed(image)
        say(f"-- installed, after {time.monotonic() - began:.0f} s")
        start = functools.partial(switched_on, image, sounds)
        parts = {"whole": functools.partial(everything, start, work, claims)}
        for fault in faults.FAULTS:
            parts[fault.name] = functools.partial(faults.tried, fault, start, work, claims)
        for name, part in parts.items():
            if words and not any(word in name for word in words):
                continue
            say(f"-- {name}, after {time.monotonic() - began:.0f} s")
            try:
                part()
            except (OSError, RuntimeError, AssertionError, LookupError, ValueError):
                claims.failed += 1
                say(f"FAILED  {name}, which broke off:\n{traceback.format_exc()}")
    say(f"board: {claims.ok} ok, {claims.failed} FAILED")
    return 1 if claims.failed else 0


def everything(start: functools.partial, work: Path, claims: Claims) -> None:  # type: ignore[type-arg]
    """The board that lacks nothing."""
    partition = work / "data.ext4"
    tree.data(partition)
    with start(disks=[f"{partition},cache=unsafe"]) as box:
        whole.comes_up(box, claims)
        whole.practises(box, claims)
        whole.costs(box)
        whole.figures(box)
        whole.sets_the_clock(box, claims)
        whole.is_watched(box, claims)
        whole.goes_off(box, claims)
    with tree.opened(partition) as folder:
        claims.that("the log lies on the data partition", (folder / "log.sqlite").exists())


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
