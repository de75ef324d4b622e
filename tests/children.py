"""Work done in a process of its own that may be killed half way: what a pulled plug leaves of it is on the disk."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable


def in_a_child(work: Callable[[], object]) -> int:
    """Do it in a forked process; the exit status is what `work` gives, or minus the signal that killed it."""
    return ended(begun(work))


def begun(work: Callable[[], object]) -> int:
    """Begin it in a forked process and give that one's number."""
    number = os.fork()
    if not number:
        try:
            given = work()
            os._exit(given if isinstance(given, int) else 0)
        finally:
            os._exit(99)  # it raised: never go on as a second copy of the tests
    return number


def ended(number: int) -> int:
    """Wait for the process that `begun` gave."""
    return os.waitstatus_to_exitcode(os.waitpid(number, 0)[1])


def dying_at(left: int) -> Callable[..., None]:
    """A hook that kills this process when it is called after `left` times."""

    def hook(*_: object) -> None:
        nonlocal left
        left -= 1
        if left < 0:
            os.kill(os.getpid(), signal.SIGKILL)

    return hook
