"""The rule of the belt hook."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from enclosure.case import Case, skin

STEP = 0.25
"""Between the places that are looked at, mm."""
MOUTH = 6.0
"""The hook's mouth is in so much of its lower end, mm."""


def belt(case: Case) -> Iterator[str]:
    """A belt goes behind the hook and stays; the plate is strained less than its material bears.

    eps = 3 t y / (2 l^2), the root of a straight cantilever: Covestro, Snap-Fit Joints for Plastics.
    """
    hook = case.piece("belt-hook")
    back = float(skin(case.piece("base")).low[2])
    lies = hook.shape.bounding_box()
    ys = np.arange(float(lies.min.Y) + STEP / 2, float(lies.max.Y), STEP)
    spots = np.stack([np.full(len(ys), float(lies.center().X)), ys, np.full(len(ys), back - 0.01)], axis=1)
    beyond = skin(hook).caster.first(spots, np.array([[0.0, 0.0, -1.0]])).distance
    room = np.where(skin(hook).caster.holds(spots), 0.0, beyond)[: int(np.isfinite(beyond).sum())]
    thick, wide = case.parts.mm("belt.thick"), case.parts.mm("belt.wide")
    runs = [run for run in np.split(room, np.flatnonzero(np.diff(room >= thick)) + 1) if run[0] >= thick]
    if not runs:
        yield f"nowhere behind the hook is room for a belt of {thick:g} mm"
        return
    belly = max(runs, key=len)
    if (free := len(belly) * STEP) < wide:
        yield f"behind the hook {free:.0f} mm are free for a belt of {wide:g} mm"
    mouth = float(room[: round(MOUTH / STEP)].min())
    if mouth > thick - 0.3:
        yield f"a belt slips off: the hook's mouth is {mouth:.1f} mm, the belt {thick:g}"
    plate = back - float(lies.min.Z) - float(np.median(belly))
    strain = 1.5 * plate * max(thick - mouth, 0.0) / free**2
    if strain > case.parts.mm("material.strain"):
        yield f"the hook is strained by {strain:.1%}"
