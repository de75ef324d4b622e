"""Print beside the parts: each name goes to the nearest place where it covers no pad, no other print and no edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from making.layout import Layout, Point
from making.pcb import back, kicad, nm, spot

Box = tuple[float, float, float, float]
_HEIGHT, _STROKE = 0.8, 0.12
# Between print and what it must not touch, millimetres.
_GAP = 0.12
_RIM = 0.8
# How far away from its part a name may be, and how far along it, millimetres.
_AWAY, _SLIDE = (0.19, 0.35, 0.5, 0.9, 1.4, 2.0, 2.8), (0.0, 0.6, 1.2, 1.8, 2.6)
# Below these is room for other parts, and for print that nobody sees once all is built.
_MODULES = ("A1", "A2", "A3", "A4", "A5", "DS")
_FRONT, _BACK = (kicad.F_SilkS, kicad.F_Mask), (kicad.B_SilkS, kicad.B_Mask)


@dataclass
class Printer:
    """Keeps what is taken on each side of the board, and places words between it.

    Words go under a module, or at worst under a part, only where nothing else is free.
    """

    board: Any
    layout: Layout
    taken: dict[bool, list[Box]] = field(default_factory=lambda: {True: [], False: []})
    bodies: dict[bool, list[Box]] = field(default_factory=lambda: {True: [], False: []})
    roofs: dict[bool, list[Box]] = field(default_factory=lambda: {True: [], False: []})
    failed: list[str] = field(default_factory=list)

    def begin(self) -> None:
        """Take note of all pads, all print that stands, and the holes."""
        for footprint in self.board.GetFootprints():
            front = not footprint.IsFlipped()
            of_module = footprint.GetReference()[:2] in _MODULES
            (self.roofs if of_module else self.bodies)[front].append(_body(footprint))
            for pad in footprint.Pads():
                for front, layer in ((True, kicad.F_Mask), (False, kicad.B_Mask)):
                    if pad.IsOnLayer(layer) or pad.GetDrillSize().x:
                        self.taken[front].append(_grown(_box(pad), _GAP + pad.GetSolderMaskExpansion(layer) / 1e6))
            for shape in footprint.GraphicalItems():
                for front, layers in ((True, _FRONT), (False, _BACK)):
                    if any(shape.IsOnLayer(layer) for layer in layers):
                        self.taken[front] += [_grown(box, _GAP) for box in _outline(shape)]
        for drawing in self.board.GetDrawings():
            for front, layer in ((True, kicad.F_SilkS), (False, kicad.B_SilkS)):
                if drawing.IsOnLayer(layer):
                    self.taken[front].append(_grown(_box(drawing), _GAP))
        for x, y in self.layout.holes:
            keep = self.layout.hole_keepout
            for front in (True, False):
                self.taken[front].append((x - keep, y - keep, x + keep, y + keep))

    def put_reference(self, footprint: Any) -> None:
        """Put a part's own name beside it."""
        text = footprint.Reference()
        text.SetVisible(True)
        self._style(text)
        self._settle(text, _body(footprint), not footprint.IsFlipped(), footprint.GetReference())

    def put_words(self, words: str, beside: Box, front: bool) -> None:
        """Put words beside a box."""
        text = kicad.PCB_TEXT(self.board)
        text.SetText(words)
        text.SetLayer(kicad.F_SilkS if front else kicad.B_SilkS)
        text.SetMirrored(not front)
        self._style(text)
        self.board.Add(text)
        self._settle(text, beside, front, words)

    def _style(self, text: Any) -> None:
        text.SetTextSize(kicad.VECTOR2I(nm(_HEIGHT), nm(_HEIGHT)))
        text.SetTextThickness(nm(_STROKE))
        text.SetHorizJustify(kicad.GR_TEXT_H_ALIGN_CENTER)
        text.SetVertJustify(kicad.GR_TEXT_V_ALIGN_CENTER)

    def _settle(self, text: Any, beside: Box, front: bool, name: str) -> None:
        roofs = [] if any(_meet(beside, roof) for roof in self.roofs[front] if roof != beside) else self.roofs[front]
        for avoided in (self.bodies[front] + roofs, self.bodies[front], []):
            for angle in (0, 90):
                text.SetTextAngleDegrees(angle)
                text.SetPosition(spot((0.0, 0.0)))
                box = _box(text)
                half = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
                off = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
                for x, y in _around(beside, half):
                    at = (x - half[0], y - half[1], x + half[0], y + half[1])
                    if self._is_free(at, [*self.taken[front], *avoided]):
                        text.SetPosition(spot((x - off[0], y - off[1])))
                        self.taken[front].append(_grown(at, _GAP))
                        return
        self.failed.append(name)

    def _is_free(self, at: Box, others: list[Box]) -> bool:
        width, height = self.layout.size
        inside = at[0] > _RIM and at[1] > _RIM and at[2] < width - _RIM and at[3] < height - _RIM
        return inside and not any(_meet(at, other) for other in others)


def pad_box(pad: Any) -> Box:
    """A pad's box, millimetres on the board."""
    return _box(pad)


def _body(footprint: Any) -> Box:
    boxes = [_box(pad) for pad in footprint.Pads()]
    layer = kicad.B_Fab if footprint.IsFlipped() else kicad.F_Fab
    boxes += [
        _box(shape)
        for shape in footprint.GraphicalItems()
        if shape.IsOnLayer(layer) and shape.GetClass() == "PCB_SHAPE"
    ]
    return _joined(boxes)


def _around(beside: Box, half: Point) -> Iterator[Point]:
    """Places round a box, the nearest first; along the box counts less than away from it."""
    left, top, right, bottom = beside
    middle = (left + right) / 2, (top + bottom) / 2
    pairs = [(away, slide) for away in _AWAY for step in _SLIDE for slide in {step, -step}]
    for away, slide in sorted(pairs, key=lambda pair: (pair[0] + 0.7 * abs(pair[1]), pair)):
        yield middle[0] + slide, top - away - half[1]
        yield middle[0] + slide, bottom + away + half[1]
        yield left - away - half[0], middle[1] + slide
        yield right + away + half[0], middle[1] + slide


def _outline(shape: Any) -> list[Box]:
    """The boxes of a shape's strokes: a rectangle is four, so that its inside stays free."""
    if shape.GetClass() != "PCB_SHAPE" or shape.GetShape() != kicad.SHAPE_T_RECT:
        return [_box(shape)]
    left, top, right, bottom = _box(shape)
    line = shape.GetWidth() / 1e6
    return [
        (left, top, right, top + line),
        (left, bottom - line, right, bottom),
        (left, top, left + line, bottom),
        (right - line, top, right, bottom),
    ]


def _box(item: Any) -> Box:
    box = item.GetBoundingBox()
    (left, top), (right, bottom) = back(box.GetOrigin()), back(box.GetEnd())
    return left, top, right, bottom


def _joined(boxes: list[Box]) -> Box:
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
