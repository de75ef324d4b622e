"""Rules of what is inside: room round everything, nothing through anything, a board held, a cell never pressed."""

from __future__ import annotations

from collections.abc import Iterator
from fnmatch import fnmatchcase

from build123d import Box, Cylinder, Pos, Shape

from casing.hull import box
from casing.piece import Piece
from casing.side import edge_places
from enclosure.case import Case, shifted, skin
from enclosure.measure import gaps, material
from enclosure.measure.kinds import words
from enclosure.measure.skin import Skin
from enclosure.rules.form import free_radius, gives_way

TOUCH = (
    ("lid", "pane"),
    ("lid", "board"),
    ("base", "board"),
    ("lid", "screw-*"),
    ("base", "screw-*"),
    ("base", "capsule"),
    ("key-*", "SW_PUSH*"),
    ("tray*", "*"),
    ("clip-*", "clip-*"),
    ("clip-*", "pad-*"),
)
"""What may touch: printed, bought. Other rules look at these."""

THREAD = ("lid", "screw-*")
GRIPPED = ("base", "capsule")
SQUEEZE = 20.0
"""The sleeve of the capsule is soft: so much of it may give way to its cradle, mm3."""


def _is(pair: tuple[str, str], a: Piece, b: Piece) -> bool:
    return any(fnmatchcase(x.name, pair[0]) and fnmatchcase(y.name, pair[1]) for x, y in ((a, b), (b, a)))


def room(case: Case) -> Iterator[str]:
    """Half a millimetre lies between all that is bought and all that is printed."""
    gap = case.parts.mm("rule.gap")
    for piece in case.printed:
        others = [p for p in case.bought if not any(_is(pair, piece, p) for pair in TOUCH)]
        found = gaps.closer(skin(piece), [(p.name, skin(p)) for p in others], gap)
        yield from (f"{piece.name}: {fault}" for fault in found)


def board_room(case: Case) -> Iterator[str]:
    """The board touches lid and base round its holes and nowhere else."""
    width, height, thick = case.parts.numbers("board.size")
    rest = box((0.0, 0.0, 0.0), (width, height, thick))
    for x, y in edge_places(case.parts):
        rest -= Pos(x, y, thick / 2) * Cylinder(case.parts.mm("board.keepout") + 0.5, 4 * thick)
        rest -= _corner(x, y, width, height)
    for name in ("lid", "base"):
        yield from gaps.closer(skin(case.piece(name)), [("board", Skin.of(rest))], case.parts.mm("rule.gap"))


def _corner(x: float, y: float, width: float, height: float) -> Shape:
    """What the round corner of the board does not fill: within 3 mm of it the board is left out."""
    return Pos(0.0 if x < width / 2 else width, 0.0 if y < height / 2 else height, 0) * Box(6, 6, 40)


def overlaps(case: Case) -> Iterator[str]:
    """No two pieces take each other's room; threads and the capsule's sleeve alone may, by as much as they should."""
    pieces = case.pieces
    for k, a in enumerate(pieces):
        for b in pieces[k + 1 :]:
            if not a.printed and not b.printed and not _foreign(a, b):
                continue
            if not skin(a).meets(skin(b)) or _is(THREAD, a, b):
                continue
            near = gaps.least(skin(a), skin(b), 0.0)
            if near is None:
                continue
            size = gaps.overlap(a.shape, b.shape)
            if size > (SQUEEZE if _is(GRIPPED, a, b) else 0.01):
                yield f"{a.name} and {b.name} overlap by {size:.2f} mm3 at {words(near.at)}"


def _foreign(a: Piece, b: Piece) -> bool:
    """Whether neither stands on the other by hardware's own files: those are looked at there."""
    return any(p.name in {"cell", "capsule", "data plug", "pane"} or p.name.startswith("screw") for p in (a, b))


def holds(case: Case) -> Iterator[str]:
    """Round each hole of the board stands plastic before it, and the screw's core is free."""
    thick, keepout = case.parts.numbers("board.size")[2], case.parts.mm("board.keepout")
    lid = case.piece("lid").shape
    pilot = case.parts.mm("screw.pilot") / 2
    for k, (x, y) in enumerate(edge_places(case.parts)):
        at = (x, y, thick + 0.2)
        ring = material.share(lid, at, (0, 0, 1), pilot + 0.1, pilot + 1.6, 4.0)
        core = material.share(lid, at, (0, 0, 1), 0.0, pilot - 0.1, 4.0)
        foot = material.share(lid, at, (0, 0, 1), keepout, keepout + 0.3, 1.0)
        if ring < 0.98:
            yield f"hole {k} of the board: the post is {ring:.0%} of what its screw needs round it"
        if core > 0.02:
            yield f"hole {k} of the board: {core:.0%} of the screw's way is plastic"
        if foot > 0.02:
            yield f"hole {k} of the board: the post is wider than what the board leaves free"


def cell(case: Case) -> Iterator[str]:
    """Nothing presses the cell: not when it has swollen, not when a thumb pushes the back; no screw points at it."""
    if not case.variant.cell:
        return
    new = case.piece("cell").shape.bounding_box()
    side, swelling = case.parts.mm("cell.side"), case.parts.mm("cell.swelling")
    grown = new.size.Z * (1 + swelling)
    low, high = (
        (new.min.X - side, new.min.Y - side, new.min.Z),
        (new.max.X + side, new.max.Y + side, new.min.Z + grown),
    )
    keep = box((low[0] + 0.01, low[1] + 0.01, low[2]), (high[0] - 0.01, high[1] - 0.01, high[2]))
    for piece in case.pieces:
        if piece.name != "cell" and (size := gaps.overlap(piece.shape, keep)) > 0.01:
            yield f"{piece.name} stands in the room that the cell needs, by {size:.1f} mm3"
    radius, thick = free_radius(case, "base")
    deep = gives_way(case.parts.mm("material.elastic"), thick, radius)
    base = case.piece("base")
    floor = gaps.least(skin(base), Skin.of(case.piece("cell").shape), 5.0)
    if floor is None or floor.size < deep + 0.2:
        yield f"the back gives way by {deep:.2f} mm, and the cell is {0 if floor is None else floor.size:.2f} mm away"
    for screw in case.like("screw-*"):
        lies = screw.shape.bounding_box()
        long = Pos(*lies.center()) * Box(lies.size.X, lies.size.Y, 400.0)
        if gaps.overlap(long, keep) > 0:
            yield f"{screw.name} points at the cell"


def shelf(case: Case) -> Iterator[str]:
    """The shelf covers the cell, cannot come towards the modules, and slides out upwards."""
    if not case.variant.cell:
        return
    plate, base = case.piece("shelf"), case.piece("base").shape
    cover, cell_box = plate.shape.bounding_box(), case.piece("cell").shape.bounding_box()
    if (
        cover.min.X > cell_box.min.X
        or cover.max.X < cell_box.max.X
        or cover.min.Y > cell_box.min.Y
        or cover.max.Y < cell_box.max.Y
    ):
        yield "the shelf does not cover the cell"
    if gaps.overlap(shifted(plate.shape, z=0.6), base) < 1.0:
        yield "nothing holds the shelf down"
    if gaps.overlap(shifted(plate.shape, y=0.9), base) < 0.01:
        yield "nothing keeps the shelf from sliding out by itself"
    for way in (5.0, 15.0, 25.0, 35.0):
        if (size := gaps.overlap(shifted(plate.shape, y=way), base)) > 2.5:
            yield f"the shelf meets the base by {size:.1f} mm3 when it is drawn out by {way:g} mm"
