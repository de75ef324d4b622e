"""Which pictures and drawings there are, and what is on them."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image

from casing import explode, figures, look, section
from casing.assembly import pieces
from casing.bought import lit_field
from casing.clip import clip_pieces
from casing.figures import ENCLOSURE
from casing.grooves import back_place
from casing.hull import hull
from casing.piece import Piece
from casing.section import Dimension
from casing.seen import Triple
from casing.variants import Variant

SHOWN = Variant("2.42")
"""The box on the pictures: the display that can be read from a chair."""
SCREEN = ENCLOSURE.parent / "firmware" / "pictures" / "sounding-sharp.png"
EYES: dict[str, Triple] = {
    "front": (0.38, 0.42, 1.0),
    "back": (-0.6, 0.38, -1.0),
    "stand": (-0.75, 0.3, 0.8),
    "tube": (-0.8, 0.45, -0.75),
}


def _outside(found: Sequence[Piece], *more: str) -> list[Piece]:
    """What is seen of a closed box, and more by the beginnings of its names."""
    shown = ("lid", "base", "key", "display module", "display lit", "Jack", "SW_Slide", "USB", "screw", *more)
    return [p for p in found if p.name.startswith(shown)]


def pictures() -> dict[str, Image.Image]:
    """The pictures by their names."""
    found = pieces(SHOWN)
    with Image.open(SCREEN) as image:
        screen = image.convert("RGB")
    walls = hull(figures.shell(), figures.parts(), SHOWN.cell)
    behind = clip_pieces(figures.shell(), figures.clip(), figures.parts(), back_place(figures.shell(), walls), 20.0)
    sets = {
        "front": _outside(found),
        "back": _outside(found, "belt"),
        "stand": _outside(found, "clip", "pad"),
        "tube": [*_outside(found), *behind],
    }
    return {name: look.picture(shown, EYES[name], screen=screen) for name, shown in sets.items()}


def names(found: Sequence[Piece], variant: Variant) -> dict[str, str]:
    """What each piece is called in the list of the exploded drawing; "" for what has no number of its own."""
    own = ("cell", "capsule", "pane", "screw", "pad", "clip", "display", "tray")
    inner = "carrier board with its modules" if variant.carrier else "modules"
    called = {p.name: inner for p in found if not p.printed and not p.name.startswith(own)}
    called |= {p.name: "display" for p in found if p.name.startswith("display")}
    called |= {p.name: "" for p in found if p.name.startswith(("pad", "clip-axle", "clip-spring"))}
    for piece in found:
        if piece.name.startswith("tray-screw"):
            called[piece.name] = "screw M2.5 x 6, of the tray"
        elif piece.name.startswith("screw"):
            long = piece.shape.bounding_box().size.Z
            called[piece.name] = "screw M2.5 x 10, countersunk" if long > 9 else "screw M2.5 x 6"
    return called


def drawing(variant: Variant) -> str:
    """The exploded drawing of a box."""
    found = [p for p in pieces(variant) if not p.name.startswith(("legs", "pins", "display lit"))]
    return explode.exploded(found, names(found, variant), f"Airladder {variant.name}: the parts, apart")


def cut(variant: Variant) -> str:
    """The section of a box through the middle of its display, with the measures that matter."""
    found = [p for p in pieces(variant) if not p.name.startswith(("legs", "pins", "clip", "pad", "belt", "key"))]
    lid, base = (next(p.shape.bounding_box() for p in found if p.name == n) for n in ("lid", "base"))
    board = figures.parts().numbers("board.size")
    (x, y, _), (_, tall) = lit_field(figures.parts(), variant)
    wanted = [
        Dimension((base.min.Z, lid.max.Y), (lid.max.Z, lid.max.Y), 9.0),
        Dimension((lid.max.Z, lid.min.Y), (lid.max.Z, lid.max.Y), 12.0),
        Dimension((lid.max.Z, y - tall / 2), (lid.max.Z, y + tall / 2), 5.0),
        Dimension((0.0, lid.max.Y), (lid.max.Z, lid.max.Y), 4.0),
        Dimension((base.min.Z, 0.0), (base.min.Z, board[1]), -5.0),
    ]
    if variant.cell:
        cell, shelf = (next(p.shape.bounding_box() for p in found if p.name == n) for n in ("cell", "shelf"))
        wanted += [
            Dimension((cell.min.Z, base.min.Y), (cell.max.Z, base.min.Y), -4.0),
            Dimension((cell.max.Z, base.min.Y), (shelf.min.Z, base.min.Y), -9.0),
            Dimension((base.min.Z, base.min.Y), (cell.min.Z, base.min.Y), -14.0),
        ]
    return section.section(found, x, wanted, f"Airladder {variant.name}, cut at x = {x:.1f} mm")
