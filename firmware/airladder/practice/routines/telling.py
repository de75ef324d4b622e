"""The faults of a routine file and of those that it includes, gathered so that all are told at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from operator import itemgetter
from pathlib import Path

from airladder.faults import BadInput
from airladder.practice.routines.values import plain


@dataclass
class Faults:
    """What was found in the file `main` and its includes.

    Attributes
    ----------
    main : the file that was asked for; faults of others are told with their names
    told : for each file the line (0: of the whole file), and the sentence
    """

    main: Path
    told: dict[Path, list[tuple[int, str]]] = field(default_factory=dict)

    def add(self, path: Path, line: int, key: str, sentence: str) -> None:
        """One more, of what stands under `key` on `line`."""
        self.told.setdefault(path, []).append((line, f"{plain(key)}: {sentence}"))

    @contextmanager
    def of(self, path: Path, line: int, key: str) -> Iterator[None]:
        """Whatever BadInput is raised inside is one more fault, and the reading goes on."""
        try:
            yield
        except BadInput as fault:
            self.add(path, line, key, str(fault))

    def raise_any(self) -> None:
        """BadInput with all of them, line by line, the main file first; nothing when there is none."""
        files = sorted(self.told, key=lambda path: path != self.main)
        told = [
            self._sentence(path, *fault) for path in files for fault in sorted(self.told[path], key=itemgetter(0))
        ]
        if told:
            count = "1 fault" if len(told) == 1 else f"{len(told)} faults"
            raise BadInput(f"{self.main} has {count}:\n  " + "\n  ".join(told))

    def _sentence(self, path: Path, line: int, sentence: str) -> str:
        places = [f"line {line}"] if line else []
        places += [] if path == self.main else [f"of {path.name}"]
        return f"{' '.join(places)}: {sentence}" if places else sentence


@dataclass(frozen=True)
class Spot:
    """A file under way: whatever is found wrong with it goes to `faults`."""

    path: Path
    faults: Faults

    @property
    def count(self) -> int:
        """How many faults there are so far, of all files."""
        return sum(len(found) for found in self.faults.told.values())

    def add(self, line: int, key: str, sentence: str) -> None:
        """One more fault; line 0 is the whole file."""
        self.faults.add(self.path, line, key, sentence)

    def of(self, line: int, key: str) -> AbstractContextManager[None]:
        """A `with` that turns BadInput into one more fault."""
        return self.faults.of(self.path, line, key)
