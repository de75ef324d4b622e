"""Prints a line for each claim, and counts them."""

from __future__ import annotations

import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from airladder.faults import Fault


def say(text: str) -> None:
    """A line for whoever waits."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


class Claims:
    """What was claimed, and whether it is so."""

    def __init__(self) -> None:
        self.ok, self.failed = 0, 0

    def that(self, sentence: str, found: object, wanted: object = True) -> None:
        """Claim that `found` is `wanted`."""
        if found == wanted:
            self.ok += 1
            say(f"ok      {sentence}")
        else:
            self.failed += 1
            say(f"FAILED  {sentence}: found {found!r}, wanted {wanted!r}")

    def soon(
        self, sentence: str, found: Callable[[], object], wanted: object = True, *, within: float = 15.0
    ) -> None:
        """Claim that `found` gives `wanted` before so many seconds are over."""
        self.that(sentence, until(found, wanted, within), wanted)

    def refused(self, sentence: str, do: Callable[[], object], kind: type[Exception]) -> None:
        """Claim that it is refused with this kind of exception, and no other."""
        try:
            do()
        except (OSError, Fault) as error:
            self.that(f"{sentence} ({error})", type(error), kind)
        else:
            self.that(sentence, "it was done", kind)

    @contextmanager
    def part(self, name: str) -> Iterator[None]:
        """Claims that belong together: what breaks off is a claim that failed, and the next part is tried."""
        say(f"-- {name}")
        try:
            yield
        except (OSError, Fault, LookupError, subprocess.SubprocessError):
            self.failed += 1
            say(f"FAILED  {name}, which broke off:\n{traceback.format_exc()}")

    def close(self) -> None:
        """Say how many there were."""
        say(f"kernel: {self.ok} ok, {self.failed} FAILED")


def until(found: Callable[[], object], wanted: object = True, within: float = 15.0) -> object:
    """Ask until `found` gives `wanted`, or so many seconds are over; its last answer."""
    ends = time.monotonic() + within
    while (answer := found()) != wanted and time.monotonic() < ends:
        time.sleep(0.1)
    return answer
