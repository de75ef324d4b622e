"""A box under examination: its pieces, their triangles, and the figures of what is bought. Never the shell's own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from functools import cache

import numpy as np
from build123d import Location, Shape

from casing import assembly
from casing.figures import Figures, parts, shell
from casing.mesh import Mesh
from casing.piece import Piece
from casing.variants import Variant
from enclosure.measure.skin import Skin


@dataclass(frozen=True)
class Case:
    """What a rule looks at.

    Attributes
    ----------
    variant : which box
    parts : figures of what is bought, and of printer and material
    pieces : printed and bought, each in its place
    """

    variant: Variant
    parts: Figures
    pieces: tuple[Piece, ...]

    def piece(self, name: str) -> Piece:
        """The piece of that name."""
        return next(p for p in self.pieces if p.name == name)

    def like(self, *patterns: str) -> list[Piece]:
        """The pieces whose names are like one of the patterns, as "key-*"."""
        return [p for p in self.pieces if any(fnmatchcase(p.name, pattern) for pattern in patterns)]

    @property
    def printed(self) -> list[Piece]:
        """What is printed."""
        return [p for p in self.pieces if p.printed]

    @property
    def bought(self) -> list[Piece]:
        """What is bought."""
        return [p for p in self.pieces if not p.printed]

    def without(self, *names: str) -> Case:
        """The same without these pieces."""
        return replace(self, pieces=tuple(p for p in self.pieces if p.name not in names))

    def changed(self, name: str, change: Callable[[Shape], Shape]) -> Case:
        """The same with one piece of another form: how a deliberate fault is put in."""
        self.piece(name)
        return replace(
            self, pieces=tuple(replace(p, shape=change(p.shape)) if p.name == name else p for p in self.pieces)
        )


Rule = Callable[[Case], Iterator[str]]
"""Gives a sentence for each fault that it finds."""

_SKINS: dict[int, tuple[Shape, Skin]] = {}


def skin(piece: Piece) -> Skin:
    """The triangles of a piece; made once for a shape, however many boxes it is in."""
    key = id(piece.shape)
    if key not in _SKINS:
        _SKINS[key] = (piece.shape, Skin.of(piece.shape))  # the shape is kept, so that no other one gets its id
    return _SKINS[key][1]


def skins(pieces: Iterable[Piece]) -> list[tuple[str, Skin]]:
    """Name and triangles of each."""
    return [(p.name, skin(p)) for p in pieces]


def moved(piece: Piece, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Skin:
    """The triangles of a piece that is somewhere else, mm."""
    mesh = skin(piece).mesh
    return Skin(Mesh(mesh.points + np.array([x, y, z]), mesh.triangles))


def shifted(shape: Shape, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Shape:
    """A shape somewhere else, mm."""
    return Location((x, y, z)) * shape


@cache
def case(variant: Variant) -> Case:
    """The box as the repository has it."""
    return Case(variant, parts(), tuple(assembly.pieces(variant)))


CONCERNS = {
    "keys": ("lid", "key-*"),
    "window": ("lid", "pane"),
    "ribs": ("lid", "base"),
    "posts": ("lid",),
    "towers": ("base", "screw-*"),
    "bay": ("base", "shelf", "cell"),
    "vents": ("base",),
    "cable": ("base",),
    "usb": ("lid", "base"),
    "jacks": ("lid", "base"),
    "snap": ("lid", "base"),
    "microphone": ("base", "capsule"),
}
"""Which pieces the tables of shell.toml shape; those that are not here shape all."""


def built(right: Case, path: str, value: object) -> Case:
    """The box with one figure of shell.toml changed: what that figure shapes is built anew."""
    patterns = CONCERNS.get(path.split(".")[0], ("*",))
    changed = shell().but(path, value)
    anew = assembly.assemble(
        changed, parts(), right.variant, lambda name: any(fnmatchcase(name, p) for p in patterns)
    )
    fresh = {p.name: p for p in anew}
    return replace(right, pieces=tuple(fresh.get(p.name, p) for p in right.pieces))


def by_piece(rule: Callable[[Piece], Iterable[str]]) -> Callable[[Piece], list[str]]:
    """A rule of a single piece, whose findings are kept for as long as the piece's shape is the same."""
    kept: dict[int, tuple[Shape, list[str]]] = {}

    def found(piece: Piece) -> list[str]:
        key = id(piece.shape)
        if key not in kept:
            kept[key] = (piece.shape, list(rule(piece)))
        return kept[key][1]

    return found
