"""Rules of the clip's forces: the spring's room, the hand's strength, and what holds the box on a tube."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from enclosure.case import Case
from enclosure.clip_forces import Forces, Hung, depth, on_tube
from enclosure.clip_view import clip_of

SAFE = 2.0
"""The clip holds so many times what it must (common practice)."""
HAND = (40.0, 70.0)
"""A thumb and a finger open the clip with so much force at most, N, over so much reach, mm (common practice)."""
WIDE_HAND = (20.0, 80.0)
"""And with so much over a wider one (common practice)."""
STAYS = 3.0
"""A tube stays in the notch without friction, and were the push on it turned by so much, degrees."""


def spring(case: Case) -> Iterator[str]:
    """From rest to stop the spring is neither slack nor squeezed too far, and a hand opens the clip."""
    clip = clip_of(case)
    free, least = case.parts.mm("spring.long"), case.parts.mm("spring.squeezed")
    if not isfinite(clip.stop) or not isfinite(clip.rest):
        yield "lever and saddle, or their pads, meet with a lip of middle thickness between them"
        return
    for name, turn in (("at rest", clip.rest), ("at its stop", clip.stop), *((h.name, h.turn) for h in clip.held)):
        if turn > clip.stop:
            yield f"{name}: the lever meets the saddle before it is so wide open"
            continue
        here = Forces(clip, turn)
        if here.long >= free or here.short < least:
            lies = f"{here.long:.1f} mm long, {here.short:.1f} on its short side"
            yield f"{name}: the spring is {lies}; {least:g} to {free:g} are wanted"
        for where, reach in (("under the box", here.reach), ("behind it", here.reach + depth(case))):
            if not any(here.hand <= force and reach <= far for force, far in (HAND, WIDE_HAND)):
                yield f"{name}, {where}: the hand must push {here.hand:.0f} N over {reach:.0f} mm"


def tubes(case: Case) -> Iterator[str]:
    """With the clip behind the box, each tube lies in the notch on both sides and stays there, and the box on it."""
    clip, hung = clip_of(case), Hung.of(case)
    for held in clip.tubes:
        if held.axis is None:
            yield f"{held.name} does not lie in the notch on both sides"
            continue
        on = on_tube(clip, held, held.axis, hung)
        if on.stays < STAYS:
            yield f"{held.name} is held in the notch by friction alone, or {on.stays:.0f} degrees from it"
        if on.slipping < SAFE:
            yield f"{held.name}: {on.push:.1f} N hold {on.slipping:.1f} times what slips; wanted {SAFE:g}"
        if on.tipping < SAFE:
            pads = f"{on.push:.1f} N on pads {on.broad:.0f} mm broad"
            yield f"{held.name}: {pads} hold {on.tipping:.1f} times what tips {on.out:.0f} mm away; wanted {SAFE:g}"
