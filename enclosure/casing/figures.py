"""Figures of a TOML file, asked for by name, each with its kind; and the same file with one figure changed."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ENCLOSURE = Path(__file__).resolve().parents[1]


class FigureFault(Exception):
    """A figure that is missing, or is not of the kind that is wanted. Its text is one sentence for the maker."""


@dataclass(frozen=True, eq=False)
class Figures:
    """What a TOML file says. Two are the same only if they are one, so that what is made of them can be kept.

    Attributes
    ----------
    name : of the file, for messages
    tree : tables, lists and numbers, as tomllib reads them
    """

    name: str
    tree: dict[str, object]

    def _at(self, path: str) -> object:
        here: object = self.tree
        for word in _words(path):
            if not isinstance(here, dict) or word not in here:
                raise FigureFault(f"{self.name} has no {path}; write it there.")
            here = here[word]
        return here

    def mm(self, path: str) -> float:
        """One number (mm, or what the file says), as "walls.side"; a key with a dot in it stands in quotes."""
        found = self._at(path)
        if isinstance(found, bool) or not isinstance(found, (int, float)):
            raise FigureFault(f"{self.name}: {path} is {found!r}; a number is wanted.")
        return float(found)

    def numbers(self, path: str) -> list[float]:
        """A row of numbers."""
        found = self._at(path)
        if not isinstance(found, list) or not all(isinstance(v, (int, float)) for v in found):
            raise FigureFault(f"{self.name}: {path} is {found!r}; a list of numbers is wanted.")
        return [float(v) for v in found]

    def pair(self, path: str) -> tuple[float, float]:
        """Two numbers."""
        found = self.numbers(path)
        if len(found) != 2:
            raise FigureFault(f"{self.name}: {path} has {len(found)} numbers; two are wanted.")
        return found[0], found[1]

    def text(self, path: str) -> str:
        """Words."""
        found = self._at(path)
        if not isinstance(found, str):
            raise FigureFault(f"{self.name}: {path} is {found!r}; words are wanted.")
        return found

    def names(self, path: str) -> list[str]:
        """The names of the tables in a table."""
        found = self._at(path)
        if not isinstance(found, dict):
            raise FigureFault(f"{self.name}: {path} is no table.")
        return list(found)

    def but(self, path: str, value: object) -> Figures:
        """The same with one figure changed, which must be there."""
        self._at(path)
        return Figures(self.name, _changed(self.tree, _words(path), value))


def _words(path: str) -> list[str]:
    """The keys of a path: `display."1.3".lit` has three."""
    outside = path.split('"')
    words: list[str] = []
    for k, part in enumerate(outside):
        words += [part] if k % 2 else [w for w in part.split(".") if w]
    return words


def _changed(tree: dict[str, object], words: list[str], value: object) -> dict[str, object]:
    first, rest = words[0], words[1:]
    below = tree[first]
    if rest and isinstance(below, dict):
        return tree | {first: _changed(below, rest, value)}
    return tree | {first: value}


def read(path: Path) -> Figures:
    """The figures of a file; FigureFault where it cannot be read."""
    try:
        return Figures(path.name, tomllib.loads(path.read_text("utf-8")))
    except (OSError, tomllib.TOMLDecodeError) as fault:
        raise FigureFault(f"{path} cannot be read: {fault}.") from fault


@cache
def parts() -> Figures:
    """Sizes of what is bought: parts.toml."""
    return read(ENCLOSURE / "parts.toml")


@cache
def shell() -> Figures:
    """Sizes that we choose: shell.toml."""
    return read(ENCLOSURE / "shell.toml")


@cache
def clip() -> Figures:
    """Sizes that we choose of clip and belt hook: clip.toml."""
    return read(ENCLOSURE / "clip.toml")


@cache
def tray() -> Figures:
    """Sizes that we choose of the tray: tray.toml."""
    return read(ENCLOSURE / "tray.toml")
