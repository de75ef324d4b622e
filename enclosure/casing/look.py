"""Pictures of the box: soft light from above left, darkness in corners, thin dark edges, a shadow on the table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PIL import Image
from scipy.ndimage import uniform_filter

from casing.mesh import Mesh
from casing.piece import Piece
from casing.seen import Flags, Floats, Scene, Seen, Triple, View, meshes, raster, scene, shares

FINE = 2
"""Places for each pixel, across and up."""
KEY, FILL = np.array([-0.45, 0.65, 0.61]), np.array([0.7, 0.1, 0.7])
"""Where the light and the lesser light come from, in the view's axes."""
PAPER = np.array([0.965, 0.96, 0.95])
MARGIN = 8.0
"""Round the box, mm."""


def rounded(mesh: Mesh) -> Floats:
    """(m, 3, 3): at each corner the mean normal of the triangles that share it, by their angles there.

    A mesh of `mesh_of` has every corner once for each face of the solid: curved faces become round, edges stay sharp.
    """
    corners = mesh.corners
    one, other = np.roll(corners, -1, axis=1) - corners, np.roll(corners, 1, axis=1) - corners
    long = np.linalg.norm(one, axis=2) * np.linalg.norm(other, axis=2)
    cosine = np.divide((one * other).sum(axis=2), long, out=np.ones_like(long), where=long > 0)
    weighed = mesh.normals[:, None] * np.arccos(np.clip(cosine, -1, 1))[:, :, None]
    total = np.zeros_like(mesh.points)
    np.add.at(total, mesh.triangles.reshape(-1), weighed.reshape(-1, 3))
    size = np.linalg.norm(total, axis=1, keepdims=True)
    unit = np.divide(total, size, out=np.zeros_like(total), where=size > 0)
    return np.asarray(unit[mesh.triangles])


def _normals(seen: Seen, what: Scene, corners: Floats) -> Floats:
    """(rows, columns, 3): the normal at each place, between those at its triangle's corners; 0 where nothing is."""
    rows, columns = np.nonzero(seen.triangle >= 0)
    found = seen.triangle[rows, columns]
    x, y = (np.stack([columns, rows]) + 0.5) / seen.per_mm + seen.low[:, None]
    v, w = shares(what.corners[found], x, y)
    normal = (
        (1 - v - w)[:, None] * corners[found, 0] + v[:, None] * corners[found, 1] + w[:, None] * corners[found, 2]
    )
    picture = np.zeros((*seen.triangle.shape, 3))
    picture[rows, columns] = normal / np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    return picture


def _shade(seen: Seen, what: Scene, normal: Floats, colours: Floats) -> Floats:
    """(rows, columns, 3): each face by its normal, a gloss on what mirrors the light."""
    hit = seen.triangle >= 0
    light = 0.50 + 0.56 * np.clip(normal @ (KEY / np.linalg.norm(KEY)), 0, 1)
    light += 0.20 * np.clip(normal @ (FILL / np.linalg.norm(FILL)), 0, 1)
    half = KEY / np.linalg.norm(KEY) + [0, 0, 1]
    gloss = 0.16 * np.clip(normal @ (half / np.linalg.norm(half)), 0, 1) ** 24
    picture = colours[what.owner[seen.triangle]] * light[:, :, None] + gloss[:, :, None]
    picture[~hit] = PAPER
    return np.asarray(picture)


def _soft(picture: Floats, wide: float) -> Floats:
    """Blurred as by a bell curve of this width, in places: three means over squares, which take no longer if wide."""
    side = max(round(float(np.sqrt(4 * wide**2 + 1))), 1)
    for _ in range(3):
        picture = uniform_filter(picture, side, mode="nearest")
    return picture


def _hollows(seen: Seen) -> Floats:
    """(rows, columns): how much darker it is where the neighbourhood stands nearer to the eye."""
    floor = seen.depth[np.isfinite(seen.depth)].min() - 4.0
    depth = np.where(np.isfinite(seen.depth), seen.depth, floor)
    dark = np.zeros_like(depth)
    for wide in (1.2, 4.0):
        dark += np.clip((_soft(depth, wide * seen.per_mm) - depth) / (2.5 * wide), 0, 1)
    return np.asarray(1 - 0.30 * np.clip(dark, 0, 1))


def _edges(seen: Seen, normal: Floats) -> Floats:
    """(rows, columns): 0 to 1, where the face turns or something lies before something else."""
    depth = np.where(np.isfinite(seen.depth), seen.depth, -1e3)
    found = np.zeros(depth.shape)
    for axis in (0, 1):
        turn = 1 - (normal * np.roll(normal, 1, axis)).sum(axis=2)
        slope = np.maximum(np.abs(normal[:, :, 1 - axis]) / np.maximum(normal[:, :, 2], 0.15), 0.3) / seen.per_mm
        step = np.abs(depth - np.roll(depth, 1, axis)) > 6 * slope + 0.5
        found = np.maximum(found, np.where(step, 0.75, np.clip((turn - 0.06) * 2.0, 0, 0.45)))
    return np.where(seen.triangle >= 0, found, 0.0)


def _shadow(seen: Seen) -> Floats:
    """(rows, columns): a soft shadow beside the box, on the paper."""
    solid = np.isfinite(seen.depth).astype(np.float64)
    down, right = int(5 * seen.per_mm), int(4 * seen.per_mm)
    thrown = _soft(np.roll(solid, (-down, right), (0, 1)), 5 * seen.per_mm)
    return np.asarray(1 - 0.28 * thrown)


def _shown(seen: Seen, what: Scene, view: View, lit: tuple[int, Piece], screen: Image.Image) -> tuple[Flags, Floats]:
    """Where the lit field of the display is seen, and the colours of the screen there."""
    number, piece = lit
    rows, columns = np.nonzero((seen.triangle >= 0) & (what.owner[seen.triangle] == number))
    flat = np.stack([columns + 0.5, rows + 0.5], axis=1) / seen.per_mm + seen.low
    places = np.concatenate([flat, seen.depth[rows, columns][:, None]], axis=1) @ view.axes
    box = piece.shape.bounding_box()
    tones = np.asarray(screen.convert("RGB"), dtype=np.float64) / 255
    high, wide = tones.shape[:2]
    x = np.clip((places[:, 0] - box.min.X) / box.size.X * wide, 0, wide - 1).astype(np.int64)
    y = np.clip((box.max.Y - places[:, 1]) / box.size.Y * high, 0, high - 1).astype(np.int64)
    where = np.zeros(seen.depth.shape, dtype=np.bool_)
    where[rows, columns] = True
    return where, tones[y, x]


def picture(
    pieces: Sequence[Piece],
    eye: Triple,
    up: Triple = (0.0, 1.0, 0.0),
    width: int = 1100,
    screen: Image.Image | None = None,
) -> Image.Image:
    """The pieces as one sees them from a direction.

    Parameters
    ----------
    eye : from the box towards the eye, of any length
    width : of the picture, pixels; its height is what the box needs
    screen : what the piece "display lit" shows
    """
    view = View.from_eye(eye, up)
    found = meshes(pieces)
    what = scene(found, view)
    corners = np.concatenate([view.of(rounded(m).reshape(-1, 3)).reshape(-1, 3, 3) for m in found])
    low = what.corners.reshape(-1, 3)[:, :2].min(axis=0) - MARGIN
    high = what.corners.reshape(-1, 3)[:, :2].max(axis=0) + MARGIN
    seen = raster(what, low, high, FINE * width / float(high[0] - low[0]))
    normal = _normals(seen, what, corners)
    drawn = _shade(seen, what, normal, np.array([p.colour for p in pieces]))
    hit = (seen.triangle >= 0)[:, :, None]
    drawn = np.where(hit, drawn * _hollows(seen)[:, :, None], drawn * _shadow(seen)[:, :, None])
    drawn *= (1 - 0.8 * _edges(seen, normal))[:, :, None]
    lit = next(((k, p) for k, p in enumerate(pieces) if p.name == "display lit"), None)
    if screen is not None and lit is not None:
        where, tones = _shown(seen, what, view, lit, screen)
        drawn[where] = tones
    rows, columns = (n // FINE * FINE for n in drawn.shape[:2])
    drawn = drawn[:rows, :columns].reshape(rows // FINE, FINE, columns // FINE, FINE, 3).mean(axis=(1, 3))
    tones = np.clip(drawn[::-1] ** (1 / 1.12) * 255 + 0.5, 0, 255).astype(np.uint8)
    return Image.fromarray(tones)


def save(image: Image.Image, path: str) -> None:
    """As a small PNG: 256 colours that no place is far from, and no dots, which neither look soft nor pack well."""
    few = image.quantize(256, method=Image.Quantize.MAXCOVERAGE, kmeans=4, dither=Image.Dither.NONE)
    few.save(path, optimize=True)
