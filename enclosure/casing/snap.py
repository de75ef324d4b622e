"""Arms of the base that catch in windows of the lid: cantilevers that bend towards the board as the box is closed."""

from __future__ import annotations

from build123d import Shape

from casing.figures import Figures
from casing.hull import Hull, Span, along_x, block


def arms(shell: Figures, walls: Hull) -> list[Shape]:
    """Two arms at the bottom, two at the top, each with its hook, on a foot that grows out at 45 degrees."""
    wide, thick, gap = shell.mm("snap.wide"), shell.mm("snap.thick"), shell.mm("snap.wall_gap")
    root, hook, catch = shell.mm("snap.root"), shell.mm("snap.hook"), shell.mm("snap.catch")
    out = gap + catch
    profile = [  # (away from the wall's inside, z), seen along x
        (-0.5, root),
        (gap, root),
        (gap, hook - out),
        (gap - out, hook),
        (gap - out, hook + 0.4),
        (gap, hook + 0.4 + out),
        (gap + 0.5, hook + 1.0 + out),
        (gap + thick, hook + 1.0 + out),
        (gap + thick, root - 2.0),
        (-0.5, root - 2.5 - gap - thick),
    ]
    found: list[Shape] = []
    for x in shell.numbers("snap.places"):
        for inside, sign in ((walls.inside_y.low, 1.0), (walls.inside_y.high, -1.0)):
            corners = [(inside + sign * away, z) for away, z in profile]
            found.append(along_x(corners, Span(x - wide / 2, x + wide / 2)))
    return found


def windows(shell: Figures, walls: Hull) -> list[Shape]:
    """What is cut out of the lid's walls for the hooks."""
    half = shell.mm("snap.wide") / 2 + shell.mm("snap.window_fit")
    hook, out, fit = (
        shell.mm("snap.hook"),
        shell.mm("snap.wall_gap") + shell.mm("snap.catch"),
        shell.mm("snap.window_fit"),
    )
    z = Span(hook - shell.mm("snap.catch") - fit, hook + 0.4 + out + fit)
    found: list[Shape] = []
    for x in shell.numbers("snap.places"):
        span = Span(x - half, x + half)
        found.append(block(span, Span(walls.y.low - 1, walls.inside_y.low + 0.5), z))
        found.append(block(span, Span(walls.inside_y.high - 0.5, walls.y.high + 1), z))
    return found
