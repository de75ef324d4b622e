"""Bodies for the three-dimensional view: `python -m making.bodies` writes made/bodies/*.step from bodies.toml.

Each body is a few boxes with a colour, as a STEP file (ISO 10303-21, application protocol 214), written by hand:
eight corners, twelve edges, six faces.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE

COLOURS: Mapping[str, tuple[float, float, float]] = {
    "black": (0.09, 0.09, 0.10),
    "blue": (0.10, 0.22, 0.45),
    "brown": (0.55, 0.42, 0.30),
    "gold": (0.80, 0.66, 0.25),
    "green": (0.08, 0.38, 0.20),
    "metal": (0.75, 0.75, 0.76),
    "white": (0.92, 0.92, 0.90),
}
_HEAD = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('boxes'),'2;1');
FILE_NAME('{name}','2026-01-01T00:00:00',(''),(''),'making.bodies','','');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));
ENDSEC;
DATA;
"""
# The corners of each face of a box, as (x, y, z) at the low (0) or high (1) end, anticlockwise from outside.
_FACES = (
    ((0, 0, 0), (0, 1, 0), (1, 1, 0), (1, 0, 0)),
    ((0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1)),
    ((0, 0, 0), (1, 0, 0), (1, 0, 1), (0, 0, 1)),
    ((0, 1, 0), (0, 1, 1), (1, 1, 1), (1, 1, 0)),
    ((0, 0, 0), (0, 0, 1), (0, 1, 1), (0, 1, 0)),
    ((1, 0, 0), (1, 1, 0), (1, 1, 1), (1, 0, 1)),
)
Corner = tuple[int, int, int]
Spot = tuple[float, float, float]


@dataclass(frozen=True)
class Box:
    """One box in the footprint's coordinates, y down, z up from the board, millimetres."""

    left: float
    top: float
    right: float
    bottom: float
    low: float
    high: float
    colour: str


@dataclass
class _Step:
    lines: list[str] = field(default_factory=list)

    def put(self, text: str) -> str:
        self.lines.append(f"#{len(self.lines) + 1}={text};")
        return f"#{len(self.lines)}"


def load_bodies(folder: Path = HARDWARE) -> dict[str, tuple[Box, ...]]:
    """Name of a footprint, without its library -> its boxes."""
    with (folder / "bodies.toml").open("rb") as file:
        told = tomllib.load(file)
    return {name: tuple(map(_box, one["boxes"])) for key, one in told.items() for name in one.get("of", (key,))}


def step(name: str, boxes: Sequence[Box]) -> str:
    """The boxes as a STEP file; the same boxes give the same text."""
    out = _Step()
    context = out.put("APPLICATION_CONTEXT('automotive design')")
    out.put(f"APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,{context})")
    length = out.put("(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.))")
    angle = out.put("(NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.))")
    solid = out.put("(NAMED_UNIT(*) SI_UNIT($,.STERADIAN.) SOLID_ANGLE_UNIT())")
    fine = out.put(f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-5),{length},'accuracy','')")
    space = out.put(
        "(GEOMETRIC_REPRESENTATION_CONTEXT(3) "
        f"GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({fine})) GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid})) "
        "REPRESENTATION_CONTEXT('',''))"
    )
    solids, styles = zip(*(_solid(out, box) for box in boxes), strict=True)
    axes = _axes(out, (0, 0, 0), (0, 0, 1), (1, 0, 0))
    shape = out.put(f"ADVANCED_BREP_SHAPE_REPRESENTATION('{name}',({','.join((axes, *solids))}),{space})")
    product_context = out.put(f"PRODUCT_CONTEXT('',{context},'mechanical')")
    made = out.put(f"PRODUCT('{name}','{name}','',({product_context}))")
    formation = out.put(f"PRODUCT_DEFINITION_FORMATION('','',{made})")
    definition_context = out.put(f"PRODUCT_DEFINITION_CONTEXT('part definition',{context},'design')")
    definition = out.put(f"PRODUCT_DEFINITION('design','',{formation},{definition_context})")
    defined = out.put(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")
    out.put(f"SHAPE_DEFINITION_REPRESENTATION({defined},{shape})")
    out.put(f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({','.join(styles)}),{space})")
    return _HEAD.format(name=name) + "\n".join(out.lines) + "\nENDSEC;\nEND-ISO-10303-21;\n"


def write_all(folder: Path) -> None:
    """Write all bodies into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, boxes in load_bodies().items():
        (folder / f"{name}.step").write_text(step(name, boxes), encoding="ascii")


def _box(told: Mapping[str, Any]) -> Box:
    left, top, right, bottom, low, high = told["box"]
    return Box(left, top, right, bottom, low, high, told["colour"])


def _solid(out: _Step, box: Box) -> tuple[str, str]:
    """The solid and the item that gives it its colour; y goes up here, so top and bottom change places."""
    ends = ((box.left, box.right), (-box.bottom, -box.top), (box.low, box.high))
    spots = {(i, j, k): (ends[0][i], ends[1][j], ends[2][k]) for i, j, k in product((0, 1), repeat=3)}
    corners = {c: out.put(f"VERTEX_POINT('',{_point(out, spot)})") for c, spot in spots.items()}
    edges: dict[tuple[Corner, Corner], str] = {}
    for a, b in (
        (a, b)
        for a, b in product(spots, spots)
        if sum(b) == sum(a) + 1 and all(x <= y for x, y in zip(a, b, strict=True))
    ):
        way = tuple(y - x for x, y in zip(a, b, strict=True))
        vector = out.put(f"VECTOR('',{_direction(out, way)},1.)")
        line = out.put(f"LINE('',{_point(out, spots[a])},{vector})")
        edges[a, b] = out.put(f"EDGE_CURVE('',{corners[a]},{corners[b]},{line},.T.)")
    faces = ",".join(_face(out, face, spots, edges) for face in _FACES)
    solid = out.put(f"MANIFOLD_SOLID_BREP('',{out.put(f'CLOSED_SHELL({chr(39) * 2},({faces}))')})")
    colour = out.put("COLOUR_RGB('',{:g},{:g},{:g})".format(*COLOURS[box.colour]))
    fill = out.put(f"FILL_AREA_STYLE('',({out.put(f'FILL_AREA_STYLE_COLOUR({chr(39) * 2},{colour})')}))")
    side = out.put(f"SURFACE_SIDE_STYLE('',({out.put(f'SURFACE_STYLE_FILL_AREA({fill})')}))")
    style = out.put(f"PRESENTATION_STYLE_ASSIGNMENT(({out.put(f'SURFACE_STYLE_USAGE(.BOTH.,{side})')}))")
    return solid, out.put(f"STYLED_ITEM('',({style}),{solid})")


def _face(
    out: _Step,
    face: tuple[Corner, ...],
    spots: Mapping[Corner, Spot],
    edges: Mapping[tuple[Corner, Corner], str],
) -> str:
    around = []
    for a, b in zip(face, (*face[1:], face[0]), strict=True):
        forward = (a, b) in edges
        around.append(
            out.put(f"ORIENTED_EDGE('',*,*,{edges[(a, b) if forward else (b, a)]},{'.T.' if forward else '.F.'})")
        )
    u = tuple(y - x for x, y in zip(face[0], face[1], strict=True))
    v = tuple(y - x for x, y in zip(face[1], face[2], strict=True))
    normal = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
    plane = out.put(f"PLANE('',{_axes(out, spots[face[0]], normal, u)})")
    bound = out.put(f"FACE_OUTER_BOUND('',{out.put(f'EDGE_LOOP({chr(39) * 2},({chr(44).join(around)}))')},.T.)")
    return out.put(f"ADVANCED_FACE('',({bound}),{plane},.T.)")


def _axes(out: _Step, at: Sequence[float], normal: Sequence[float], first: Sequence[float]) -> str:
    return out.put(f"AXIS2_PLACEMENT_3D('',{_point(out, at)},{_direction(out, normal)},{_direction(out, first)})")


def _point(out: _Step, at: Sequence[float]) -> str:
    return out.put(f"CARTESIAN_POINT('',({_numbers(at)}))")


def _direction(out: _Step, way: Sequence[float]) -> str:
    return out.put(f"DIRECTION('',({_numbers(way)}))")


def _numbers(of: Sequence[float]) -> str:
    return ",".join(f"{round(one, 4) + 0.0:.4f}" for one in of)
