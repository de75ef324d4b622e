"""Rules of what holds the box up: its balance on the clip, and the grooves of clip and belt hook."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi

from build123d import Pos

from enclosure.case import Case, shifted, skin
from enclosure.clip_view import clip_of, home
from enclosure.measure import gaps
from enclosure.weights import HOOK, balance

BEHIND = 1.0
"""The mass centre lies so far behind the throat at least, mm."""
TILT = (0.0, 12.0)
"""Under the box the clip leans the face back by so much, degrees."""


def tips(case: Case) -> Iterator[str]:
    """On a lip the mass of box and clip lies behind the throat: it leans onto the desk, and nothing tips."""
    centre, clip = balance(case, *HOOK).centre, clip_of(case)
    edge = (home(case) * Pos(0, 0, clip.throat)).position.Z
    if (behind := edge - centre[2]) < BEHIND:
        yield f"the mass centre is {behind:.1f} mm behind the throat; {BEHIND:g} mm are wanted"
    if centre[2] < float(case.piece("pad-upper").shape.bounding_box().min.Z):
        yield "the mass centre is beyond the jaw's end"
    if not TILT[0] <= (tilt := clip.slope * 180 / pi) <= TILT[1]:
        yield f"the clip leans the face back by {tilt:.1f} degrees; {TILT[0]:g} to {TILT[1]:g} are wanted"
    # Behind the box on a tube: it never hangs out over the feet of a light stand, which stand on a circle.
    depth = float(skin(case.piece("lid")).high[2]) - float(skin(case.piece("base")).low[2])
    out = depth + max(case.parts.pair("stand.tube")) + 20.0
    if out > case.parts.mm("stand.feet") * cos(pi / 3):
        yield f"on a tube the box stands out {out:.0f} mm, over the feet of a light stand"


def grooves(case: Case) -> Iterator[str]:
    """Each tongue slides into its groove, sits with little play, cannot fall out, and a ridge catches it."""
    base = case.piece("base")
    out = {"clip-saddle": (0.0, 0.0, -1.0), "belt-hook": (1.0, 0.0, 0.0)}
    pull = {"clip-saddle": (0.0, -1.0, 0.0), "belt-hook": (0.0, 0.0, -1.0)}
    for name, way in out.items():
        piece = case.piece(name)
        if (size := gaps.overlap(piece.shape, base.shape)) > 0.5:
            yield f"{name} does not fit into its groove: {size:.1f} mm3"
        if gaps.overlap(shifted(piece.shape, *(1.2 * v for v in pull[name])), base.shape) < 5.0:
            yield f"nothing holds {name} in its groove"
        if gaps.overlap(shifted(piece.shape, *(1.5 * v for v in way)), base.shape) < 0.2:
            yield f"no ridge catches {name}"
        for far in (4.0, 9.0, 16.0):
            if (size := gaps.overlap(shifted(piece.shape, *(far * v for v in way)), base.shape)) > 6.0:
                yield f"{name} meets the base by {size:.1f} mm3 when it is drawn out by {far:g} mm"
        if gaps.overlap(shifted(piece.shape, *(-1.5 * v for v in way)), base.shape) < 1.0:
            yield f"nothing stops {name} at the end of its groove"
