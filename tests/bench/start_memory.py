"""What the program holds in memory as it starts, on this computer: the same steps as `start_guest` counts.

Resident memory is that of this computer's Python and libraries, amd64 as a rule; on the board's arm64 it is near, not
the same. What is read from the card is told by the pages of files that are in memory, and by compiled Python.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from bench.start_guest import part_of

_TESTS = Path(__file__).parents[1]
_MARKING = """
import os, sys
noted = {}
def mark(number):
    if number not in noted:
        with open("/proc/self/status") as status:
            lines = [line.split() for line in status]
        noted[number] = {words[0]: int(words[1]) for words in lines if words[0] in ("RssAnon:", "RssFile:")}
"""
_TELLING = """
import json
mapped, name = {}, ""
with open("/proc/self/smaps") as maps:
    for line in maps:
        words = line.split()
        if "-" in words[0] and len(words) > 5:
            name = words[5]
        elif "-" in words[0]:
            name = ""
        elif words[0] == "Rss:" and name.startswith("/"):
            mapped[name] = mapped.get(name, 0) + int(words[1])
compiled = {name: os.path.getsize(module.__cached__) for name, module in list(sys.modules.items())
            if getattr(module, "__cached__", None) and os.path.exists(module.__cached__)}
print(json.dumps({"steps": noted, "mapped": mapped, "compiled": compiled}))
"""


@dataclass(frozen=True)
class Held:
    """Memory in MiB: private, and of files."""

    private: float
    files: float

    @property
    def resident(self) -> float:
        """Both together."""
        return self.private + self.files


@dataclass(frozen=True)
class Memory:
    """One run: what was held after each step, the pages of files by file (MiB), and compiled Python by part (MiB)."""

    steps: Mapping[str, Held]
    mapped: Mapping[str, float]
    compiled: Mapping[str, float]


def memory(script: str, told: Sequence[str], environment: Mapping[str, str] | None = None) -> Memory:
    """Run a script that marks its steps.

    Parameters
    ----------
    told : what each step is called, that to mark 0 first
    environment : more for it

    Raises
    ------
    RuntimeError : when the script fails; its last words are in the text.
    """
    path = ":".join(str(folder) for folder in (_TESTS.parent / "firmware", _TESTS))
    about = {**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1", **(environment or {})}
    about.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-c", _MARKING + script + _TELLING]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=about)
    if done.returncode:
        raise RuntimeError(f"The program failed with {done.returncode}: {done.stderr[-2000:]}")
    found = json.loads(done.stdout.splitlines()[-1])
    steps = {what: _held(found["steps"][str(number)]) for number, what in enumerate(told)}
    compiled: Counter[str] = Counter()
    for name, size in found["compiled"].items():
        compiled[part_of(name)] += size
    mapped = sorted(found["mapped"].items(), key=lambda file: -file[1])
    return Memory(
        steps,
        {Path(name).name: kib / 1024 for name, kib in mapped},
        {part: size / 2**20 for part, size in compiled.most_common()},
    )


def _held(status: Mapping[str, int]) -> Held:
    return Held(status["RssAnon:"] / 1024, status["RssFile:"] / 1024)
