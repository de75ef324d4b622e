"""The dovetail that joins clip and belt hook to the box: the tongue on them, and the groove in the shell.

Its own frame: it slides in along +z; x = 0 is its middle; at y = 0 the neck grows out of what carries it, at y = deep
is the face of its head; its front end is at z = 0, its back end at z = -long.
"""

from __future__ import annotations

from build123d import Polyline, Pos, Shape, extrude, make_face

from casing.figures import Figures
from casing.hull import Span, along_x

Point = tuple[float, float]
"""x, y, mm."""


def _profile(shell: Figures, fit: float) -> list[Point]:
    """The right half of the cross-section, from neck to head, mm; fit is added all round."""
    head, deep, lean = shell.mm("tongue.wide") / 2, shell.mm("tongue.deep"), shell.mm("tongue.lean")
    return [(head - lean + fit, 0.0), (head + fit, deep), (head + fit, deep + fit)]


def _bar(half: list[Point], long: float) -> Shape:
    corners = [*half, *((-x, y) for x, y in reversed(half))]
    return extrude(make_face(Polyline(*corners, close=True)), -long)


def tongue(shell: Figures) -> Shape:
    """The tongue, with a dent across its head, which a ridge of the groove drops into."""
    half, long = _profile(shell, 0.0)[:2], shell.mm("tongue.long")
    root = [(half[0][0], -0.5), *half]
    bar = _bar(root, long)
    return bar - dent(shell)


def dent(shell: Figures) -> Shape:
    """The dent in the tongue's head, a roof of 45 degrees across it, near its back end."""
    bump = shell.mm("tongue.bump") + 0.1
    return _roof(shell, bump, shell.mm("tongue.deep"), shell.mm("tongue.ridge") + 1.6)


def _roof(shell: Figures, high: float, y: float, wide: float) -> Shape:
    """A roof of 45 degrees across the tongue, its ridge below y."""
    z = -shell.mm("tongue.long") + shell.mm("tongue.catch")
    corners = [
        (y - high, z),
        (y, z + high),
        (y + 0.5, z + high),
        (y + 0.5, z - high),
        (y, z - high),
    ]
    return along_x(corners, Span(-wide / 2, wide / 2))


def _ramp(half: list[Point], deep: float, z: float) -> Shape:
    """Over the closed end the groove grows shallow at 45 degrees, so that it prints upright."""
    corners = [(deep, z), (-0.01, z + deep + 0.01), (-0.01, z - 0.01), (deep, z - 0.01)]
    return along_x(corners, Span(-50, 50)) & (Pos(0, 0, z + deep + 1) * _bar(half, deep + 2))


def groove(shell: Figures, length: float) -> Shape:
    """What is cut out of a shell: it goes on to z = -length and beyond; a ridge on its floor stands free of the cut.

    Parameters
    ----------
    length : from the tongue's front end to the shell's outside, mm
    """
    fit = shell.mm("tongue.fit")
    half = _profile(shell, fit)
    mouth = [(half[0][0], -1.0), *half]
    floor = shell.mm("tongue.deep") + fit
    cut = Pos(0, 0, fit) * _bar(mouth, length + fit + 1.0) + _ramp(half, floor, fit)
    return cut - _roof(shell, shell.mm("tongue.bump"), floor, shell.mm("tongue.ridge"))
