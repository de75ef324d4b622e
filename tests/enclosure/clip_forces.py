"""The forces of the stand's clip, by statics of its solids: spring, hand, and what holds the box on a tube.

All pushes on a round bar go through its axis, so that three of them without friction are in balance if the one of the
lower jaw lies between the other two. The spring's force is its rate times what it is squeezed by (ISO 26909). None of
it has been tried with a printed clip. `python -m enclosure.clip_forces` prints them for the heaviest box.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin
from typing import NamedTuple

import numpy as np
from build123d import Pos

from casing.variants import Variant
from enclosure.case import Case, case, skin
from enclosure.clip_view import BESIDE, Clip, Held, behind, clip_of
from enclosure.measure.turning import Place, arm, nearest, spare, turned
from enclosure.weights import CLIP, HOOK, balance

GRAVITY = 9.81
HEAVIEST = Variant("2.42", cell=True, carrier=False)
AWAY = 4.0
"""The hand pushes so far before the handle's end, mm."""


@dataclass(frozen=True)
class Forces:
    """Spring and hand with the lever turned so many degrees; N and mm."""

    clip: Clip
    turn: float

    @cached_property
    def _seat(self) -> Place:
        return self.clip.spring[1].turned(self.clip.axle, self.turn)

    @cached_property
    def long(self) -> float:
        """Length of the spring between the middles of its seats."""
        return self.clip.spring[0].to(self._seat)

    @cached_property
    def short(self) -> float:
        """Length of its side that is squeezed most."""
        top, bottom = self.clip.spring
        half = self.clip.case.parts.mm("spring.across") / 2
        return min(
            Place(top.z + k, top.y).to(Place(bottom.z + k, bottom.y).turned(self.clip.axle, self.turn))
            for k in (-half, half)
        )

    @cached_property
    def torque(self) -> float:
        """Of the spring about the axle, N mm."""
        parts, top = self.clip.case.parts, self.clip.spring[0]
        push = parts.mm("spring.rate") * (parts.mm("spring.long") - self.long)
        return push * arm(self.clip.axle, top, self._seat)

    @cached_property
    def _thumb(self) -> Place:
        """Where the hand pushes, on the handle's outer side."""
        lever = turned(self.clip.lever, self.clip.axle, self.turn)
        z = float(lever.high[2]) - AWAY
        far = lever.caster.first(np.array([[0.0, -90.0, z]]), np.array([[0.0, 1.0, 0.0]])).distance[0]
        return Place(z, float(far) - 90.0)

    @property
    def reach(self) -> float:
        """From the handle's outer side to the tongue's root."""
        return -self._thumb.y

    @property
    def hand(self) -> float:
        """What opens the clip further."""
        return self.torque / (self._thumb.z - self.clip.axle.z)


class OnTube(NamedTuple):
    """How a tube is held, and the box on it.

    Attributes
    ----------
    stays : degrees by which the push may turn until friction alone keeps the tube in the notch; minus: it does
    push : of the lower jaw, N
    broad : the pads' breadth along the tube, mm
    out : from the tube's axis to the middle of the box's mass, mm
    slipping, tipping : how many times what would make the box slip down and tip
    """

    stays: float
    push: float
    broad: float
    out: float
    slipping: float
    tipping: float


class Hung(NamedTuple):
    """What hangs on a tube with the clip behind the box, N, and where, in the frame of the tongue behind it.

    Attributes
    ----------
    box : without clip and hook: what tips, for the clip's own mass is by the tube
    whole : what slips
    middle : of the box's mass
    """

    box: float
    whole: float
    middle: Place

    @classmethod
    def of(cls, case: Case) -> Hung:
        """By the solids, and the masses of parts.toml."""
        box, whole = balance(case, *CLIP, *HOOK), balance(case, *HOOK)
        middle = (behind(case).inverse() * Pos(*box.centre)).position
        return cls(box.grams / 1000 * GRAVITY, whole.grams / 1000 * GRAVITY, Place(middle.Z, middle.Y))


def on_tube(clip: Clip, held: Held, axis: Place, hung: Hung) -> OnTube:
    """With the clip behind the box, by the pads' friction."""
    lower = turned(clip.lower, clip.axle, held.turn)
    left, right = nearest(clip.upper, axis, BESIDE, 90.0, 180.0)[1], nearest(clip.upper, axis, BESIDE, 0.0, 90.0)[1]
    (_, way) = nearest(lower, axis, BESIDE, 180.0, 360.0)
    along = Place(axis.z + cos(radians(way)), axis.y + sin(radians(way)))
    push = Forces(clip, held.turn).torque / arm(clip.axle, axis, along)
    broad = float(min(clip.upper.high[0], lower.high[0]) - max(clip.upper.low[0], lower.low[0]))
    out = axis.to(hung.middle)
    slipping = 2 * clip.case.parts.mm("pad.friction") * push / hung.whole
    return OnTube(spare(way - 180.0, left, right), push, broad, out, slipping, push * broad / (hung.box * out))


def depth(case: Case) -> float:
    """Of the box from face to back, mm: so much further the hand reaches with the clip behind it."""
    return float(skin(case.piece("lid")).high[2] - skin(case.piece("base")).low[2])


def table(case: Case) -> list[str]:
    """A line for each pose and thing: what is printed."""
    clip, hung = clip_of(case), Hung.of(case)
    lines = [f"{case.variant.name}: turn, spring (its short side), hand, reach under and behind the box"]
    poses = [("at rest", clip.rest), ("at its stop", clip.stop), *((h.name, h.turn) for h in clip.held)]
    for name, turn in poses:
        at = Forces(clip, turn)
        reach = f"{at.reach:.0f} and {at.reach + depth(case):.0f} mm"
        lines.append(f"{name:32} {turn:6.1f} deg {at.long:5.1f} ({at.short:.1f}) mm {at.hand:5.1f} N {reach}")
    for held in clip.tubes:
        if held.axis is not None:
            on = on_tube(clip, held, held.axis, hung)
            lines.append(
                f"{held.name:32} {on.push:5.1f} N, {on.stays:.1f} deg inside the notch;"
                f" times over: {on.slipping:.1f} slipping, {on.tipping:.1f} tipping"
            )
    return lines


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in table(case(HEAVIEST)))
