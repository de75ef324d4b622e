"""The belt hook: a tongue for the groove in the back, and a springy plate that a belt goes behind, open downwards.

One profile in the x-y plane of the tongue's frame, drawn along z: it prints standing on that profile, layers along
the pull.
"""

from __future__ import annotations

from build123d import Axis, Location, Polyline, Pos, Shape, extrude, fillet, make_face

from casing.figures import Figures
from casing.piece import HOLDER, Piece
from casing.tongue import tongue


def hook(shell: Figures, clip: Figures) -> Shape:
    """The hook in the tongue's frame: x is downwards when it is in the back groove."""
    thick, gap, long = clip.mm("hook.thick"), clip.mm("hook.gap"), clip.mm("hook.long")
    lip, lead = clip.mm("hook.lip"), clip.mm("hook.lead")
    half, wide = shell.mm("tongue.wide") / 2, shell.mm("tongue.long")
    root = half - 6.0  # from here the plate is free
    corners = [
        (-half, 0.0),
        (half, 0.0),
        (half, -gap / 2),
        (root, -gap),
        (root + long - 2 * lead, -gap),
        (root + long - lead, -gap + lip),
        (root + long, -gap - thick / 2),
        (root + long, -gap - thick),
        (-half, -gap - thick),
    ]
    form = Pos(0, 0, -wide) * extrude(make_face(Polyline(*corners, close=True)), wide)
    ends = [e for e in form.edges().filter_by(Axis.Z) if -gap - thick + 0.01 > e.center().Y]
    return fillet(ends, 1.2) + tongue(shell)


def hook_piece(shell: Figures, clip: Figures, where: Location) -> Piece:
    """The hook in the place of a tongue."""
    out = (where * Pos(0, -1, 0)).position - where.position
    return Piece(
        "belt-hook",
        where * hook(shell, clip),
        colour=HOLDER,
        apart=(95.0 * out.X, 95.0 * out.Y, 95.0 * out.Z),
        flat=where.inverse(),
    )
