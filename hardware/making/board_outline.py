"""The board itself: its edge, its screws' holes, what is printed on it, and the pours of copper."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from making.layout import Layout, Point, Words
from making.pcb import kicad, nm, spot

_LINE = 0.1
# How the ground's copper keeps away from others and how its pads hang in it, millimetres.
_GAP, _LEAST, _SPOKE = 0.25, 0.25, 0.5


def draw_edge(board: Any, layout: Layout, notches: list[tuple[float, float]]) -> None:
    """The outline; at the left edge it leaves out the spans that the jacks' footprints draw themselves.

    Parameters
    ----------
    notches : from and to of those spans, millimetres from the top
    """
    (width, height), r = layout.size, layout.corner
    side = [r, *(end for span in sorted(notches) for end in span), height - r]
    lines = [((r, 0.0), (width - r, 0.0)), ((width, r), (width, height - r)), ((width - r, height), (r, height))]
    lines += [((0.0, a), (0.0, b)) for a, b in zip(side[::2], side[1::2], strict=True) if b > a]
    for a, b in lines:
        _edge(board, kicad.SHAPE_T_SEGMENT, a, b)
    for x, y, turn in ((width - r, r, 0), (width - r, height - r, 1), (r, height - r, 2), (r, r, 3)):
        points = [_on_circle((x, y), r, (turn - 1) * 90 + part) for part in (0, 45, 90)]
        arc = kicad.PCB_SHAPE(board, kicad.SHAPE_T_ARC)
        arc.SetArcGeometry(*map(spot, points))
        _finish(board, arc)


def drill_holes(board: Any, layout: Layout, library: Path) -> None:
    """Holes for the screws, without copper, and round each a region without copper."""
    for at, middle in enumerate(layout.holes, 1):
        hole = kicad.FootprintLoad(str(library), "hole")
        hole.SetFPID(kicad.LIB_ID("airladder", "hole"))
        hole.SetReference(f"H{at}")
        hole.Reference().SetVisible(False)
        hole.SetPosition(spot(middle))
        board.Add(hole)
        zone = kicad.ZONE(board)
        zone.SetIsRuleArea(True)
        zone.SetZoneName(f"hole {at}")
        zone.SetLayerSet(kicad.LSET.AllCuMask(2))
        for refuse in (zone.SetDoNotAllowCopperPour, zone.SetDoNotAllowTracks, zone.SetDoNotAllowVias):
            refuse(True)
        zone.SetDoNotAllowPads(False)
        zone.SetDoNotAllowFootprints(False)
        _corners(zone, [_on_circle(middle, layout.hole_keepout, part * 15) for part in range(24)])
        board.Add(zone)


def pour(board: Any, layout: Layout, ground: Any) -> None:
    """The ground on both sides of the board, up to half a millimetre from its edge."""
    width, height = layout.size
    for layer in (kicad.F_Cu, kicad.B_Cu):
        zone = kicad.ZONE(board)
        zone.SetLayer(layer)
        zone.SetNet(ground)
        zone.SetZoneName("ground " + ("front" if layer == kicad.F_Cu else "back"))
        zone.SetLocalClearance(nm(_GAP))
        zone.SetMinThickness(nm(_LEAST))
        zone.SetThermalReliefGap(nm(_GAP))
        zone.SetThermalReliefSpokeWidth(nm(_SPOKE))
        zone.SetPadConnection(kicad.ZONE_CONNECTION_THERMAL)
        zone.SetIslandRemovalMode(kicad.ISLAND_REMOVAL_MODE_ALWAYS)
        _corners(zone, [(0.5, 0.5), (width - 0.5, 0.5), (width - 0.5, height - 0.5), (0.5, height - 0.5)])
        board.Add(zone)


def print_words(board: Any, words: Words) -> None:
    """One line of print."""
    text = kicad.PCB_TEXT(board)
    text.SetText(words.text)
    text.SetLayer(kicad.F_SilkS if words.front else kicad.B_SilkS)
    text.SetMirrored(not words.front)
    text.SetTextSize(kicad.VECTOR2I(nm(words.height), nm(words.height)))
    text.SetTextThickness(nm(max(0.12, words.height * 0.14)))
    text.SetTextAngleDegrees(words.angle)
    text.SetHorizJustify(kicad.GR_TEXT_H_ALIGN_CENTER)
    text.SetVertJustify(kicad.GR_TEXT_V_ALIGN_CENTER)
    text.SetPosition(spot(words.at))
    board.Add(text)


def _edge(board: Any, kind: Any, a: Point, b: Point) -> None:
    shape = kicad.PCB_SHAPE(board, kind)
    shape.SetStart(spot(a))
    shape.SetEnd(spot(b))
    _finish(board, shape)


def _finish(board: Any, shape: Any) -> None:
    shape.SetLayer(kicad.Edge_Cuts)
    shape.SetWidth(nm(_LINE))
    board.Add(shape)


def _corners(zone: Any, points: list[Point]) -> None:
    outline = zone.Outline()
    outline.NewOutline()
    for point in points:
        outline.Append(spot(point))


def _on_circle(middle: Point, radius: float, degrees: float) -> Point:
    angle = math.radians(degrees)
    return middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)
