"""The coupon tries what it should: each fit is there, as wide as is wanted, and its pieces go together and hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from build123d import Box, GeomType, Pos, Shape

from casing.coupon import coupon_pieces
from casing.figures import Figures, parts, shell
from casing.piece import Piece
from enclosure.case import shifted, skin
from enclosure.chosen import chosen
from enclosure.measure import gaps, overhang, solids, wall
from enclosure.measure.skin import Skin

Set = dict[str, Piece]
Rule = Callable[[Set], Iterator[str]]
Change = Callable[[Set], Set]
NEAR = 0.05
MOST = 4000.0
"""All three together, mm3: what a slow printer makes in less than half an hour."""


def made(own: Figures, bought: Figures) -> Set:
    return {p.name.removeprefix("coupon-"): p for p in coupon_pieces(own, bought)}


@cache
def right() -> Set:
    return made(shell(), parts())


def runs(piece: Piece, y: float, z: float) -> list[tuple[bool, float, float]]:
    """Along x: plastic or air, for how long, and from where; mm. The air outside is left out."""
    lies, step = skin(piece), 0.01
    x = np.arange(lies.low[0] - 1, lies.high[0] + 1, step)
    solid = lies.caster.holds(np.column_stack([x, np.full(len(x), y), np.full(len(x), z)]))
    ends = np.flatnonzero(np.diff(solid.astype(int)))
    return [(bool(solid[a + 1]), float((b - a) * step), float(x[a])) for a, b in pairwise(ends)]


def whole(coupon: Set) -> Iterator[str]:
    for piece in coupon.values():
        yield from solids.whole(piece.shape)


def printable(coupon: Set) -> Iterator[str]:
    for piece in coupon.values():
        mesh = Skin.of(piece.on_the_bed()).mesh
        yield from wall.thin(mesh, parts().mm("rule.wall"))
        yield from overhang.unsupported(mesh, parts().mm("printer.overhang"), 12.0)


def little(coupon: Set) -> Iterator[str]:
    if (volume := sum(float(p.shape.volume) for p in coupon.values())) > MOST:
        yield f"{volume:.0f} mm3 take too long"


def round_holes(coupon: Set) -> Iterator[str]:
    """A pilot hole in a post, and a hole that the screw goes through."""
    for name, wanted in (("lid", parts().mm("screw.pilot")), ("loose", parts().mm("board.hole"))):
        found = {2 * f.radius for f in coupon[name].shape.faces().filter_by(GeomType.CYLINDER)}
        if not any(abs(across - wanted) < NEAR for across in found):
            yield f"{name} has no hole of {wanted:g} mm"


def slits(coupon: Set) -> Iterator[str]:
    """A slot and a wall as thin as the rule has them; a channel for the cable."""
    base = coupon["base"]
    low, least = skin(base).low, parts().mm("rule.wall")
    line = runs(base, low[1] + 1.0, low[2] + 3.0)
    if [abs(long - least) < NEAR for _, long, _ in line[:4]] != [True] * 4:
        yield f"no slots and walls of {least:g} mm stand in a row"
    behind = runs(base, skin(base).high[1] - 3.0, low[2] + 2.0)
    thick = parts().pair("cable.across")[1]
    if not any(not solid and thick - 0.4 < long < thick for solid, long, _ in behind):
        yield f"no channel squeezes a cable of {thick:g} mm a little"


def snap(coupon: Set) -> Iterator[str]:
    """Lid and base stand as in the closed box: the hook lies in the window, and a pull finds it."""
    one, other = coupon["lid"].shape, coupon["base"].shape
    if gaps.overlap(one, other) > 0.01:
        yield "the hook does not fit in the window"
    if gaps.overlap(shifted(one, z=0.8), other) < 0.5:
        yield "the hook does not hold the window"


def key(coupon: Set) -> Iterator[str]:
    """The stub stands in its hole, with play to all sides but not much, and its flange stops it."""
    one, other = coupon["loose"].shape, coupon["lid"].shape
    if gaps.overlap(one, other) > 0.01:
        yield "the key does not go through its hole"
    for way in ((0.15, 0.0), (-0.15, 0.0), (0.0, 0.15), (0.0, -0.15)):
        if gaps.overlap(shifted(one, *way), other) > 0.01:
            yield f"the key has no play along {way}"
        if gaps.overlap(shifted(one, *(4 * v for v in way)), other) < 0.01:
            yield f"the key rattles along {way}"
    if gaps.overlap(shifted(one, z=0.9), other) < 1.0:
        yield "the flange does not stop the key"


def groove(coupon: Set) -> Iterator[str]:
    """The tongue's end goes into the groove with play, its head behind the neck, and a ridge drops into its dent."""
    base, loose = skin(coupon["base"]), skin(coupon["loose"])
    head = loose.mesh.points[loose.mesh.points[:, 1] > loose.high[1] - 1e-3]
    y, z = base.low[1] + 2.5, base.low[2] + 0.5
    air = [(long, start) for solid, long, start in runs(coupon["base"], y, z) if not solid]
    if not air:
        yield "there is no groove"
        return
    middle = max(air)[1] + max(air)[0] / 2
    up = base.caster.first(np.array([[middle, base.low[1] - 1, z]]), np.array([0.0, 1.0, 0.0]))
    floor = base.low[1] - 1 + float(up.distance[0])
    tongue = shifted(
        coupon["loose"].shape,
        middle - float(head[:, 0].min() + head[:, 0].max()) / 2,
        floor - 0.3 - loose.high[1],
        base.low[2] - loose.low[2],
    )
    if gaps.overlap(tongue, coupon["base"].shape) > 0.01:
        yield "the tongue does not go into the groove"
    for way in ((0.6, 0.0, 0.0), (-0.6, 0.0, 0.0), (0.0, -0.7, 0.0), (0.0, 0.0, 1.2)):
        if gaps.overlap(shifted(tongue, *way), coupon["base"].shape) < 0.02:
            yield f"nothing holds the tongue along {way}"


def rail(coupon: Set) -> Iterator[str]:
    """The shelf's edge lies in the rail, cannot rise out of it, and slides along it."""
    base, loose = skin(coupon["base"]), skin(coupon["loose"])
    y = base.high[1] - 2.4  # the groove's sample stands at the other end
    column = base.mesh.points[base.mesh.points[:, 1] > base.high[1] - 1e-3]
    inner, _, top = (float(v) for v in column.max(axis=0))
    into = base.caster.first(np.array([[inner + 1, y, top - 1.4]]), np.array([-1.0, 0.0, 0.0]))
    x = inner + 1.2 - float(into.distance[0]) - loose.low[0]
    along = loose.mesh.points[loose.mesh.points[:, 0] < loose.low[0] + 1e-3][:, 1]
    edge = shifted(coupon["loose"].shape, x, y - float(np.ptp(along)) / 2 - along.min(), top - 1.65 - loose.low[2])
    for way, wanted in (((0.0, 0.0, 0.0), False), ((0.0, 3.0, 0.0), False), ((0.0, 0.0, 0.8), True)):
        if (gaps.overlap(shifted(edge, *way), coupon["base"].shape) > 0.02) != wanted:
            yield f"the shelf's edge {'is free' if wanted else 'jams'} in its rail along {way}"


RULES: dict[str, Rule] = {
    "whole": whole,
    "printable": printable,
    "little": little,
    "round holes": round_holes,
    "slits": slits,
    "snap": snap,
    "key": key,
    "groove": groove,
    "rail": rail,
}


def figure(path: str, value: object) -> Change:
    return lambda _: made(shell().but(path, value), parts())


def solid(name: str, change: Callable[[Shape], Shape]) -> Change:
    return lambda old: old | {name: replace(old[name], shape=change(old[name].shape))}


FAULTS: dict[str, tuple[str, Change]] = {
    "a crumb floats": ("whole", solid("lid", lambda s: s + Pos(26, 30, 5) * Box(1, 1, 1))),
    "the post is thin": ("printable", figure("posts.across", 4.0)),
    "the arms grow out squarely": ("printable", solid("base", lambda s: s + Pos(27, 2, 0) * Box(8, 6, 2))),
    "all is on a thick sheet": ("little", solid("base", lambda s: s + Pos(40, 0, -15) * Box(50, 20, 2))),
    "the pilot is wide": ("round holes", lambda _: made(shell(), parts().but("screw.pilot", 2.5))),
    "the slits are wide": ("slits", figure("microphone.slit", [2.0, 7.0])),
    "the channel is loose": ("slits", figure("cable.wide", 3.6)),
    "the hook is short": ("snap", figure("snap.catch", 0.1)),
    "the key jams": ("key", figure("keys.gap", 0.0)),
    "the key rattles": ("key", figure("keys.gap", 0.9)),
    "the flange is missing": ("key", figure("keys.flange", 0.1)),
    "the groove is tight": ("groove", figure("tongue.fit", -0.05)),
    "the groove is straight": ("groove", figure("tongue.lean", 0.2)),
    "the rail has no lip": ("rail", solid("base", lambda s: s - Pos(60, 6, -9.5) * Box(40, 20, 2.6))),
}
"""A story: the rule that finds it, and what is done to a coupon that is right."""


@pytest.mark.parametrize("name", RULES)
def test_the_coupon_keeps_the_rule(name: str) -> None:
    assert list(RULES[name](right())) == []


@pytest.mark.parametrize("story", chosen(FAULTS))
def test_the_fault_is_found_by_its_rule(story: str) -> None:
    name, change = FAULTS[story]
    assert next(RULES[name](change(right())), None), f"{name} does not see that {story}"


def test_every_rule_has_a_fault_that_it_finds() -> None:
    assert {name for name, _ in FAULTS.values()} == set(RULES)
