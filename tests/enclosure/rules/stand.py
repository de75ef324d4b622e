"""Rules of what holds the box up: the clip at lips and tubes, its forces, the balance, the grooves, the belt hook."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin

import numpy as np
from build123d import Cylinder, Location, Pos, Rot, Shape

from casing import figures
from casing.clip import spring_span
from casing.grooves import bottom_place
from casing.hull import Span, block, hull
from casing.mesh import Mesh
from enclosure.case import Case, shifted, skin
from enclosure.measure import gaps, mass
from enclosure.measure.kinds import words
from enclosure.measure.mass import Load
from enclosure.measure.skin import Skin

GRAVITY = 9.81
SAFE = 2.0
"""The clip holds so many times what it must (common practice)."""
HAND = (40.0, 70.0)
"""A thumb and a finger open the clip with so much force at most, N, over so much reach, mm (common practice)."""
SOFT = 0.8
"""So far plastic stays away from what the pads hold, mm."""
BEHIND = 1.0
"""The mass centre lies so far behind the throat at least, mm."""
TILT = (0.0, 12.0)
"""Under the box the clip leans the face back by so much, degrees."""


def balance(case: Case) -> mass.Balance:
    """What the box weighs, without clip and hook, and its centre."""
    density = case.parts.mm("material.density")
    grams = case.parts.names("grams")
    loads = [Load.dense(p.shape, density) for p in case.printed if not p.name.startswith(("clip", "belt"))]
    for piece in case.bought:
        name = piece.name.replace(" ", "_")
        key = next((k for k in grams if k != "source" and name.startswith(k)), None)
        if piece.name == "cell":
            loads.append(Load(piece.shape, case.parts.mm("cell.grams")))
        elif piece.name == "display module":
            loads.append(Load(piece.shape, case.parts.mm(f'display."{case.variant.display}".grams')))
        elif key is not None and not name.startswith(("clip", "pad")):
            loads.append(Load(piece.shape, case.parts.mm(f"grams.{key}")))
    return mass.centre(loads)


def _home(case: Case) -> Location:
    """From the tongue's frame to the box, under it."""
    return bottom_place(figures.shell(), hull(figures.shell(), case.parts, case.variant.cell))


def _own(case: Case, name: str) -> Shape:
    """A piece of the clip in the tongue's frame."""
    return _home(case).inverse() * case.piece(name).shape


def _pad_slope(case: Case) -> float:
    """How the upper pad's face falls towards the player, rad: from the solid."""
    own = Skin.of(_own(case, "pad-upper"))
    spots = np.array([[0.0, -60.0, z] for z in (-25.0, -19.0)])
    y = -60.0 + own.caster.first(spots, np.array([[0.0, 1.0, 0.0]])).distance
    return float(np.arctan2(y[0] - y[1], 6.0))


def _lip(case: Case, thick: float) -> Shape:
    """A flat lip of a stand against the upper pad, its edge a little before the throat's pad."""
    own, slope = Skin.of(_own(case, "pad-upper")), _pad_slope(case)
    y = -60.0 + float(own.caster.first(np.array([[0.0, -60.0, -25.0]]), np.array([[0.0, 1.0, 0.0]])).distance[0])
    plate = figures.clip().mm("throat.z") - case.parts.mm("pad.thick") - 1.0 + 25.0
    flat = block(Span(-30.0, 30.0), Span(-thick, 0.0), Span(-20.0, plate / cos(slope)))
    return Pos(0, y - 0.02, -25.0) * Rot(slope * 180 / pi, 0, 0) * flat


def _down(own: Skin, y: float) -> Skin:
    """The same, lower or higher, mm."""
    return Skin(Mesh(own.mesh.points + np.array([0.0, y, 0.0]), own.mesh.triangles))


def _tube(case: Case, across: float) -> Shape:
    """A tube along x, pushed into the upper jaw's notch until it touches the pad."""
    z = float(figures.clip().mm("vee.z"))
    upper, rod = Skin.of(_own(case, "pad-upper")), Pos(0, 0, z) * Rot(0, 90, 0) * Cylinder(across / 2, 60)
    own, low, high = Skin.of(rod), -60.0, 0.0
    for _ in range(14):
        y = (low + high) / 2
        near = gaps.least(_down(own, y), upper, 0.0)
        low, high = (low, y) if near is not None else (y, high)
    return Pos(0, low, 0) * rod


def _turned(own: Skin, degrees: float) -> Skin:
    """Triangles turned about the clip's axle as casing.clip turns the lever; plus is open."""
    z, y = figures.clip().pair("axle.at")
    angle, middle = -degrees * pi / 180, np.array([0.0, y, z])
    turn = np.array([[1, 0, 0], [0, cos(angle), -sin(angle)], [0, sin(angle), cos(angle)]])
    return Skin(Mesh((own.mesh.points - middle) @ turn.T + middle, own.mesh.triangles))


def _closed_on(case: Case, thing: Shape) -> float:
    """By how much the lever is turned when its pad touches the thing, degrees; infinite if it never opens so wide."""
    rigid, pad = Skin.of(thing), Skin.of(_own(case, "pad-lower"))
    low, high = -40.0, 60.0
    if gaps.least(_turned(pad, high), rigid, 0.0) is not None:
        return float("inf")
    for _ in range(12):
        middle = (low + high) / 2
        near = gaps.least(_turned(pad, middle), rigid, 0.0)
        low, high = (middle, high) if near is not None else (low, middle)
    return high


def _held(case: Case) -> Iterator[tuple[str, Shape, float, float]]:
    """What the clip must hold: its name, the thing, the lever's angle, its size."""
    for thick in np.geomspace(*case.parts.pair("stand.lip_thick"), 4):
        lip = _lip(case, float(thick))
        yield f"a lip of {thick:.1f} mm", lip, _closed_on(case, lip), float(thick)
    for across in np.linspace(*case.parts.pair("stand.tube"), 4):
        tube = _tube(case, float(across))
        yield f"a tube of {across:.1f} mm", tube, _closed_on(case, tube), float(across)


def grip(case: Case) -> Iterator[str]:
    """Lips and tubes are held by pads alone, the spring neither slack nor squeezed too far, hand and force enough."""
    free, least = case.parts.mm("spring.long"), case.parts.mm("spring.squeezed")
    rate, friction = case.parts.mm("spring.rate"), case.parts.mm("pad.friction")
    weight = balance(case).grams / 1000 * GRAVITY
    az, _ = figures.clip().pair("axle.at")
    arm = figures.clip().mm("spring.z") - az
    lever, saddle = Skin.of(_own(case, "clip-lever")), Skin.of(_own(case, "clip-saddle"))
    tip = float(lever.high[2]) - 4.0 - az
    for name, thing, angle, _ in _held(case):
        if not np.isfinite(angle):
            yield f"the clip does not open wide enough for {name}"
            continue
        span = spring_span(figures.clip(), angle)
        if not least <= span < free:
            yield f"{name}: the spring is {span:.1f} mm long; it wants {least:g} to {free:g}"
        here, rigid = _turned(lever, angle), Skin.of(thing)
        for part, other in (("lever", here), ("saddle", saddle)):
            if (near := gaps.least(other, rigid, SOFT)) is not None and near.size < SOFT:
                yield f"{name} comes within {near.size:.2f} mm of the {part}'s plastic, at {words(near.at)}"
        if gaps.least(here, saddle, 0.0) is not None and angle > 0:
            yield f"{name}: lever and saddle meet"
        force = rate * (free - span)
        if name.startswith("a tube"):
            jaw = force * arm / (az - figures.clip().mm("vee.z"))
            if 2 * friction * jaw < SAFE * weight:
                yield f"{name}: {jaw:.1f} N hold {weight:.1f} N with friction {friction:g}: not {SAFE:g} times enough"
        if (push := force * arm / tip) > HAND[0]:
            yield f"{name}: the handle wants {push:.0f} N"
    reach = float(saddle.high[1]) - float(lever.low[1])
    if reach > HAND[1]:
        yield f"the hand must reach over {reach:.0f} mm"


def tips(case: Case) -> Iterator[str]:
    """On a lip the box's mass lies behind the throat, over the lip: it leans onto the desk and tips nothing."""
    centre = balance(case).centre
    edge = (_home(case) * Pos(0, 0, figures.clip().mm("throat.z") - case.parts.mm("pad.thick"))).position.Z
    pad = case.piece("pad-upper").shape.bounding_box()
    if abs(float(pad.max.Z) - (edge + case.parts.mm("pad.thick"))) > 0.1:
        yield "the throat is not where the clip has its pad"
    if (behind := float(pad.max.Z) - case.parts.mm("pad.thick") - centre[2]) < BEHIND:
        yield f"the mass centre is {behind:.1f} mm behind the throat; {BEHIND:g} mm are wanted"
    jaw_end = float(pad.min.Z)
    if centre[2] < jaw_end:
        yield "the mass centre is beyond the jaw's end"
    if not TILT[0] <= (tilt := _pad_slope(case) * 180 / pi) <= TILT[1]:
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


def belt(case: Case) -> Iterator[str]:
    """A belt goes behind the hook and stays; the plate is strained less than its material bears.

    eps = 3 t y / (2 l^2), the root of a straight cantilever: Covestro, Snap-Fit Joints for Plastics.
    """
    hook = case.piece("belt-hook")
    back = float(skin(case.piece("base")).low[2])
    lies = hook.shape.bounding_box()
    x = float(lies.center().X)
    ys = np.arange(float(lies.min.Y) + 0.25, float(lies.max.Y), 0.5)
    spots = np.stack([np.full(len(ys), x), ys, np.full(len(ys), back + 0.01)], axis=1)
    room = skin(hook).caster.first(spots, np.array([[0.0, 0.0, -1.0]])).distance
    thick, wide = case.parts.mm("belt.thick"), case.parts.mm("belt.wide")
    if (free := float((room[np.isfinite(room)] >= thick).sum()) * 0.5) < wide - 5.0:
        yield f"behind the hook {free:.0f} mm are free for a belt of {wide:g} mm"
    mouth = float(room[np.isfinite(room)][:12].min())
    if mouth > thick - 0.3:
        yield f"a belt slips off: the hook's mouth is {mouth:.1f} mm, the belt {thick:g}"
    plate = float(-lies.min.Z + back - max(room[np.isfinite(room) & (room < 20)]))
    long = free
    strain = 1.5 * plate * max(thick - mouth, 0.0) / long**2 if long > 0 else float("inf")
    if strain > case.parts.mm("material.strain"):
        yield f"the hook is strained by {strain:.1%}"
