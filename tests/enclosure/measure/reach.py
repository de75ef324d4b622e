"""Whether a plug comes to its socket, and a finger to its knob, past what is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from scipy.spatial import ConvexHull

from casing.mesh import Mesh
from enclosure.measure.gaps import least
from enclosure.measure.kinds import Triple, triple, words
from enclosure.measure.skin import Skin
from enclosure.measure.triangles import apart


def swept(body: Mesh, way: Triple) -> Mesh:
    """The room that a convex body takes while it moves straight along a way: the hull of its start and its end."""
    points = np.concatenate([body.points, body.points + way])
    hull = ConvexHull(points)
    corners = points[hull.simplices]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    inwards = np.einsum("ij,ij->i", normal, hull.equations[:, :3]) < 0
    triangles = np.where(inwards[:, None], hull.simplices[:, ::-1], hull.simplices)
    return Mesh(points, triangles.astype(np.int64))


def blocked(
    bodies: Sequence[tuple[str, Mesh]], out: Triple, printed: Iterable[tuple[str, Skin]], room: float = 0.0
) -> list[str]:
    """What is in the way of a plug, between its seat and a place outside of all that is printed.

    Parameters
    ----------
    bodies : the plug as it sits, in convex bodies: name and triangles of each
    out : the way that it is pulled, of any length
    printed : name and skin of each part
    room : that must be free round it, mm
    """
    parts = list(printed)
    along = np.array(out) / np.linalg.norm(out)
    found: list[str] = []
    for name, body in bodies:
        behind = float((body.points @ along).min())
        ends = [float((skin.mesh.points @ along).max()) for _, skin in parts]
        way = along * max([room + 1.0, *(end - behind + room + 1.0 for end in ends)])
        ray = Skin(swept(body, triple(way)))
        for part, skin in parts:
            near = least(ray, skin, room)
            if near is not None and near.size <= max(room - 1e-3, 0.0):
                found.append(f"{name} meets {part} at {words(near.at)} on its way")
    return found


class Finger:
    """The end of a finger: a ball, or a pad that lies along the panel, a capsule.

    Parameters
    ----------
    tip : its breadth, mm
    start : x, y, z of its middle before it moves, clear of everything
    towards : the way that it moves, of any length
    pad : from its middle to the middle of either of its round ends, mm; none for a ball
    """

    def __init__(self, tip: float, start: Triple, towards: Triple, pad: Triple = (0.0, 0.0, 0.0)) -> None:
        self.radius = tip / 2
        self._start, self._pad = np.array(start), np.array(pad)
        self._way = np.array(towards) / np.linalg.norm(towards)

    def travel(self, skin: Skin, most: float = 100.0) -> float:
        """How far the finger goes until it touches, mm; infinite if it meets nothing within most.

        It goes on by as much as the nearest triangle is away, again and again: it never goes too far.
        """
        ends = np.stack([self._start + self._pad, self._start - self._pad])
        whole = np.concatenate([ends, ends + most * self._way])
        pieces = skin.pieces[skin.near(whole.min(axis=0) - self.radius, whole.max(axis=0) + self.radius)]
        gone = 0.0
        while len(pieces) and gone < most:
            middle = self._start + gone * self._way
            core = np.stack([middle + self._pad, middle - self._pad, middle - self._pad])
            gaps = apart(pieces, np.broadcast_to(core, pieces.shape)) - self.radius
            ahead = float(gaps.min())
            if ahead < 1e-3:
                return gone
            # What is further away than all that is left of the way is never met.
            pieces = pieces[gaps <= most - gone]
            gone += ahead
        return np.inf

    def misses(self, knob: tuple[str, Skin], printed: Iterable[tuple[str, Skin]], press: float = 0.0) -> list[str]:
        """What stops the finger before it has pressed the knob so far, mm; or that it meets no knob at all."""
        name, skin = knob
        wanted = self.travel(skin) + press
        if not np.isfinite(wanted):
            return [f"the finger does not meet {name}"]
        stops = ((part, self.travel(other)) for part, other in printed)
        return [
            f"{part} stops the finger {wanted - t:.2f} mm before {name}" for part, t in stops if t < wanted - 2e-3
        ]
