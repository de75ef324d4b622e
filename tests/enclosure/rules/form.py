"""Rules of each printed part by itself: whole, thick enough, stiff enough, printable."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

import numpy as np

from casing.figures import parts
from casing.mesh import mesh_of
from enclosure.case import Case, by_piece, skin
from enclosure.measure import overhang, panel, solids, wall

BRIDGE = 21.0
"""A ceiling that is held at both ends may be so long, mm: the grooves' (common practice: 20 mm and a little)."""
THUMB = 30.0
"""A firm push of a thumb, N (common practice)."""
GIVES = 0.2
"""A panel may give way by so much under it, mm."""


_WHOLE = by_piece(lambda piece: solids.whole(piece.shape))
_THIN = by_piece(lambda piece: wall.thin(skin(piece).mesh, parts().mm("rule.wall")))
_HANGS = by_piece(
    lambda piece: overhang.unsupported(mesh_of(piece.on_the_bed()), parts().mm("printer.overhang"), BRIDGE)
)


def whole(case: Case) -> Iterator[str]:
    """Each printed part is one closed valid solid."""
    for piece in case.printed:
        yield from (f"{piece.name}: {fault}" for fault in _WHOLE(piece))


def walls(case: Case) -> Iterator[str]:
    """No wall is thinner than four lines of the nozzle, measured both ways."""
    for piece in case.printed:
        yield from (f"{piece.name}: {fault}" for fault in _THIN(piece))


def gives_way(parts_elastic: float, thick: float, radius: float, push: float = THUMB) -> float:
    """How far a round plate with a held rim is pressed in at its middle, mm.

    w = P a^2 / (16 pi D), D = E t^3 / (12 (1 - nu^2)): Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells,
    section 19; nu = 0.38 for PETG: from memory.
    """
    stiffness = parts_elastic * thick**3 / (12 * (1 - 0.38**2))
    return push * radius**2 / (16 * pi * stiffness)


def free_radius(case: Case, name: str, rib: float = 1.5) -> tuple[float, float]:
    """Of the lid's face or the base's floor: the largest circle without a rib, and the thickness there, mm."""
    mesh = skin(case.piece(name)).mesh
    top = name == "lid"
    outer = float(mesh.points[:, 2].max() if top else mesh.points[:, 2].min())
    away = -1.0 if top else 1.0
    at = panel.unstiffened(mesh, outer + away * 1.0, outer + away * (2.0 + rib))
    x, y = at.at
    spots = np.array([[x + dx, y + dy, outer - away] for dx in (-4.0, 0.0, 4.0) for dy in (-4.0, 0.0, 4.0)])
    ray = skin(case.piece(name)).caster.first(spots, np.array([[0.0, 0.0, away]]), 60.0, leaving=True)
    return at.radius, float(ray.distance.min()) - 1.0


def panels(case: Case) -> Iterator[str]:
    """Face and back have ribs where they are long: a thumb does not press them in."""
    for name in ("lid", "base"):
        radius, thick = free_radius(case, name)
        deep = gives_way(case.parts.mm("material.elastic"), thick, radius)
        if not deep <= GIVES:
            yield f"{name}: {radius:.0f} mm round without a rib, {thick:.1f} mm thick, give way by {deep:.2f} mm"


def bed(case: Case) -> Iterator[str]:
    """Each printed part fits on the printer."""
    limits = case.parts.numbers("printer.bed")
    for piece in case.printed:
        size = piece.on_the_bed().bounding_box().size
        for axis, given, limit in zip("xyz", size, limits, strict=True):
            if given > limit:
                yield f"{piece.name} is {given:.1f} mm along {axis}; the printer has {limit:g}"


def hangs(case: Case) -> Iterator[str]:
    """Nothing printed hangs in the air: no overhang of more than 45 degrees but short bridges."""
    for piece in case.printed:
        yield from (f"{piece.name}: {fault}" for fault in _HANGS(piece))
