"""Rules of what holds the box together: screws, snaps, and the way in which it is put together and taken apart."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import NamedTuple

import numpy as np
from build123d import Box, Pos

from casing.figures import shell
from enclosure.case import Case, moved, shifted, skin
from enclosure.measure import gaps
from enclosure.measure.skin import Skin

LEFT = 1.6
"""Before the tip of a screw stands so much plastic, mm."""
CATCHES = 0.4
"""A hook catches by so much, mm."""


def screws(case: Case) -> Iterator[str]:
    """Each screw is deep enough in the lid's posts, and its tip stays in them."""
    across, pilot = case.parts.mm("screw.across"), case.parts.mm("screw.pilot")
    lid = case.piece("lid")
    for screw in case.like("screw-*"):
        lies = screw.shape.bounding_box()
        ring = pi / 4 * (across**2 - pilot**2)
        deep = gaps.overlap(screw.shape, lid.shape) / ring
        if not case.parts.mm("screw.engaged") <= deep <= lies.size.Z:
            yield f"{screw.name} is {deep:.1f} mm in plastic; {case.parts.mm('screw.engaged'):g} mm are wanted"
        tip = np.array([[float(lies.center().X), float(lies.center().Y), float(lies.max.Z)]])
        up = np.array([[0.0, 0.0, 1.0]])
        ahead = skin(lid).caster.first(tip, up).distance[0]
        out = skin(lid).caster.first(tip, up, leaving=True).distance[0]
        if not ahead >= 0.2 or skin(lid).caster.holds(tip).any():
            yield f"{screw.name} meets the end of its hole"
        left = float(out - ahead) if np.isfinite(ahead) else 0.0
        if not left >= LEFT:
            yield f"{screw.name} has {left:.1f} mm of plastic before its tip"
        base = gaps.overlap(screw.shape, case.piece("base").shape)
        if base > 0.1:
            yield f"{screw.name} stands in the base by {base:.1f} mm3"


class Arm(NamedTuple):
    """A snap arm as it is measured: thickness, free length, how far it must bend, mm."""

    thick: float
    free: float
    bend: float

    @property
    def strain(self) -> float:
        """eps = 1.5 h y / l^2, the root of a straight cantilever: Covestro, Snap-Fit Joints for Plastics."""
        return 1.5 * self.thick * self.bend / self.free**2


def arm(case: Case, x: float, bottom: bool) -> Arm:
    """The arm at x, at the bottom or at the top: rays from the board's side through arm and wall."""
    base, lid = skin(case.piece("base")), skin(case.piece("lid"))
    seam = float(lid.low[2])
    zs = np.arange(seam - 20.0, seam + 12.0, 0.1)
    y = 3.5 if bottom else case.parts.numbers("board.size")[1] - 3.5
    way = np.array([[0.0, -1.0 if bottom else 1.0, 0.0]])
    spots = np.stack([np.full(len(zs), x), np.full(len(zs), y), zs], axis=1)
    into = base.caster.first(spots, way).distance
    out = base.caster.first(spots, way, leaving=True).distance
    stands = np.isfinite(into) & (into < 6.5)
    into, out = np.where(stands, into, 0.0), np.where(stands, out, 0.0)
    plain = stands & (zs > seam - 6.0) & (zs < seam)
    thick = float(np.median(out[plain] - into[plain]))
    rooted = stands & (out - into > thick + 0.05) & (zs < seam)
    hook = int(np.argmax(np.where(stands & (zs > seam), out, -np.inf)))
    wall = float(lid.caster.first(np.array([[x, y, seam + 0.5]]), way).distance[0])
    root = float(zs[rooted].max()) if rooted.any() else float(zs[0])
    return Arm(thick, float(zs[hook]) - root, float(out[hook]) - wall)


def snaps(case: Case) -> Iterator[str]:
    """Each arm bends less than its material bears, has room to bend, and its hook catches the lid."""
    lid, base = case.piece("lid"), case.piece("base")
    for x in shell().numbers("snap.places"):
        for bottom in (True, False):
            name = f"the arm at x = {x:g}, {'bottom' if bottom else 'top'}"
            found = arm(case, x, bottom)
            if not found.strain <= case.parts.mm("material.strain"):
                yield f"{name} is strained by {found.strain:.1%}; {case.parts.mm('material.strain'):.1%} is allowed"
            if not found.bend >= CATCHES:
                yield f"{name} catches by {found.bend:.2f} mm; {CATCHES} is wanted"
            zone = Pos(x, 0.0 if bottom else case.parts.numbers("board.size")[1], 0) * Box(20, 14, 40)
            here = base.shape & zone
            for board in case.like("board"):
                near = gaps.least(Skin.of(here), skin(board), found.bend)
                if near is not None and near.size < found.bend:
                    yield f"{name} has {near.size:.2f} mm to bend, and wants {found.bend:.2f}"
            if (size := gaps.overlap(lid.shape, here)) > 0.01:
                yield f"{name} has no window: {size:.2f} mm3"
            if (size := gaps.overlap(shifted(lid.shape, z=1.2), here)) < 1.0:
                yield f"{name} holds the lid by {size:.1f} mm3 only"


def _meets(moving: Skin, others: list[tuple[str, Skin]]) -> list[str]:
    return [name for name, other in others if (near := gaps.least(moving, other, 0.0)) is not None and near.size == 0]


def assembly(case: Case) -> Iterator[str]:
    """The board goes straight into the lid, the base straight onto both, keys from inside, the cell last."""
    lid, base = case.piece("lid"), case.piece("base")
    loose = {"cell", "capsule", "pane"}
    on_board = [p for p in case.bought if p.name not in loose and not p.name.startswith("screw")]
    for way in (2.0, 6.0, 14.0):
        for name in _meets(moved(lid, z=way), [(p.name, skin(p)) for p in on_board]):
            yield f"{name} meets the lid when the board is taken out by {way:g} mm"
    for way in (1.0, 4.0, 10.0, 18.0, 30.0):
        gone = moved(base, z=-way)
        for name in _meets(gone, [(p.name, skin(p)) for p in on_board]):
            yield f"the base meets {name} when it is taken off by {way:g} mm"
        if way > 5 and _meets(gone, [("lid", skin(lid))]):
            yield f"the base meets the lid when it is taken off by {way:g} mm"
    for key in case.like("key-*"):
        for way in (1.0, 3.0, 8.0):
            if _meets(moved(key, z=-way), [("lid", skin(lid))]):
                yield f"{key.name} does not go into the lid from inside"
    for name, most in (("cell", 0.01), ("capsule", 30.0)):
        for piece in case.like(name):
            for way in (4.0, 9.0, 20.0):
                if (size := gaps.overlap(shifted(piece.shape, z=way), base.shape)) > most:
                    yield f"the {name} meets the base by {size:.1f} mm3 when it is taken out by {way:g} mm"
