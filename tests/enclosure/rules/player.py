"""Rules for the player: what the eyes see, what the thumb feels."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from math import atan2, degrees

import numpy as np

from casing.bought import lit_field
from casing.piece import Piece
from enclosure.case import Case, moved, skin
from enclosure.measure import gaps, sight
from enclosure.measure.sight import Field, Layer

GLANCE = 45.0
"""From every side the lit field is seen whole at this angle, degrees."""
KEY_GAP = (0.2, 0.5)
"""Least and largest gap round a key, mm (common practice for printed keys)."""
PROUD = (1.5, 4.5)
"""Least and largest height of a key over the face, mm."""
FELT = 0.8
"""Two keys differ for a thumb by so much in height or breadth, mm."""
BETWEEN = 4.0
"""Between two keys, mm."""


def window(case: Case) -> Iterator[str]:
    """The whole lit field is seen from left, right, above and below at 45 degrees, through glass, air and pane."""
    at = f'display."{case.variant.display}"'
    (x, y, z), (w, h) = lit_field(case.parts, case.variant)
    glass, pane = case.piece("display glass").shape.bounding_box(), case.piece("pane").shape.bounding_box()
    layers = [
        Layer(case.parts.mm(f"{at}.deep"), case.parts.mm("pane.glass")),
        Layer(float(pane.min.Z - glass.max.Z), 1.0),
        Layer(float(pane.size.Z), case.parts.mm("pane.index")),
    ]
    field = Field((x - w / 2, y - h / 2, z), (w, 0.0, 0.0), (0.0, h, 0.0))
    for side, share in sight.hidden([skin(case.piece("lid")).caster], field, layers, GLANCE).items():
        if share > 0:
            yield f"from {side} {share:.1%} of the lit field is hidden"


def no_gap(case: Case) -> Iterator[str]:
    """Who looks straight in sees the display in the whole window, and nothing past it; the pane closes it."""
    glass = case.piece("display glass").shape.bounding_box()
    xs = np.arange(glass.min.X - 6, glass.max.X + 6, 0.2)
    ys = np.arange(glass.min.Y - 6, glass.max.Y + 6, 0.2)
    spots = np.stack([*(v.ravel() for v in np.meshgrid(xs, ys)), np.full(len(xs) * len(ys), 60.0)], axis=1)
    down = np.array([[0.0, 0.0, -1.0]])

    def met(*names: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.asarray(np.min([skin(case.piece(n)).caster.first(spots, down).distance for n in names], axis=0))

    through = ~np.isfinite(met("lid"))
    past = through & ~np.isfinite(met("display glass", "display module"))
    bare = through & ~np.isfinite(met("pane"))
    if past.any():
        yield f"{past.sum() * 0.04:.1f} mm2 of the window show the inside beside the display"
    if bare.any():
        yield f"{bare.sum() * 0.04:.1f} mm2 of the window are open, for the pane is too small"
    if not through.any():
        yield "there is no window"


def keys(case: Case) -> Iterator[str]:
    """Each key has its gap, its travel, is kept in by its flange, sits on its stem, and stands over the face."""
    lid, face = case.piece("lid"), float(skin(case.piece("lid")).high[2])
    travel = case.parts.mm("button.travel")
    for key in case.like("key-*"):
        near = gaps.least(skin(key), skin(lid), 2.0)
        size = 2.0 if near is None else near.size
        if not KEY_GAP[0] <= size <= KEY_GAP[1]:
            yield f"{key.name}: {size:.2f} mm from the lid; {KEY_GAP[0]} to {KEY_GAP[1]} is wanted"
        down = gaps.least(moved(key, z=-travel), skin(lid), 2.0)
        if down is not None and down.size < KEY_GAP[0]:
            yield f"{key.name} meets the lid when it is pressed"
        for way in ({"x": KEY_GAP[1]}, {"y": KEY_GAP[1]}):
            if gaps.least(moved(key, **way), skin(lid), 0.0) is None:
                yield f"{key.name} rattles: it can go {way} mm aside"
        if (loose := gaps.least(moved(key, z=1.2), skin(lid), 0.0)) is None or loose.size > 0:
            yield f"{key.name} can be pulled out of the lid"
        stem, body = _button(case, key)
        if (free := float(skin(key).low[2]) - body) < travel + 0.3:
            yield f"{key.name} is {free:.2f} mm over the button's body; it wants its travel and 0.3"
        if (on := stem - float(skin(key).low[2])) < 1.5:
            yield f"{key.name} holds on to {on:.2f} mm of its stem"
        if not PROUD[0] <= (over := float(skin(key).high[2]) - face) <= PROUD[1]:
            yield f"{key.name} stands {over:.1f} mm over the face"


def _button(case: Case, key: Piece) -> tuple[float, float]:
    """z of the stem's top and of the body's top of the button that a key is on, mm."""
    middle = key.shape.bounding_box().center()
    buttons = case.like("SW_PUSH*")
    button = min(buttons, key=lambda b: abs(float(b.shape.bounding_box().center().X) - float(middle.X)))
    tops = sorted(float(s.bounding_box().max.Z) for s in button.shape.solids())
    return tops[-1], tops[0]


def _felt(key: Piece) -> tuple[float, ...]:
    """What a thumb feels of a key: breadth, height, how much its middle is over its rim, which end is narrow."""
    own = skin(key)
    low, high = own.low, own.high
    x, y = (float(v) for v in (low[:2] + high[:2]) / 2)
    spots = np.array([[x, y, 60.0], [x + 4.5, y, 60.0], [x - 4.5, y, 60.0], [x, y + 4.5, 60.0], [x, y + 2.0, 60.0]])
    tops = 60.0 - own.caster.first(spots, np.array([[0.0, 0.0, -1.0]])).distance
    upper = own.mesh.points[own.mesh.points[:, 2] > high[2] - 2.0]
    size = np.ptp(upper[:, :2], axis=0)
    slant = float(np.ptp(upper[upper[:, 0] < x - 3][:, 1]) - np.ptp(upper[upper[:, 0] > x + 3][:, 1]))
    return float(size[0]), float(size[1]), float(tops[0] - tops[1]), float(tops[0] - tops[4]), slant


def told_apart(case: Case) -> Iterator[str]:
    """A thumb tells the keys apart in the dark, and does not press two."""
    found = sorted(case.like("key-*"), key=lambda k: float(skin(k).low[0]))
    for a, b in combinations(found, 2):
        if max(abs(u - v) for u, v in zip(_felt(a), _felt(b), strict=True)) < FELT:
            yield f"{a.name} and {b.name} feel alike"
    face = float(skin(case.piece("lid")).high[2])
    for a, b in pairwise(found):
        over = [skin(k).mesh.points[skin(k).mesh.points[:, 2] > face] for k in (a, b)]
        if (free := float(over[1][:, 0].min() - over[0][:, 0].max())) < BETWEEN:
            yield f"{a.name} and {b.name} are {free:.1f} mm apart"


def eyes(case: Case) -> Iterator[str]:
    """The box leans back with the desk: from wherever a player's eyes are, the whole lit field is seen."""
    lean = case.parts.pair("stand.desk")
    above, away = case.parts.pair("stand.eyes.above"), case.parts.pair("stand.eyes.away")
    face = _face_turned(case)
    for desk in lean:
        for up in above:
            for far in away:
                eye = degrees(atan2(up, far))
                if (aside := abs(eye - desk - face)) > GLANCE:
                    yield f"desk {desk:g} degrees, eyes {eye:.0f} above: {aside:.0f} degrees aside of the display"


def _face_turned(case: Case) -> float:
    """By how much the face looks further up than the back on which the box leans, degrees: from the solids."""
    lid, base = skin(case.piece("lid")), skin(case.piece("base"))
    spots = np.array([[12.0, y, 60.0] for y in (28.0, 68.0)])
    down = np.array([[0.0, 0.0, -1.0]])
    front = 60.0 - lid.caster.first(spots, down).distance
    up = np.array([[0.0, 0.0, 1.0]])
    back = -60.0 + base.caster.first(spots * (1, 1, -1), up).distance
    return degrees(atan2(float((back - back[0])[1] - (front - front[0])[1]), 40.0))
