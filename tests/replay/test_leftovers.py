"""What a practice leaves behind in the process when it is over: nothing. The long way: `acceptance/soak`."""

from __future__ import annotations

import threading
from pathlib import Path

from stage import Stage


def held() -> tuple[list[str], list[str]]:
    """The names of all threads, and what is open."""
    open_files = []
    for number in Path("/proc/self/fd").iterdir():
        try:
            open_files.append(str(number.readlink()))
        except OSError:  # the one by which the folder was read
            continue
    return sorted(thread.name for thread in threading.enumerate()), sorted(open_files)


def test_a_practice_leaves_no_thread_and_no_open_file(stage: Stage, climb: Path) -> None:
    stage.play(str(climb), "first.sqlite")  # whatever is opened once and for all
    before = held()
    stage.play(str(climb))
    assert held() == before
