"""What is bought and goes into the box, as solids: the carrier board by hardware's STEP file, all else by parts.toml.

Each stands where it stands in the box, in the frame of casing/piece.py.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

from build123d import BoundBox, Compound, Cylinder, Location, Pos, Rot, Shape, import_step

from casing.figures import ENCLOSURE, Figures
from casing.hull import box
from casing.piece import RUBBER, Piece
from casing.variants import Variant

JACK, SWITCH, KNOB_SWITCH, USB = "Jack_3_5mm", "SW_PUSH", "SW_Slide", "USB_C"
MODULES = ("clock", "codec", "gauge", "power", "display", "Raspberry")
"""Beginnings of the names of what stands on socket strips."""
THROUGH = (JACK, "JST", "PinHeader", SWITCH, KNOB_SWITCH, *MODULES)
"""Beginnings of the names of what has legs through the board."""

COLOURS = {
    "board": (0.13, 0.33, 0.22),
    SWITCH: (0.16, 0.16, 0.17),
    JACK: (0.16, 0.16, 0.17),
    USB: (0.75, 0.76, 0.78),
    "Raspberry": (0.20, 0.42, 0.25),
    "C_": (0.62, 0.52, 0.40),
}
MODULE = (0.18, 0.25, 0.42)


def _colour(name: str) -> tuple[float, float, float]:
    return next((c for start, c in COLOURS.items() if name.startswith(start)), MODULE)


@cache
def _children(path: str) -> tuple[tuple[str, Shape], ...]:
    found: list[tuple[str, Shape]] = []
    count: Counter[str] = Counter()
    for child in import_step(ENCLOSURE.parent / path).children:
        label = "board" if child.label.endswith("_PCB") else child.label
        count[label] += 1
        found.append((f"{label}-{count[label]}" if count[label] > 1 else label, child))
    return tuple(found)


@cache
def board(parts: Figures) -> tuple[Piece, ...]:
    """The carrier board and all that stands on it but the display: one piece each, from hardware's STEP file."""
    return tuple(
        Piece(
            name, _with_round_barrel(shape) if name.startswith(JACK) else shape, printed=False, colour=_colour(name)
        )
        for name, shape in _children(parts.text("board.step"))
        if not name.startswith("display")
    )


def _with_round_barrel(jack: Shape) -> Shape:
    """A jack whose barrel, which hardware draws as a box, is the cylinder that its data sheet has."""
    first, *rest = _from_the_left(jack)
    lies = first.bounding_box()
    round_one = Pos(*lies.center()) * Rot(0, 90, 0) * Cylinder(lies.size.Y / 2, lies.size.X)
    return Compound([round_one, *rest])


def barrel(jack: Shape) -> BoundBox:
    """Where the barrel of a jack at the left edge is: what stands out furthest."""
    return _from_the_left(jack)[0].bounding_box()


def _from_the_left(jack: Shape) -> list[Shape]:
    return sorted(jack.solids(), key=lambda s: float(s.bounding_box().min.X))


def solder(parts: Figures) -> list[Piece]:
    """Room of the legs that stand out on the board's other side, one box for each part or socket with legs."""
    width, height, thick = parts.numbers("board.size")
    out = parts.mm("board.solder")
    found: list[Piece] = []
    for name, shape in _children(parts.text("board.step")):
        if not name.startswith(THROUGH):
            continue
        front = thick + 3.0 < shape.bounding_box().max.Z
        z = (-out, 0.0) if front else (thick, thick + out)
        for k, lies in enumerate(_strips(shape) if name.startswith(MODULES) else [shape.bounding_box()]):
            low = (max(lies.min.X, 0.0), max(lies.min.Y, 0.0), z[0])
            high = (min(lies.max.X, width), min(lies.max.Y, height), z[1])
            found.append(Piece(f"legs of {name}-{k}", box(low, high), printed=False, colour=(0.7, 0.7, 0.72)))
    return found


def _strips(module: Shape) -> list[BoundBox]:
    """The socket strips of a module: what of it stands on the board."""
    boxes = [s.bounding_box() for s in module.solids()]
    near = min(min(abs(b.min.Z), abs(b.max.Z)) for b in boxes)
    return [b for b in boxes if min(abs(b.min.Z), abs(b.max.Z)) < near + 0.1]


def pins(parts: Figures) -> list[Piece]:
    """Ends of the pins behind each module on sockets."""
    found: list[Piece] = []
    for name, shape in _children(parts.text("board.step")):
        if not name.startswith(MODULES) or name.startswith("display"):
            continue
        for k, strip in enumerate(_strips(shape)):
            plate = next(b for b in (s.bounding_box() for s in shape.solids()) if abs(b.max.Z - strip.min.Z) < 0.05)
            z = plate.min.Z
            low = (strip.min.X, strip.min.Y, z - parts.mm("pins.out"))
            found.append(Piece(f"pins of {name}-{k}", box(low, (strip.max.X, strip.max.Y, z)), printed=False))
    return found


def row_place(parts: Figures) -> tuple[float, float]:
    """x of the display's middle and y of its row of pins on the board, mm: from hardware's STEP file."""
    shape = dict(_children(parts.text("board.step")))["display"]
    (strip,) = _strips(shape)
    return strip.center().X, strip.center().Y


def display_middle(parts: Figures, variant: Variant) -> tuple[float, float]:
    """x, y of the middle of the display's module, mm."""
    x, y = row_place(parts)
    at = f'display."{variant.display}"'
    return x, y + parts.mm(f"{at}.row") - parts.pair(f"{at}.module")[1] / 2


def lit_field(parts: Figures, variant: Variant) -> tuple[tuple[float, float, float], tuple[float, float]]:
    """Middle (x, y, z of the pixels) and size of the field of pixels, mm."""
    at = f'display."{variant.display}"'
    x, y = display_middle(parts, variant)
    dx, dy = parts.pair(f"{at}.lit.at")
    z = parts.numbers("board.size")[2] + parts.pair(f"{at}.stack.glass")[1] - parts.mm(f"{at}.deep")
    return (x + dx, y + dy, z), parts.pair(f"{at}.lit.size")


def display(parts: Figures, variant: Variant) -> list[Piece]:
    """The module, its glass and its row of pins."""
    at = f'display."{variant.display}"'
    front = parts.numbers("board.size")[2]
    x, y = display_middle(parts, variant)
    found: list[Piece] = []
    for part, colour in (("module", (0.12, 0.20, 0.38)), ("glass", (0.03, 0.03, 0.05))):
        w, h = parts.pair(f"{at}.module" if part == "module" else f"{at}.glass.size")
        dx, dy = (0.0, 0.0) if part == "module" else parts.pair(f"{at}.glass.at")
        a, b = parts.pair(f"{at}.stack.{part}")
        low = (x + dx - w / 2, y + dy - h / 2, front + a)
        found.append(
            Piece(f"display {part}", box(low, (low[0] + w, low[1] + h, front + b)), printed=False, colour=colour)
        )
    (mx, my, mz), (w, h) = lit_field(parts, variant)
    lit = box((mx - w / 2, my - h / 2, mz), (mx + w / 2, my + h / 2, mz + 0.05))
    found.append(Piece("display lit", lit, printed=False, colour=(0.85, 0.93, 1.0)))
    return found


def cell(parts: Figures, middle: tuple[float, float], floor: float) -> Piece:
    """The cell, lying on its foam at z = floor."""
    w, h, d = parts.numbers("cell.size")
    x, y = middle
    shape = box((x - w / 2, y - h / 2, floor), (x + w / 2, y + h / 2, floor + d))
    return Piece("cell", shape, printed=False, colour=(0.72, 0.74, 0.78), apart=(0.0, 0.0, -42.0))


def capsule(parts: Figures, x: float, top: float, z: float) -> Piece:
    """The microphone's capsule in its sleeve; its face looks up and touches the top wall at y = top."""
    across, long = parts.pair("capsule.size")
    radius = across / 2 + parts.mm("capsule.sleeve")
    shape = Pos(x, top - long / 2, z) * Rot(90, 0, 0) * Cylinder(radius, long)
    return Piece("capsule", shape, printed=False, colour=RUBBER, apart=(0.0, 0.0, -24.0))


def lead_plug(parts: Figures) -> Piece:
    """The stiff part of the data lead, in the computer's data port: the middle one of the ports at its lower edge."""
    computer = next(s for n, s in _children(parts.text("board.step")) if n.startswith("Raspberry"))
    low_edge = min(s.bounding_box().min.Y for s in computer.solids())
    ports = sorted(
        (
            s.bounding_box()
            for s in computer.solids()
            if low_edge + 2.0 > s.bounding_box().min.Y and s.bounding_box().size.X < 20
        ),
        key=lambda b: float(b.min.X),
    )
    port = ports[1]
    w, long, d = parts.numbers("data_plug.size")
    x, z = port.center().X, port.center().Z
    low = (x - w / 2, port.min.Y - long, z - d / 2)
    return Piece("data plug", box(low, (x + w / 2, port.min.Y, z + d / 2)), printed=False, colour=(0.1, 0.1, 0.1))


def jack_plug(parts: Figures, jack: Shape) -> Shape:
    """The grip of a plug that sits in a jack at the left edge: a cylinder along x."""
    hole = barrel(jack)
    long = parts.mm("plug.jack.long")
    x = hole.min.X - parts.mm("plug.jack.stands") - long / 2
    return Location((x, hole.center().Y, hole.center().Z), (0, 90, 0)) * Cylinder(
        parts.mm("plug.jack.across") / 2, long
    )


def usb_plug(parts: Figures, socket: Shape) -> Shape:
    """The overmould of a plug that sits in the USB socket at the right edge."""
    lies = socket.bounding_box()
    w, d = parts.pair("plug.usb.across")
    x = lies.max.X + parts.mm("plug.usb.stands")
    y, z = lies.center().Y, lies.center().Z
    return box((x, y - w / 2, z - d / 2), (x + parts.mm("plug.usb.long"), y + w / 2, z + d / 2))
