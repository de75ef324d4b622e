"""One whole box: every printed part and all that it holds, each in its place."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from build123d import Cone, Cylinder, Pos, Shape

from casing import bay
from casing.base import base, capsule_piece
from casing.bought import board, display, lead_plug, pins, solder
from casing.clip import clip_pieces
from casing.figures import Figures, clip, parts, shell, tray
from casing.grooves import back_place, bottom_place
from casing.hook import hook_piece
from casing.hull import hull
from casing.keys import key_piece, places
from casing.lid import lid, pane_piece
from casing.piece import METAL, Piece
from casing.side import edge_places
from casing.tray import modules, tray_pieces
from casing.variants import Variant


def screws(shell: Figures, parts: Figures) -> list[Piece]:
    """Two short ones hold the board to the lid from behind, two long ones go through base and board into it."""
    across, (head, high), long = parts.mm("screw.across"), parts.pair("screw.head"), parts.mm("screw.long")
    closing = [int(k) for k in shell.numbers("towers.places")]
    found: list[Piece] = []
    for k, (x, y) in enumerate(edge_places(parts)):
        if k in closing:
            end = parts.mm("closing_screw.head")
            top = shell.mm("towers.head") + (shell.mm("towers.well") - end) / 2
            sunk = (end - across) / 2
            shank = parts.mm("closing_screw.long")
            shape: Shape = Pos(x, y, top + sunk / 2) * Cone(end / 2, across / 2, sunk)
            shape += Pos(x, y, top + shank / 2) * Cylinder(across / 2, shank)
        else:
            shape = Pos(x, y, -high / 2) * Cylinder(head / 2, high) + Pos(x, y, long / 2) * Cylinder(across / 2, long)
        found.append(
            Piece(
                f"screw-{k}", shape, printed=False, colour=METAL, apart=(0.0, 0.0, -60.0 if k in closing else -12.0)
            )
        )
    return found


def assemble(
    shell: Figures, parts: Figures, variant: Variant, wanted: Callable[[str], bool] = lambda _: True
) -> list[Piece]:
    """The pieces of a box by these figures: printed ones first.

    Parameters
    ----------
    wanted : of a piece's name, whether it is built; the costly ones alone are asked for
    """
    walls = hull(shell, parts, variant.cell)
    on_board = board(parts)
    printed = [lid(shell, parts, variant.display)] if wanted("lid") else []
    printed += [base(shell, parts, variant.cell)] if wanted("base") else []
    printed += [key_piece(shell, parts, key) for key in places(on_board)] if wanted("key-up") else []
    inside: list[Piece] = []
    if wanted("clip-saddle"):
        holders = clip_pieces(shell, clip(), parts, bottom_place(shell, walls))
        printed += [p for p in holders if p.printed] + [hook_piece(shell, clip(), back_place(shell, walls))]
        inside += [p for p in holders if not p.printed]
    inside += [pane_piece(shell, parts, variant, walls), capsule_piece(shell, parts, walls), *screws(shell, parts)]
    if variant.cell:
        printed.append(bay.shelf_piece(shell, parts))
        inside.append(bay.cell_piece(shell, parts, walls))
    if variant.carrier:
        inside += [*on_board, *solder(parts), *pins(parts), *display(parts, variant), lead_plug(parts)]
    else:
        printed += tray_pieces(tray(), parts, variant)
        inside += modules(tray(), parts, variant)
    return [p for p in printed + inside if wanted(p.name)]


@cache
def _pieces(variant: Variant) -> tuple[Piece, ...]:
    return tuple(assemble(shell(), parts(), variant))


def pieces(variant: Variant) -> list[Piece]:
    """The pieces of a box as shell.toml and parts.toml have it."""
    return list(_pieces(variant))
