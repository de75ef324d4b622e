"""The tray's front part: it lies on the plate, is a frame round each button, and carries the display.

Its thickness is the height at which the display stands. It is printed with its back on the bed.
"""

from __future__ import annotations

from build123d import Cylinder, Pos, Shape

from casing.bought import SWITCH, display_middle
from casing.figures import Figures
from casing.hull import Span, block, rounded
from casing.piece import Piece
from casing.tray_held import body, on_the_plate
from casing.tray_plate import BEYOND, COLOUR, display_slot
from casing.variants import Variant


def top(parts: Figures, variant: Variant) -> float:
    """z of the face that the display lies on, mm."""
    stack = parts.pair(f'display."{variant.display}".stack.module')
    return parts.numbers("board.size")[2] + stack[0]


def _display(parts: Figures, variant: Variant) -> tuple[Span, Span]:
    """x and y of the display's board."""
    x, y = display_middle(parts, variant)
    w, h = parts.pair(f'display."{variant.display}".module')
    return Span(x - w / 2, x + w / 2), Span(y - h / 2, y + h / 2)


def _grown(span: Span, by: float) -> Span:
    return Span(span.low - by, span.high + by)


def _frame(tray: Figures, x: Span, y: Span, low: float) -> list[Shape]:
    """What stands up round the display, open at its corners and where its wires are."""
    fit, thick, corner = tray.mm("front.frame_fit"), tray.mm("fence.thick"), tray.mm("front.corner")
    z = Span(low - 0.5, low + tray.mm("front.frame"))
    long, high = _grown(x, -corner), _grown(y, -corner)
    below = Span(y.low - fit - thick, y.low - fit)
    above = Span(y.high + fit, y.high + fit + thick)
    left, right = tray.pair("front.gap")
    return [
        block(Span(x.low - fit - thick, x.low - fit), high, z),
        block(Span(x.high + fit, x.high + fit + thick), high, z),
        block(long, below, z),
        block(Span(long.low, left), above, z),
        block(Span(right, long.high), above, z),
    ]


def _outline(tray: Figures, x: Span, y: Span, z: Span) -> Shape:
    """Strip and ears round the buttons, a sheet under the display, a tab above it."""
    radius = tray.mm("front.round")
    strip, ears, tab = (tray.numbers(f"front.{which}") for which in ("strip", "ears", "tab"))
    form = rounded(Span(strip[0], strip[2]), Span(strip[1], strip[3]), z, radius)
    form += rounded(Span(ears[0], ears[2]), Span(ears[1], ears[3]), z, radius)
    form += rounded(Span(tab[0], tab[2]), Span(tab[1], tab[3]), z, radius)
    around = tray.mm("front.frame_fit") + tray.mm("fence.thick")
    sheet = _grown(y, around)
    return form + rounded(_grown(x, around), Span(strip[3] - 2 * radius, sheet.high), z, radius)


def _buttons(tray: Figures, parts: Figures, z: Span) -> list[Shape]:
    """Pockets of the buttons with notches for their legs."""
    fit = tray.mm("fence.fit")
    reach, half = tray.pair("front.notch")
    leg = [(low + high) / 2 for _, low, _, high in (tray.numbers(f"slot.button.{k}") for k in (1, 2))]
    found: list[Shape] = []
    for piece in on_the_plate(parts):
        if piece.name.startswith(SWITCH):
            lies = body(piece)
            middle = lies.center()
            found.append(
                block(_grown(Span(lies.min.X, lies.max.X), fit), _grown(Span(lies.min.Y, lies.max.Y), fit), z)
            )
            found += [
                block(Span(middle.X - reach, middle.X + reach), Span(middle.Y + dy - half, middle.Y + dy + half), z)
                for dy in leg
            ]
    return found


def front_piece(tray: Figures, parts: Figures, variant: Variant) -> Piece:
    """The front part of one display."""
    low, high = parts.numbers("board.size")[2], top(parts, variant)
    z, through = Span(low, high), Span(low - BEYOND, high + BEYOND)
    x, y = _display(parts, variant)
    border = -tray.mm("front.border")
    form = _outline(tray, x, y, z) - [
        *_buttons(tray, parts, through),
        block(_grown(x, border), _grown(y, border), through),
        display_slot(tray, parts, through),
    ]
    form += _frame(tray, x, y, high)
    places, under = tray.numbers("front.screws"), tray.mm("front.under")
    for px, py in zip(places[::2], places[1::2], strict=True):
        form -= Pos(px, py, low) * Cylinder(parts.mm("board.hole") / 2, 20)
        form -= Pos(px, py, low + under + 5) * Cylinder(tray.mm("front.bore") / 2, 10)
    return Piece("tray-front", form, colour=COLOUR, apart=(0.0, 0.0, 10.0))
