"""Files of the parts: STEP to change, STL and 3MF to print. The same bytes for the same solids.

3MF is written here: 3MF Core Specification 1.3, a zip of one model, millimetres, one object a part.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import numpy as np
from build123d import Color, Location, Shape, export_step

from casing.mesh import Mesh, mesh_of
from casing.piece import Piece

TOLERANCE, TURN = 0.02, 0.15
"""Of the triangles in files, mm and rad: finer than a printer's step."""
SPACE = 4.0
"""Between parts that lie side by side, mm."""
LONG_AGO = datetime(2026, 1, 1)
"""Every file's date: what is made anew is the same."""

_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""


def welded(shape: Shape) -> Mesh:
    """Triangles on shared corners, as 3MF wants them; corners to a thousandth of a millimetre."""
    mesh = mesh_of(shape, TOLERANCE, TURN)
    points, one = np.unique(np.round(mesh.points, 3) + 0.0, axis=0, return_inverse=True)
    triangles = one.reshape(-1)[mesh.triangles]
    a, b, c = triangles.T
    return Mesh(points, triangles[(a != b) & (b != c) & (c != a)])


def write_stl(piece: Piece, path: Path) -> None:
    """The part as it lies on the printer, binary STL, mm."""
    mesh = welded(piece.on_the_bed())
    rows = np.zeros(len(mesh.triangles), dtype=[("n", "<3f4"), ("p", "<9f4"), ("a", "<u2")])
    rows["n"], rows["p"] = mesh.normals, mesh.corners.reshape(-1, 9)
    header = f"Airladder {piece.name}, CERN-OHL-S-2.0, millimetres".encode().ljust(80)
    path.write_bytes(header + struct.pack("<I", len(rows)) + rows.tobytes())


def _object(number: int, piece: Piece) -> tuple[str, float]:
    """The XML of a part, and its breadth on the bed, mm."""
    mesh = welded(piece.on_the_bed())
    vertices = "".join(f'<vertex x="{x:.3f}" y="{y:.3f}" z="{z:.3f}"/>' for x, y, z in mesh.points)
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.triangles)
    text = f'<object id="{number}" name="{piece.name}" type="model"><mesh><vertices>{vertices}</vertices>'
    return f"{text}<triangles>{triangles}</triangles></mesh></object>", float(mesh.points[:, 0].max())


def write_3mf(pieces: Sequence[Piece], title: str, path: Path) -> None:
    """The printed parts as they lie on the printer, side by side: whoever prints moves them onto plates."""
    objects: list[str] = []
    items: list[str] = []
    x = 0.0
    for number, piece in enumerate(pieces, 1):
        text, wide = _object(number, piece)
        objects.append(text)
        items.append(f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {x:.3f} 0 0"/>')
        x += wide + SPACE
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en"'
        ' xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
        f'<metadata name="Title">Airladder {title}</metadata>'
        '<metadata name="LicenseTerms">CERN-OHL-S-2.0</metadata>'
        f"<resources>{''.join(objects)}</resources><build>{''.join(items)}</build></model>\n"
    )
    with ZipFile(path, "w") as pack:
        for name, text in (("[Content_Types].xml", _TYPES), ("_rels/.rels", _RELATIONS), ("3D/3dmodel.model", model)):
            entry = ZipInfo(name, LONG_AGO.timetuple()[:6])
            entry.compress_type = ZIP_DEFLATED
            pack.writestr(entry, text, compresslevel=9)


def write_step(piece: Piece, path: Path) -> None:
    """The part where it stands, with its name and colour. One a file: of several the colours come in any order."""
    (solid,) = piece.shape.solids()
    copy = Location() * solid
    copy.label, copy.color = piece.name, Color(*piece.colour)
    export_step(copy, str(path), timestamp=LONG_AGO, write_pcurves=False)
    text = path.read_text("utf-8")  # the translator counts what it has written since the program began
    path.write_text(re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+'", r"\g<1>1'", text), "utf-8")
