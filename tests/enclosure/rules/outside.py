"""Rules of what comes from outside: plugs, a finger, air, sound, the microphone's cable."""

from __future__ import annotations

from collections.abc import Iterator
from math import exp

import numpy as np
from build123d import Circle, FilletPolyline, Plane, Shape, Sphere, Vector, sweep
from numpy.typing import NDArray

from casing import channel
from casing.bought import JACK, KNOB_SWITCH, USB, jack_plug, usb_plug
from casing.figures import shell
from casing.hull import hull
from casing.mesh import mesh_of
from casing.piece import Piece
from enclosure.case import Case, shifted, skin, skins
from enclosure.measure import gaps
from enclosure.measure.reach import Finger, blocked

ROOM = 0.15
"""Free round a plug's grip, mm."""
KNOB = 0.8
"""The slide switch's knob stands out so far, mm, that the pad of a finger moves it."""
AIR = 100.0
"""Openings at the top and at the bottom, each, mm2: the house's own."""
DEEP = 6.0
"""What lets a ray in so far is an opening, mm: the wall, and the bevel before it."""
SLIT = 2.0
"""The widest slit, mm: nothing falls in that is thicker."""
SOUND = 0.3
"""So much of the capsule's face is open to the outside."""
HELD = 4.0
"""A tug at the cable comes to the plug so many times weaker."""


def plugs(case: Case) -> Iterator[str]:
    """Every plug goes in whole and comes out straight."""
    bodies = [(f"plug of {p.name}", mesh_of(jack_plug(case.parts, p.shape))) for p in case.like(f"{JACK}*")]
    printed = [(name, s) for name, s in skins(case.printed) if name in {"lid", "base"}]
    if len(bodies) != 4:
        yield f"{len(bodies)} jacks; four are wanted"
    yield from blocked(bodies, (-1.0, 0.0, 0.0), printed, ROOM)
    usb = case.like(f"{USB}*")
    yield from blocked([("USB plug", mesh_of(usb_plug(case.parts, usb[0].shape)))], (1.0, 0.0, 0.0), printed, ROOM)


def knob(case: Case) -> Iterator[str]:
    """A finger reaches the slide switch and moves it from end to end."""
    switch = case.like(f"{KNOB_SWITCH}*")[0]
    solids = sorted(switch.shape.solids(), key=lambda s: float(s.bounding_box().max.X))
    lever = Piece("the knob", solids[-1], printed=False)
    lies, middle = lever.shape.bounding_box(), float(switch.shape.bounding_box().center().Y)
    shells = [case.piece("lid"), case.piece("base")]
    outer = max(float(skin(p).high[0]) for p in shells)
    if (out := float(lies.max.X) - outer) < KNOB:
        yield f"the knob stands out by {out:.1f} mm; {KNOB} is wanted"
    start = (outer + 40.0, float(lies.center().Y), float(lies.center().Z))
    finger = Finger(case.parts.mm("finger.tip"), start, (-1.0, 0.0, 0.0))
    yield from finger.misses(("the knob", skin(lever)), skins(shells))
    reach = case.parts.mm("switch.travel") / 2
    for end in (-reach, reach):
        there = shifted(lever.shape, y=middle + end - float(lies.center().Y))
        for part in shells:
            if gaps.overlap(part.shape, there) > 0.01:
                yield f"{part.name} stops the knob {end:+.1f} mm from its middle"


def _rays(case: Case, origins: NDArray[np.float64], way: tuple[float, float, float]) -> NDArray[np.float64]:
    """How far each ray goes until it meets lid, base or shelf."""
    hard = [p for p in case.printed if p.name in {"lid", "base", "shelf"}]
    return np.asarray(np.min([skin(p).caster.first(origins, np.array([way])).distance for p in hard], axis=0))


def _openings(case: Case, top: bool) -> NDArray[np.bool_]:
    """Where a wall at top or bottom lets air through: a raster of 0.1 mm along x, 0.25 along z."""
    base = skin(case.piece("base"))
    y = float(base.high[1] if top else base.low[1])
    xs, zs = np.arange(20.0, 110.0, 0.1), np.arange(float(base.low[2]) + 1.0, 9.0, 0.25)
    x, z = np.meshgrid(xs, zs)
    outside = np.stack([x.ravel(), np.full(x.size, y + (5.0 if top else -5.0)), z.ravel()], axis=1)
    free = _rays(case, outside, (0.0, -1.0 if top else 1.0, 0.0)) > 5.0 + DEEP
    return free.reshape(x.shape)


def vents(case: Case) -> Iterator[str]:
    """Warm air leaves at the top, cool air comes in at the bottom, through slits that keep small things out."""
    for top, name in ((True, "top"), (False, "bottom")):
        free = _openings(case, top)
        if (area := float(free.sum()) * 0.025) < AIR:
            yield f"{area:.0f} mm2 are open at the {name}; {AIR:g} are wanted"
        edges = np.diff(np.pad(free.astype(np.int8), ((0, 0), (1, 1))), axis=1)
        starts, ends = np.argwhere(edges == 1), np.argwhere(edges == -1)
        if len(starts) and (wide := float((ends[:, 1] - starts[:, 1]).max()) * 0.1) > SLIT:
            yield f"an opening at the {name} is {wide:.1f} mm wide"


def sound(case: Case) -> Iterator[str]:
    """The capsule hears the room: nothing but slits before its face, and nothing behind which it could hide."""
    lies = case.piece("capsule").shape.bounding_box()
    radius = case.parts.pair("capsule.size")[0] / 2
    u, v = np.meshgrid(np.linspace(-1, 1, 61), np.linspace(-1, 1, 61))
    u, v = (w[u**2 + v**2 <= 1] * radius for w in (u, v))
    face = np.stack([lies.center().X + u, np.full(u.shape, float(lies.max.Y) + 0.01), lies.center().Z + v], axis=1)
    if (share := float((~np.isfinite(_rays(case, face, (0.0, 1.0, 0.0)))).mean())) < SOUND:
        yield f"{share:.0%} of the capsule's face is open; {SOUND:.0%} are wanted"


def cable(case: Case) -> Iterator[str]:
    """The channel in the back takes the microphone's cable and holds it by its bends.

    A tug grows weaker by exp(friction x angle): the belt formula of Euler and Eytelwein, any handbook of statics.
    """
    figures = shell()
    way = channel.corners(figures)
    walls = hull(figures, case.parts, case.variant.cell)
    thin, thick = case.parts.pair("cable.across")
    base = case.piece("base").shape
    lying = _laid(way, walls.back + thick / 2 + 0.3, thin / 2, case.parts.mm("cable.bend"))
    if (size := gaps.overlap(base, lying)) > 0.5:
        yield f"a cable of {thin:g} mm does not go into the channel: {size:.1f} mm3 are in its way"
    weaker = exp(case.parts.mm("cable.friction") * channel.turned(way))
    if weaker < HELD:
        yield f"the channel makes a tug {weaker:.1f} times weaker; {HELD:g} times are wanted"
    wall = thick - thin + 1.0
    for k, (x, y) in enumerate(way[1:-1], 1):
        before, after = way[k - 1], way[k + 1]
        inward = np.sign([before[0] + after[0] - 2 * x, before[1] + after[1] - 2 * y]) * wall
        post = Plane(origin=(x + inward[0], y + inward[1], walls.back + 1.0)).location * Sphere(0.8)
        if gaps.overlap(base, post) < 0.3:
            yield f"bend {k} of the channel has no post to hold the cable"


def _laid(way: list[tuple[float, float]], z: float, radius: float, bend: float) -> Shape:
    """A cable that lies along the way."""
    line = FilletPolyline(*[(x, y, z) for x, y in way], radius=bend)
    first, second = (Vector(x, y, z) for x, y in way[:2])
    return sweep(Plane(origin=first, z_dir=second - first) * Circle(radius), path=line)
