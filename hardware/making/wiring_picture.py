"""The wiring picture, made/pictures/wiring.svg and .png: the wires of wires.md between boxes.

The SVG is the same bytes each time. The PNG is drawn of the same shapes and carries the SVG's SHA-256, so that a test
can tell whether the two are of one making on a computer whose letters are drawn a little differently.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape

import matplotlib
from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from making.circuit import load
from making.harness import End, Harness, Wire, harness
from making.into import folder_asked_for
from making.netlist import read
from making.routing import Grid, Point
from making.wiring_boxes import SQUARE, TITLE, Box, Text, boxes, picture_size

PAPER, EDGE, MODULE, BOARD, INK = "#f4f5f6", "#38424a", "#ffffff", "#f3e9d2", "#101418"
COLOURS = {
    "black": "#20242a",
    "red": "#d6241f",
    "orange": "#f58a07",
    "yellow": "#f5d90a",
    "green": "#2c9c3f",
    "blue": "#2767d8",
    "violet": "#8b3fc4",
    "grey": "#8a949c",
    "white": "#ffffff",
    "brown": "#8a5a2b",
    "pink": "#f48fb8",
}
DIGEST = "sha256 of wiring.svg"
_TWICE = 2


@dataclass(frozen=True)
class Picture:
    """All that is drawn, in the order of drawing.

    Parameters
    ----------
    size : pixels
    ways : the corners of each wire, grid points
    """

    size: Point
    boxes: Mapping[str, Box]
    ways: tuple[tuple[Wire, tuple[Point, ...]], ...]
    texts: tuple[Text, ...]


def picture(some: Harness, drawn: Mapping[str, Box], size: Point) -> Picture:
    """Find a way for each wire, short ones first."""
    grid = Grid(size)
    pins: dict[End, Point] = {}
    for box in drawn.values():
        grid.blocked |= {
            (x, y)
            for x in range(box.at[0], box.at[0] + box.size[0] + 1)
            for y in range(box.at[1], box.at[1] + box.size[1] + 1)
        }
        pins |= box.pins
    used = {end for wire in some.wires for end in wire.ends}
    for box in drawn.values():
        for end in used & box.pins.keys():
            (x, y), (dx, dy) = box.pins[end], box.outward[end]
            grid.kept |= {(x + dx * far, y + dy * far): end for far in (1, 2)}
    legend = tuple(_legend(size))
    grid.blocked |= {(x, y) for x in range(size[0]) for y in (*range(4), size[1] - 1)}

    def apart(wire: Wire) -> int:
        (x, y), (x2, y2) = (pins[end] for end in wire.ends)
        return abs(x - x2) + abs(y - y2)

    ways = [
        (wire, tuple(grid.way(pins[wire.ends[0]], pins[wire.ends[1]], frozenset(wire.ends))))
        for wire in sorted(some.wires, key=apart)
    ]
    texts = [text for box in drawn.values() for text in box.texts]
    return Picture((size[0] * SQUARE, size[1] * SQUARE), drawn, tuple(ways), (*legend, *texts))


def _legend(size: Point) -> Iterable[Text]:
    head = "Airladder: modules and wires, without the carrier board. Untested on hardware."
    yield Text(20, 15, head, TITLE)
    yield Text(20, 32, "W numbers: made/wires.md. Go by the names beside the pins; modules order them as they like.")


def as_svg(drawn: Picture) -> str:
    """The picture as SVG."""
    wide, high = drawn.size
    size = f'width="{wide}" height="{high}" viewBox="0 0 {wide} {high}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="DejaVu Sans Mono, monospace">',
        f'<rect width="{wide}" height="{high}" fill="{PAPER}"/>',
    ]
    for box in drawn.boxes.values():
        (x, y), (w, h) = box.at, box.size
        dash = ' stroke-dasharray="8 5"' if box.option else ""
        lines.append(
            f'<rect x="{x * SQUARE}" y="{y * SQUARE}" width="{w * SQUARE}" height="{h * SQUARE}" rx="6"'
            f' fill="{BOARD if box.board else MODULE}" stroke="{EDGE}" stroke-width="2"{dash}/>'
        )
    for colour, width in ((EDGE, 5), ("", 3)):
        for wire, corners in drawn.ways:
            points = " ".join(f"{x * SQUARE},{y * SQUARE}" for x, y in corners)
            lines.append(
                f'<polyline points="{points}" fill="none" stroke="{colour or COLOURS[wire.colour]}"'
                f' stroke-width="{width}" stroke-linejoin="round"/>'
            )
    for x, y in _pins(drawn):
        lines.append(f'<circle cx="{x}" cy="{y}" r="4" fill="{PAPER}" stroke="{EDGE}" stroke-width="2"/>')
    for text in drawn.texts:
        turned = f' transform="rotate({text.turn} {text.x:.1f} {text.y:.1f})"' if text.turn else ""
        lines.append(
            f'<text x="{text.x:.1f}" y="{text.y:.1f}" font-size="{text.size}" fill="{INK}" dy="0.35em"{turned}>'
            f"{escape(text.words)}</text>"
        )
    return "\n".join([*lines, "</svg>", ""])


def _pins(drawn: Picture) -> Iterable[Point]:
    for box in drawn.boxes.values():
        yield from ((x * SQUARE, y * SQUARE) for x, y in box.pins.values())


def as_image(drawn: Picture) -> Image.Image:
    """The picture in pixels, twice as fine."""

    def big(*points: Point) -> list[tuple[float, float]]:
        return [(x * SQUARE * _TWICE, y * SQUARE * _TWICE) for x, y in points]

    image = Image.new("RGB", (drawn.size[0] * _TWICE, drawn.size[1] * _TWICE), PAPER)
    pen = ImageDraw.Draw(image)
    for box in drawn.boxes.values():
        far = (box.at[0] + box.size[0], box.at[1] + box.size[1])
        fill = BOARD if box.board else MODULE
        pen.rounded_rectangle(big(box.at, far), 12, fill=fill, outline=EDGE, width=2 * _TWICE)
    for colour, width in ((EDGE, 5), ("", 3)):
        for wire, corners in drawn.ways:
            pen.line(big(*corners), colour or COLOURS[wire.colour], width * _TWICE, joint="curve")
    for x, y in _pins(drawn):
        spot = [(x - 4) * _TWICE, (y - 4) * _TWICE, (x + 4) * _TWICE, (y + 4) * _TWICE]
        pen.ellipse(spot, fill=PAPER, outline=EDGE, width=2 * _TWICE)
    for text in drawn.texts:
        _write(image, text)
    return image


def _write(image: Image.Image, text: Text) -> None:
    font = ImageFont.truetype(
        Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSansMono.ttf", text.size * _TWICE
    )
    left, top, right, bottom = (round(edge * _TWICE) for edge in text.room)
    flat = (right - left, bottom - top) if text.turn == 0 else (bottom - top, right - left)
    mask = Image.new("L", flat)
    ImageDraw.Draw(mask).text((0, flat[1] / 2), text.words, 255, font, anchor="lm")
    image.paste(INK, (left, top), mask.rotate(-text.turn, expand=True) if text.turn else mask)


def main() -> None:
    """Write both pictures from netlist.xml of the same folder."""
    made, circuit = folder_asked_for(main.__doc__), load()
    some = harness(circuit, read(made / "netlist.xml").nets)
    drawn = picture(some, boxes(some, circuit), picture_size())
    svg = as_svg(drawn)
    (made / "pictures").mkdir(exist_ok=True)
    (made / "pictures" / "wiring.svg").write_text(svg, "utf-8")
    notes = PngInfo()
    notes.add_text(DIGEST, hashlib.sha256(svg.encode()).hexdigest())
    image = as_image(drawn).quantize(64, dither=Image.Dither.NONE)
    image.save(made / "pictures" / "wiring.png", optimize=True, pnginfo=notes)


if __name__ == "__main__":
    main()
