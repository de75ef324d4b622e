"""Rules of the clip's forces, by statics of the solids: spring, hand, and what keeps a tube in the notch.

All pushes on a round bar go through its axis, so that three of them without friction are in balance if the one of the
lower jaw lies between the other two. The spring's force is its rate times what it is squeezed by (ISO 26909). None of
it has been tried with a printed clip.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, hypot, isfinite, radians, sin

import numpy as np
from build123d import Pos

from enclosure.case import Case, skin
from enclosure.clip_view import BESIDE, Clip, Held, behind
from enclosure.measure.kinds import Triple
from enclosure.measure.turning import Place, arm, nearest, spare, turned
from enclosure.rules.stand import CLIP, GRAVITY, HOOK, balance

SAFE = 2.0
"""The clip holds so many times what it must (common practice)."""
HAND = (40.0, 70.0)
"""A thumb and a finger open the clip with so much force at most, N, over so much reach, mm (common practice)."""
WIDE_HAND = (20.0, 80.0)
"""And with so much over a wider one (common practice)."""
STAYS = 3.0
"""A tube stays in the notch without friction, and were the push on it turned by so much, degrees."""
AWAY = 4.0
"""The hand pushes so far before the handle's end, mm."""


class Forces:
    """Spring, jaw and hand with the lever turned so, N and mm."""

    def __init__(self, clip: Clip, degrees: float) -> None:
        parts = clip.case.parts
        top, bottom = clip.spring
        seat = bottom.turned(clip.axle, degrees)
        self.long = top.to(seat)
        half = parts.mm("spring.across") / 2
        self.short = min(
            Place(top.z + k, top.y).to(Place(bottom.z + k, bottom.y).turned(clip.axle, degrees))
            for k in (-half, half)
        )
        self.torque = parts.mm("spring.rate") * (parts.mm("spring.long") - self.long) * arm(clip.axle, top, seat)
        lever = clip.lever if degrees == 0 else turned(clip.lever, clip.axle, degrees)
        z = float(lever.high[2]) - AWAY
        thumb = lever.caster.first(np.array([[0.0, -90.0, z]]), np.array([[0.0, 1.0, 0.0]])).distance[0]
        self.reach = 90.0 - float(thumb)
        self.hand = self.torque / (z - clip.axle.z)


def spring(case: Case) -> Iterator[str]:
    """From rest to stop the spring is neither slack nor squeezed too far, and a hand opens the clip."""
    clip = Clip(case)
    free, least = case.parts.mm("spring.long"), case.parts.mm("spring.squeezed")
    deep = float(skin(case.piece("lid")).high[2] - skin(case.piece("base")).low[2])
    if not isfinite(clip.stop) or not isfinite(clip.rest):
        yield "lever and saddle, or their pads, meet with a lip of middle thickness between them"
        return
    for name, turn in (("at rest", clip.rest), ("at its stop", clip.stop), *((h.name, h.turn) for h in clip.held())):
        if turn > clip.stop:
            yield f"{name}: the lever meets the saddle before it is so wide open"
            continue
        here = Forces(clip, turn)
        if here.long >= free or here.short < least:
            lies = f"{here.long:.1f} mm long, {here.short:.1f} on its short side"
            yield f"{name}: the spring is {lies}; {least:g} to {free:g} are wanted"
        for where, reach in (("under the box", here.reach), ("behind it", here.reach + deep)):
            if not any(here.hand <= force and reach <= far for force, far in (HAND, WIDE_HAND)):
                yield f"{name}, {where}: the hand must push {here.hand:.0f} N over {reach:.0f} mm"


def _tube(clip: Clip, held: Held, middle: Triple, weight: float, all_of_it: float) -> Iterator[str]:
    """What a tube does in the notch, and the box on the tube.

    Parameters
    ----------
    middle : of the box's mass, in the frame of the tongue behind it
    weight, all_of_it : of the box, and with its clip, N: the clip's own mass is by the tube and tips nothing
    """
    if (axis := held.axis) is None:
        yield f"{held.name} does not lie in the notch on both sides"
        return
    parts, lower = clip.case.parts, turned(clip.lower, clip.axle, held.turn)
    left, right = nearest(clip.upper, axis, BESIDE, 90.0, 180.0)[1], nearest(clip.upper, axis, BESIDE, 0.0, 90.0)[1]
    (_, way) = nearest(lower, axis, BESIDE, 180.0, 360.0)
    if (stays := spare(way - 180.0, left, right)) < STAYS:
        yield f"{held.name} is held in the notch by friction alone, or {stays:.0f} degrees from it"
    along = Place(axis.z + cos(radians(way)), axis.y + sin(radians(way)))
    push = Forces(clip, held.turn).torque / arm(clip.axle, axis, along)
    if 2 * (rubs := parts.mm("pad.friction")) * push < SAFE * all_of_it:
        yield f"{held.name}: {push:.1f} N and friction {rubs:g} do not hold {all_of_it:.1f} N {SAFE:g} times over"
    broad = float(min(clip.upper.high[0], lower.high[0]) - max(clip.upper.low[0], lower.low[0]))
    out = hypot(middle[1] - axis.y, middle[2] - axis.z)
    if push * broad < SAFE * weight * out:
        presses = f"{push:.1f} N on pads {broad:.0f} mm broad"
        yield f"{held.name}: {presses} do not keep {weight:.1f} N, {out:.0f} mm away, from tipping"


def tubes(case: Case) -> Iterator[str]:
    """With the clip behind the box, each tube lies in the notch on both sides and stays there, and the box on it."""
    clip, box = Clip(case), balance(case, *CLIP, *HOOK)
    weight, all_of_it = (grams / 1000 * GRAVITY for grams in (box.grams, balance(case, *HOOK).grams))
    middle = (behind(case).inverse() * Pos(*box.centre)).position
    for held in clip.tubes():
        yield from _tube(clip, held, (middle.X, middle.Y, middle.Z), weight, all_of_it)
