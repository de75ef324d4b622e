"""Players in programs of their own, for the tests that kill them or let several write one log at once.

    python -m faults.players practise LOG PLAYER SESSIONS TRIES
    python -m faults.players kill LOG TIMES SEED [told-first]

`practise` prints "SESSION NUMBER" for each try after it was told as kept. `kill` lets one child after another
practise without end on the same log, each killed (SIGKILL) at a random moment, and prints what each had told by then
as JSON, a list a child. With `told-first` a try is told before it is kept, so that the test can see that it would be
seen. SESSION is the player's own number for it (`session_of`), from which `practising` makes its values.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

from airladder.journal.keeper import Keeper
from airladder.journal.log import Log
from faults.practising import TidyLog, head_of, try_of

Tell = Callable[[int, int], None]
WARM_UP_S = 0.01
"""About the time in which a child opens the log and keeps a first try."""


def session_of(player: int, number: int) -> int:
    """The number from which the n-th session of a player gets its values; no two sessions are equal."""
    return 1000 * player + number


def practise(path: Path, session: int, tries: int, tell: Tell, opened: Callable[[Path], Log]) -> None:
    """One session; troubles are printed on stderr."""
    keeper = Keeper(path, head_of(session), lambda number: tell(session, number), _trouble, open_log=opened)
    for number in range(1, tries + 1):
        keeper.keep(try_of(session, number))
    keeper.close()


def killed(path: Path, player: int, chance: random.Random, *, told_first: bool) -> list[list[int]]:
    """What a child told that was killed at a random moment, with all its sessions but the last closed well.

    Raises
    ------
    RuntimeError : when the child ended before, by itself.
    """
    come, go = os.pipe()
    child = os.fork()
    if child == 0:
        _practise_for_ever(path, player, go, told_first)
    os.close(go)
    with os.fdopen(come, "rb") as lines:
        told = [lines.readline() for _ in range(chance.randrange(14))]
        time.sleep(chance.random() * WARM_UP_S)
        os.kill(child, signal.SIGKILL)
        told += lines.readlines()
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status):
        raise RuntimeError(f"player {player} ended by itself")
    return [[int(word) for word in line.split()] for line in told]


def _practise_for_ever(path: Path, player: int, pipe: int, told_first: bool) -> None:
    def tell(session: int, number: int) -> None:
        os.write(pipe, f"{session} {number}\n".encode())  # in one piece: a pipe takes short lines whole

    try:
        for number in count(1):
            session = session_of(player, number)
            if told_first:
                tell(session, 1)
            practise(path, session, 1 + number % 5, tell, lambda path: TidyLog(path, 8))
    finally:
        os._exit(1)


def _trouble(sentence: str) -> None:
    if sentence:
        print(sentence, file=sys.stderr, flush=True)  # noqa: T201


def _say(session: int, number: int) -> None:
    print(session, number, flush=True)  # noqa: T201


def main(words: list[str]) -> None:
    """What the words say."""
    path = Path(words[1])
    if words[0] == "practise":
        player, sessions, tries = map(int, words[2:])
        for number in range(1, sessions + 1):
            practise(path, session_of(player, number), tries, _say, Log)
    else:
        chance = random.Random(int(words[3]))
        told = [
            killed(path, player, chance, told_first="told-first" in words) for player in range(1, int(words[2]) + 1)
        ]
        print(json.dumps(told))  # noqa: T201


if __name__ == "__main__":
    main(sys.argv[1:])
