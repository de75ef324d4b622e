"""Rules of the tray, with all that lies on it. Each gives a sentence for every fault; measured from solids alone.

No rule reads tray.toml.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import combinations

import numpy as np
from build123d import BoundBox, Cylinder, Pos

from casing.bought import JACK, KNOB_SWITCH, SWITCH, USB, board, display
from casing.hull import box
from casing.piece import Piece
from casing.side import edge_places
from casing.variants import Variant
from enclosure.case import Case, Rule, case, skin, skins
from enclosure.measure import gaps, material, overhang, solids, wall
from enclosure.measure.kinds import Floats, words
from enclosure.measure.skin import Skin
from enclosure.tray_wires import ON_FOAM, openings, wires

COMPUTER = "Raspberry*"
REACHED = (SWITCH, JACK, USB, KNOB_SWITCH)
CLOSE = 0.05
BRIDGE = 12.0
COMPUTER_BOARD = 1.41
"""Thickness of its board in hardware's bodies, mm."""
FREE = 4.0
"""Round a screw hole tray, lid and base touch: so far from its middle, mm."""


def whole(case: Case) -> Iterator[str]:
    for piece in case.printed:
        yield from solids.whole(piece.shape)


def walls(case: Case) -> Iterator[str]:
    for piece in case.printed:
        yield from wall.thin(skin(piece).mesh, case.parts.mm("rule.wall"))


def hangs(case: Case) -> Iterator[str]:
    for piece in case.printed:
        lying = Skin.of(piece.on_the_bed())
        yield from overhang.unsupported(lying.mesh, case.parts.mm("printer.overhang"), BRIDGE)


def bed(case: Case) -> Iterator[str]:
    for piece in case.printed:
        size = piece.on_the_bed().bounding_box().size
        if max(size) > min(case.parts.numbers("printer.bed")):
            yield f"{piece.name} is {max(size):.1f} mm long"


def overlaps(case: Case) -> Iterator[str]:
    """No two pieces take each other's room, bought ones neither; nor does any take the memory card's."""
    slots = next(p for p in case.pieces if p.name.startswith(COMPUTER[:-1])).shape.solids()
    slot = min((s.bounding_box() for s in slots if s.bounding_box().size.X < 15), key=lambda b: float(b.min.X))
    out, wide = case.parts.mm("card.out"), case.parts.pair("card.size")[0]
    y, z = slot.center().Y, (slot.min.Z, slot.max.Z)
    card = Piece("card", box((slot.min.X - out, y - wide / 2, z[0]), (slot.min.X - 0.1, y + wide / 2, z[1])))
    for a, b in combinations([card, *(p for p in case.pieces if p.name != "display lit")], 2):
        if gaps.least(skin(a), skin(b), 0.0) is not None and (size := gaps.overlap(a.shape, b.shape)) > 0.01:
            yield f"{a.name} and {b.name} overlap by {size:.2f} mm3"


def room(case: Case) -> Iterator[str]:
    """The tray stands off lid and base but round its screws; so do the modules, but for what a hand reaches."""
    around = [Pos(x, y, 0) * Cylinder(FREE, 60) for x, y in edge_places(case.parts)]
    off = [Piece(p.name, p.shape - around) for p in case.printed]
    off += case.like(*ON_FOAM, "strip *", COMPUTER, "usb board", "tray-screw-*")
    for name, other in outsides(case.variant.display):
        yield from (f"{name}: {fault}" for fault in gaps.closer(other, skins(off), case.parts.mm("rule.gap")))


@cache
def outsides(name: str) -> list[tuple[str, Skin]]:
    """The lid of a display, and both bases, which are the same for all."""
    lid, flat = case(Variant(name)).piece("lid"), case(Variant(cell=False)).piece("base")
    return [("lid", skin(lid)), ("base", skin(case(Variant()).piece("base"))), ("flat base", skin(flat))]


def places(case: Case) -> Iterator[str]:
    """What a hand or a plug reaches, and the display, stand as on the carrier board; all else is no higher."""
    carrier = [*board(case.parts), *display(case.parts, case.variant)]
    for there in carrier:
        if not there.name.startswith((*REACHED, "display", *ON_FOAM, COMPUTER[:-1])):
            continue
        here, wanted = case.piece(there.name).shape.bounding_box(), there.shape.bounding_box()
        if there.name.startswith((*REACHED, "display")):
            for a, b in zip((*here.min, *here.max), (*wanted.min, *wanted.max), strict=True):
                if abs(a - b) > CLOSE:
                    yield f"{there.name} stands {a - b:.2f} mm off"
        elif here.min.Z < wanted.min.Z - CLOSE:
            yield f"{there.name} is {wanted.min.Z - here.min.Z:.2f} mm higher than on its sockets"
        elif (here.center() - wanted.center()).length > 9.0 or abs(here.center().X - wanted.center().X) > 1.0:
            yield f"{there.name} lies somewhere else"


def screws(case: Case) -> Iterator[str]:
    """A ring of plastic round each hole, its way free; threads are deep enough; heads lie on enough."""
    thick, across, pilot = (
        case.parts.numbers("board.size")[2],
        case.parts.mm("board.hole"),
        case.parts.mm("screw.pilot"),
    )
    deep, rim = case.parts.mm("screw.engaged"), case.parts.mm("rule.wall")
    wanted = [("tray", (x, y, thick), -1.0, across, thick) for x, y in edge_places(case.parts)]
    for piece in case.like("tray-screw-*"):
        lies = piece.shape.bounding_box()
        x, y = float(lies.center().X), float(lies.center().Y)
        if lies.center().Z > 0:
            under = lies.max.Z - case.parts.pair("screw.head")[1]
            wanted.append(("tray-front", (x, y, under), -1.0, across, rim))
            wanted.append(("tray", (x, y, thick), -1.0, pilot, deep))
            if thick - lies.min.Z < deep:
                yield f"{piece.name} is only {thick - lies.min.Z:.2f} mm deep in its boss"
        else:
            face = min(skin(case.like(COMPUTER)[0]).low[2] + COMPUTER_BOARD, lies.max.Z - deep)
            wanted.append(("tray", (x, y, face), 1.0, pilot, deep))
    for name, at, way, wide, long in wanted:
        for piece in case.like(name):
            ring = material.share(piece.shape, at, (0, 0, way), wide / 2 + 0.05, wide / 2 + 1.5, long)
            core = material.share(piece.shape, at, (0, 0, way), 0.0, wide / 2 - 0.05, long)
            if ring < 0.98 or core > 0.01:
                yield f"{name}, hole at {words(at)}: {ring:.0%} of its ring, {core:.0%} of its way is plastic"


def holds(case: Case) -> Iterator[str]:
    """Moved by a millimetre, what lies on the tray meets plastic, either way along one axis at least."""
    for piece in case.like(*ON_FOAM, "strip *", "usb board", "display module", *(f"{r}*" for r in REACHED)):
        if piece.name.startswith(USB):  # its board is held
            continue
        stopped = [all(_stopped(case, piece, axis, way) for way in (-1.0, 1.0)) for axis in (0, 1)]
        if not any(stopped):
            yield f"{piece.name} is not held"


def _stopped(case: Case, piece: Piece, axis: int, way: float) -> bool:
    """Whether rays of a millimetre, straight out of the sides of a part's bodies, meet plastic."""
    ways = np.zeros(3)
    ways[axis] = way
    for body in piece.shape.solids():
        at = _side(body.bounding_box(), axis, way)
        if any((skin(p).caster.first(at, ways, 1.0).triangle >= 0).any() for p in case.printed):
            return True
    return False


def _side(lies: BoundBox, axis: int, way: float, step: float = 0.4) -> Floats:
    """(n, 3): places all over one side of a box, a little inside of it."""
    low, high = np.array(tuple(lies.min)) + 0.02, np.array(tuple(lies.max)) - 0.02
    lines = [np.linspace(a, b, max(int((b - a) / step), 2)) for a, b in zip(low, high, strict=True)]
    lines[axis] = (high if way > 0 else low)[axis : axis + 1]
    return np.stack(np.meshgrid(*lines), axis=-1).reshape(-1, 3)


RULES: dict[str, Rule] = {
    "whole": whole,
    "walls": walls,
    "hangs": hangs,
    "bed": bed,
    "overlaps": overlaps,
    "room": room,
    "places": places,
    "screws": screws,
    "holds": holds,
    "wires": wires,
    "openings": openings,
}
