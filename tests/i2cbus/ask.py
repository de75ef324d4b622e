"""Tell the bus something and print its answer: ``python -m i2cbus.ask FOLDER WORDS``. Exit code 1 if it cannot."""

from __future__ import annotations

import json
import os
import socket
import sys
from pathlib import Path

from i2cbus.control import HELP, SOCKET


def ask(folder: Path, line: str) -> dict[str, object]:
    """The answer of the bus that is controlled by this folder.

    Raises
    ------
    OSError : when there is none.
    """
    with socket.socket(socket.AF_UNIX) as wire:
        wire.connect(os.fspath(folder / SOCKET))
        wire.sendall(line.encode() + b"\n")
        with wire.makefile("rb") as answers:
            answer: dict[str, object] = json.loads(answers.readline())
            return answer


def main(words: list[str]) -> int:
    """The command."""
    if len(words) < 2:
        sys.stderr.write(f"python -m i2cbus.ask FOLDER WORDS\n{HELP}")
        return 2
    answer = ask(Path(words[0]), " ".join(words[1:]))
    if "error" in answer:
        sys.stderr.write(f"{answer['error']}\n")
        return 1
    sys.stdout.write(json.dumps(answer, indent=1) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
