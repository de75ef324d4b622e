"""The winding channel in the back that holds the microphone's cable, so that a tug does not reach the plug."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, pi

from build123d import FilletPolyline, Plane, Polyline, Shape, Vector, make_face, sweep

from casing.figures import Figures
from casing.hull import Hull, Span, block


def corners(shell: Figures) -> list[tuple[float, float]]:
    """x, y of the channel's corners, from its upper end, mm."""
    way = shell.numbers("cable.way")
    return list(zip(way[::2], way[1::2], strict=True))


def cut(shell: Figures, walls: Hull) -> Shape:
    """What is cut out of the back: the cable's width along the way, with round bends, under a roof of 45 degrees."""
    wide, deep = shell.mm("cable.wide"), shell.mm("cable.deep")
    points = [(x, y, walls.back) for x, y in corners(shell)]
    line = FilletPolyline(*points, radius=shell.mm("cable.bend"))
    first, second = (Vector(*p) for p in points[:2])
    end = Plane(origin=first, x_dir=(0, 0, 1), z_dir=second - first)
    straight = deep - wide / 2
    profile = make_face(
        Polyline(
            (-deep, -wide / 2),
            (straight, -wide / 2),
            (deep, 0.0),
            (straight, wide / 2),
            (-deep, wide / 2),
            close=True,
        )
    )
    return sweep(end * profile, path=line)


def roof(shell: Figures, walls: Hull) -> Shape:
    """What is added inside, so that the channel has a floor: a block over the whole way."""
    margin = shell.mm("cable.wide") / 2 + shell.mm("cable.floor")
    xs, ys = zip(*corners(shell), strict=True)
    x = Span(walls.inside_x.low - 0.5, max(xs) + margin)
    y = Span(min(ys) - margin, max(ys) + margin)
    return block(x, y, Span(walls.back_in - 0.5, walls.back + shell.mm("cable.deep") + shell.mm("cable.floor")))


def turned(points: list[tuple[float, float]]) -> float:
    """By how much a cable turns along the way, rad."""
    headings = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    return sum(abs((b - a + pi) % (2 * pi) - pi) for a, b in pairwise(headings))
