"""Two grooves for the tongue of clip and belt hook: in the bottom, open at the back; in the back, open at the right.

Under the box the clip holds the lip of a stand; behind it, lying crosswise, an upright tube.
"""

from __future__ import annotations

from build123d import Location, Plane, Shape

from casing.figures import Figures
from casing.hull import Hull, Span, block
from casing.tongue import groove

END = 1.8
"""Between the bottom groove's closed end and the seam, mm."""


def bottom_place(shell: Figures, walls: Hull) -> Location:
    """Where a tongue's frame comes to stand in the bottom groove: its head up, its front end towards the player."""
    return Location((shell.mm("tongue.bottom"), walls.y.low, walls.part - END - shell.mm("tongue.fit")))


def back_place(shell: Figures, walls: Hull) -> Location:
    """Where it stands in the back groove: its head towards the player, its front end to the left."""
    x = walls.x.middle - shell.mm("tongue.long") / 2
    origin = (x, shell.mm("tongue.back"), walls.back)
    return Plane(origin=origin, x_dir=(0, -1, 0), z_dir=(-1, 0, 0)).location


def cuts(shell: Figures, walls: Hull) -> list[Shape]:
    """What is cut out of the base."""
    bottom, back = bottom_place(shell, walls), back_place(shell, walls)
    return [
        bottom * groove(shell, bottom.position.Z - walls.back),
        back * groove(shell, walls.x.high - back.position.X),
    ]


def roofs(shell: Figures, walls: Hull) -> list[Shape]:
    """What is added inside, so that walls stand round both grooves."""
    fit, floor = shell.mm("tongue.fit"), shell.mm("tongue.floor")
    half = shell.mm("tongue.wide") / 2 + fit + floor
    deep = shell.mm("tongue.deep") + fit + floor
    x, y = shell.mm("tongue.bottom"), shell.mm("tongue.back")
    bottom = block(
        Span(x - half, x + half),
        Span(walls.inside_y.low - 0.5, walls.y.low + deep),
        Span(walls.back_in - 0.5, walls.part),
    )
    start = back_place(shell, walls).position.X - fit - floor
    back = block(
        Span(start, walls.inside_x.high + 0.5), Span(y - half, y + half), Span(walls.back_in - 0.5, walls.back + deep)
    )
    return [bottom, back]
