"""The base: back and side walls, towers for two screws, the cell's bay, the microphone's cradle, vents, grooves."""

from __future__ import annotations

from functools import lru_cache

from build123d import Cone, Cylinder, Location, Pos, Rot, Shape

from casing import bay, channel
from casing.bought import board, capsule
from casing.figures import Figures
from casing.grooves import cuts as groove_cuts
from casing.grooves import roofs as groove_roofs
from casing.hull import Hull, Span, block, hollow, hull, slit, soft_block
from casing.piece import Piece
from casing.side import BEYOND, edge_places, jack_holes, right_holes
from casing.snap import arms

COLOUR = (0.24, 0.31, 0.36)


def towers(shell: Figures, parts: Figures, walls: Hull) -> tuple[list[Shape], list[Shape]]:
    """What stands under two corners of the board, and the wells in it: a countersunk screw goes up into the lid."""
    across, well, head, through, top = (shell.mm(f"towers.{w}") for w in ("across", "well", "head", "through", "top"))
    neck = shell.mm("posts.across")
    solid: list[Shape] = []
    cut: list[Shape] = []
    for which in shell.numbers("towers.places"):
        x, y = edge_places(parts)[int(which)]
        low = walls.back_in - 0.5
        solid.append(Pos(x, y, (low + walls.part) / 2) * Cylinder(across / 2, walls.part - low))
        solid.append(Pos(x, y, (low + top) / 2) * Cylinder(neck / 2, top - low))
        left, lower = x < walls.inside_x.middle, y < walls.inside_y.middle
        web_x = Span(walls.inside_x.low - 0.5, x) if left else Span(x, walls.inside_x.high + 0.5)
        web_y = Span(walls.inside_y.low - 0.5, y) if lower else Span(y, walls.inside_y.high + 0.5)
        solid.append(block(web_x, web_y, Span(low, walls.part)))
        cut.append(Pos(x, y, (walls.back - 1 + head) / 2) * Cylinder(well / 2, head - walls.back + 1))
        cut.append(Pos(x, y, head + (well - through) / 4) * Cone(well / 2, through / 2, (well - through) / 2))
        cut.append(Pos(x, y, head + 5) * Cylinder(through / 2, 10))
    return solid, cut


def microphone(shell: Figures, parts: Figures, walls: Hull) -> tuple[Shape, list[Shape]]:
    """The cradle that the capsule's sleeve is pressed into from the board's side; its bed and the slits before it."""
    x, z = shell.pair("microphone.place")
    across, long = parts.pair("capsule.size")
    radius = across / 2 + parts.mm("capsule.sleeve") - shell.mm("microphone.grip")
    y = Span(walls.inside_y.high - long, walls.inside_y.high + 0.5)
    cradle = block(
        Span(walls.inside_x.low - 0.5, x + radius + shell.mm("microphone.wall")),
        y,
        Span(walls.back_in - 0.5, z + 1.0),
    )
    lying = Pos(x, y.middle - 0.25, z) * Rot(90, 0, 0) * Cylinder(radius, long)
    over = block(Span(x - radius, x + radius), Span(y.low - 0.5, walls.inside_y.high), Span(z, walls.part))
    wide, high = shell.pair("microphone.slit")
    pitch = shell.mm("microphone.pitch")
    slits = [
        slit(
            Span(x + k * pitch - wide / 2, x + k * pitch + wide / 2),
            Span(y.high - 1, walls.y.high + 1),
            Span(z - high / 2, z + high / 2),
        )
        for k in (-1, 0, 1)
    ]
    return cradle, [lying, over, *slits]


def vents(shell: Figures, walls: Hull) -> list[Shape]:
    """Upright slits: warm air leaves above the computer, cool air comes in below, beside the cell."""
    half, z = shell.mm("vents.slit") / 2, Span(*shell.pair("vents.span"))
    top, bottom = Span(walls.inside_y.high - 1, walls.y.high + 1), Span(walls.y.low - 1, walls.inside_y.low + 1)
    rows = (("top", top), ("bottom", bottom))
    return [slit(Span(x - half, x + half), wall, z) for row, wall in rows for x in shell.numbers(f"vents.{row}")]


def _ribs(shell: Figures, walls: Hull, cell: bool) -> list[Shape]:
    """Ribs on the floor, where no cell lies and no module comes near."""
    kind = "base" if cell else "plain"
    half, z = shell.mm("ribs.thick") / 2, Span(walls.back_in - 0.5, walls.back_in + shell.mm("ribs.base"))
    found = [block(Span(x - half, x + half), walls.inside_y, z) for x in shell.numbers(f"ribs.{kind}_up")]
    found += [block(walls.inside_x, Span(y - half, y + half), z) for y in shell.numbers(f"ribs.{kind}_across")]
    return found


@lru_cache(maxsize=16)
def base(shell: Figures, parts: Figures, cell: bool) -> Piece:
    """The base, deep with a cell or flat without."""
    on_board = board(parts)
    walls = hull(shell, parts, cell)
    outer = soft_block(walls, shell, Span(walls.back, walls.part), walls.back)
    high = soft_block(walls, shell, Span(walls.back, walls.face), walls.back)  # towers stand out of the base
    form = outer - hollow(walls, shell, Span(walls.back_in, walls.part + BEYOND), walls.back_in)
    stand, wells = towers(shell, parts, walls)
    cradle, bed = microphone(shell, parts, walls)
    ribs = _ribs(shell, walls, cell)
    if cell:
        x, y = bay.room(shell, parts)
        free = block(x, y, Span(walls.back_in, walls.part))
        form += [*(r - free for r in ribs), *bay.fence(shell, parts, walls)]
    else:
        form += ribs
    form += [part & high for part in (*stand, cradle, channel.roof(shell, walls))]  # these reach into round corners
    form += [*groove_roofs(shell, walls), *arms(shell, walls)]
    form -= [
        *wells,
        *bed,
        *vents(shell, walls),
        channel.cut(shell, walls),
        *groove_cuts(shell, walls),
        *jack_holes(shell, parts, walls, on_board),
        *right_holes(shell, parts, walls, on_board),
    ]
    return Piece("base", form, colour=COLOUR, apart=(0.0, 0.0, -52.0), flat=Location())


def capsule_piece(shell: Figures, parts: Figures, walls: Hull) -> Piece:
    """The capsule in its cradle."""
    x, z = shell.pair("microphone.place")
    return capsule(parts, x, walls.inside_y.high, z)
