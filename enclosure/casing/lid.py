"""The lid: what the player sees. Face, window, holes of the keys, posts that the board is screwed to."""

from __future__ import annotations

from functools import lru_cache
from math import asin, expm1, pi, sin, tan

from build123d import Box, Cylinder, Location, Polyline, Pos, Rectangle, Rot, Shape, extrude, trace

from casing.bought import board, display_middle, lit_field
from casing.figures import Figures
from casing.hull import Hull, Span, block, hollow, hull, soft_block
from casing.keys import hole, places
from casing.piece import Piece
from casing.side import BEYOND, edge_places, jack_holes, right_holes
from casing.snap import windows
from casing.variants import Variant

COLOUR = (0.19, 0.25, 0.30)


def glance_room(shell: Figures, parts: Figures, variant: Variant) -> float:
    """By how much the opening is wider than the lit field on each side, mm, at the window's upright part.

    A glance of 45 degrees in air is steeper within glass and pane (Snell).
    """
    at = f'display."{variant.display}"'
    angle = shell.mm("window.glance") * pi / 180
    pane, deep = parts.mm(f"{at}.pane"), parts.mm(f"{at}.deep")
    glass_top = parts.numbers("board.size")[2] + parts.pair(f"{at}.stack.glass")[1]
    air = shell.mm("room.face") - pane - glass_top + shell.mm("window.land")

    def inside(index: float) -> float:
        return tan(asin(sin(angle) / index))

    room = deep * inside(parts.mm("pane.glass")) + pane * inside(parts.mm("pane.index")) + air * tan(angle)
    return room + shell.mm("window.spare")


def opening(shell: Figures, parts: Figures, variant: Variant) -> tuple[float, float, float, float]:
    """The window's upright part: middle x, y, width, height, mm."""
    (x, y, _), (w, h) = lit_field(parts, variant)
    room = glance_room(shell, parts, variant)
    return x, y, w + 2 * room, h + 2 * room


def window(shell: Figures, parts: Figures, variant: Variant, walls: Hull) -> Shape:
    """What is cut out of the face: an upright land, then a bevel that leans out."""
    x, y, w, h = opening(shell, parts, variant)
    land = walls.face_in + shell.mm("window.land")
    straight = Pos(x, y, (walls.face_in + land) / 2 - BEYOND / 2) * Box(w, h, land - walls.face_in + BEYOND)
    lean = walls.face - land
    return straight + Pos(x, y, land) * extrude(Rectangle(w, h), lean + BEYOND, taper=-45)


def pane_piece(shell: Figures, parts: Figures, variant: Variant, walls: Hull) -> Piece:
    """The clear sheet behind the window; it lies on the face's inside, on thin double-sided tape."""
    x, y, w, h = opening(shell, parts, variant)
    thick, ledge = parts.mm(f'display."{variant.display}".pane'), shell.mm("window.ledge")
    shape = Pos(x, y, walls.face_in - thick / 2) * Box(w + 2 * ledge, h + 2 * ledge, thick)
    return Piece("pane", shape, printed=False, colour=(0.10, 0.12, 0.14), apart=(0.0, 0.0, 14.0))


def _pane_frame(shell: Figures, parts: Figures, variant: Variant, walls: Hull) -> Shape:
    """A low frame that the pane lies in."""
    x, y, w, h = opening(shell, parts, variant)
    thick, high = shell.mm("window.rim"), parts.mm(f'display."{variant.display}".pane')
    inner = shell.mm("window.ledge") + shell.mm("window.fit")
    at = Pos(x, y, walls.face_in - high / 2)
    outer = inner + thick
    return at * Box(w + 2 * outer, h + 2 * outer, high) - at * Box(w + 2 * inner, h + 2 * inner, high + 1)


def _ribs(shell: Figures, walls: Hull) -> list[Shape]:
    """Ribs that keep the face from giving way under a thumb."""
    thick, high, across = shell.mm("ribs.thick"), shell.mm("ribs.lid"), shell.mm("ribs.across")
    z = Span(walls.face_in - high, walls.face_in + 0.5)
    found = [block(walls.inside_x, Span(across - thick / 2, across + thick / 2), z)]
    for x in shell.numbers("ribs.up"):
        found.append(block(Span(x - thick / 2, x + thick / 2), Span(across, walls.inside_y.high), z))
    return found


def _marks(shell: Figures, parts: Figures, variant: Variant, walls: Hull) -> list[Shape]:
    """Two lines on the face that open round the window as a bell does: breadth grows exponentially with length."""
    wide, deep = shell.pair("ribs.mark")
    narrow, broad = shell.pair("ribs.mark_room")
    _, y, _, high = opening(shell, parts, variant)
    start = high / 2 + (walls.face - walls.face_in) + narrow
    end = min(start + broad, walls.y.high - shell.mm("walls.soft") - 3.0 - y)
    x = Span(walls.x.low + 10.0, walls.x.high - 8.0)
    found: list[Shape] = []
    for sign in (1.0, -1.0):
        points = [
            (x.low + x.size * k / 16, y + sign * (start + (end - start) * expm1(3.0 * k / 16) / expm1(3.0)))
            for k in range(17)
        ]
        line = trace(Polyline(*points), wide)  # straight pieces: the faces of a spline are triangulated badly
        found.append(Pos(0, 0, walls.face - deep) * extrude(line, 1.0))
    return found


def posts(shell: Figures, parts: Figures, walls: Hull) -> tuple[list[Shape], list[Shape]]:
    """Four posts from the face to the board's front, and their blind holes, which end before the face."""
    front = parts.numbers("board.size")[2]
    across, deep, pilot = shell.mm("posts.across"), shell.mm("posts.deep"), parts.mm("screw.pilot")
    high = walls.face_in - front + 0.5
    solid: list[Shape] = []
    cut: list[Shape] = []
    for x, y in edge_places(parts):
        solid.append(Pos(x, y, front + high / 2) * Cylinder(across / 2, high))
        cut.append(Pos(x, y, front + deep / 2 - 0.5) * Cylinder(pilot / 2, deep + 1.0))
    return solid, cut


@lru_cache(maxsize=16)
def lid(shell: Figures, parts: Figures, display: str) -> Piece:
    """The lid for a display of parts.toml."""
    variant, on_board = Variant(display), board(parts)
    walls = hull(shell, parts, variant.cell)
    form = soft_block(walls, shell, Span(walls.part, walls.face), walls.face)
    form -= hollow(walls, shell, Span(walls.part - BEYOND, walls.face_in), walls.face_in)
    stand, pilots = posts(shell, parts, walls)
    form += [*stand, *_ribs(shell, walls)]
    form -= [*pilots, _pane_room(shell, parts, variant, walls)]
    form += _pane_frame(shell, parts, variant, walls)
    through = Span(walls.part, walls.face + 1)
    form -= [
        window(shell, parts, variant, walls),
        *(hole(shell, key, through) for key in places(on_board)),
        *jack_holes(shell, parts, walls, on_board),
        *right_holes(shell, parts, walls, on_board),
        *windows(shell, walls),
        *_marks(shell, parts, variant, walls),
    ]
    return Piece("lid", form, colour=COLOUR, apart=(0.0, 0.0, 30.0), flat=Location(Rot(180, 0, 0)))


def _pane_room(shell: Figures, parts: Figures, variant: Variant, walls: Hull) -> Shape:
    """Room for the pane's frame and the display: no rib goes there."""
    x, y, w, h = opening(shell, parts, variant)
    grown = 2 * (shell.mm("window.ledge") + shell.mm("window.fit") + shell.mm("window.rim"))
    mx, my = display_middle(parts, variant)
    mw, mh = parts.pair(f'display."{variant.display}".module')
    low = (min(x - (w + grown) / 2, mx - mw / 2 - 1), min(y - (h + grown) / 2, my - mh / 2 - 1))
    high = (max(x + (w + grown) / 2, mx + mw / 2 + 1), max(y + (h + grown) / 2, my + mh / 2 + 1))
    return block(Span(low[0], high[0]), Span(low[1], high[1]), Span(walls.part, walls.face_in))
