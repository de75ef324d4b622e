"""Deliberate faults, each with the rule that must find it: wrong figures of shell.toml, broken solids.

No rule reads the figure that is changed here, so what is found is found in the solids.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from build123d import Box, Cylinder, Pos, Rot, Shape

from enclosure.case import Case, built, shifted

Fault = tuple[str, Callable[[Case], Case]]
Solid = Callable[[Shape], Shape]


def figure(path: str, value: object) -> Callable[[Case], Case]:
    """A figure of shell.toml that is wrong."""
    return lambda case: built(case, path, value)


def bought(path: str, value: object) -> Callable[[Case], Case]:
    """A figure of parts.toml that is another: what the rules hold the solids against."""
    return lambda case: replace(case, parts=case.parts.but(path, value))


def solid(name: str, change: Solid) -> Callable[[Case], Case]:
    """A piece that is broken."""
    return lambda case: case.changed(name, change)


def moved(name: str, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Callable[[Case], Case]:
    """A piece that stands wrong, mm."""
    return solid(name, lambda shape: shifted(shape, x, y, z))


def cut(name: str, where: Shape) -> Callable[[Case], Case]:
    """A piece with a hole too many."""
    return solid(name, lambda shape: shape - where)


def filled(name: str, where: Shape) -> Callable[[Case], Case]:
    """A piece with plastic where none should be."""
    return solid(name, lambda shape: shape + where)


MIDDLE = Pos(56, 40, 0)
UNDER = Pos(56, -4.6, -4.7)
AT = UNDER * Pos(0, -8, -26)
JAW = UNDER * Pos(0, -23, -11)

FAULTS: dict[str, Fault] = {
    # ---------------------------------------------------------------- form
    "a crumb floats beside the lid": ("whole", filled("lid", Pos(56, 30, 0) * Box(2, 2, 2))),
    "the base has a bubble in a tower": ("whole", cut("base", Pos(110.5, 80.2, -15) * Box(0.8, 0.8, 0.8))),
    "the marks on the face are too deep": ("walls", figure("ribs.mark", [1.2, 1.0])),
    "the face is 1.5 mm": ("walls", figure("walls.face", 1.5)),
    "the back is 1.2 mm": ("walls", figure("walls.back", 1.2)),
    "the wall at the top is 1 mm": ("walls", figure("walls.top", 1.0)),
    "the channel's floor is thin": ("walls", figure("cable.floor", 0.8)),
    "a post of the board is thin": ("walls", figure("posts.across", 4.0)),
    "the groove's floor is thin": ("walls", figure("tongue.floor", 0.9)),
    "the face has no ribs to speak of": ("panels", figure("ribs.lid", 0.8)),
    "the back is soft": ("panels", figure("walls.back", 1.1)),
    "the left wall is 6 mm": ("bed", figure("walls.left", 6.0)),
    "a hook is square underneath": ("hangs", filled("base", Pos(27, -3.1, 3.4) * Box(8, 1.8, 1.2))),
    "a shelf sticks out inside the lid": ("hangs", filled("lid", Pos(56, 79, 0) * Box(20, 5, 2))),
    # ---------------------------------------------------------------- inside
    "a rib comes near to the computer": ("room", filled("base", Pos(60, 60, -19.6) * Box(2, 2, 18.8))),
    "the lid is low over the display": ("room", figure("room.face", 7.4)),
    "the base of the flat kind is low": ("room", figure("bay.top", -15.8)),
    "the cradle is too near to the gauge": ("room", figure("microphone.wall", 2.2)),
    "a rib of the lid meets the board": ("board room", filled("lid", Pos(56, 20, 5) * Box(2, 2, 7.5))),
    "the left wall is too near to the jacks": ("board room", figure("room.left", 0.3)),
    "the pane is too thick for its place": ("overlaps", moved("pane", z=0.4)),
    "the towers are too high": ("overlaps", figure("towers.top", 0.3)),
    "the cell lies in the wrong corner": ("overlaps", moved("cell", x=5.0)),
    "base and lid meet too late": ("overlaps", moved("base", z=0.5)),
    "the lid's posts stand 3 mm aside": ("holds", moved("lid", x=3.0)),
    "a post has no hole": ("holds", filled("lid", Pos(108, 4, 5) * Cylinder(2, 6))),
    "a post is missing": ("holds", cut("lid", Pos(4, 74, 4.4) * Box(7, 7, 8.5))),
    "a post is too wide for the board": ("holds", figure("posts.across", 8.0)),
    "there is no room for the cell to swell": ("cell", figure("bay.top", -17.4)),
    "the fence is too tight": ("cell", filled("base", Pos(21.4, 22, -23) * Box(0.8, 30, 8))),
    "the cell lies on the bare back": ("cell", figure("bay.foam", 0.1)),
    "a screw points at the cell": ("cell", moved("screw-0", x=40.0, y=10.0)),
    "the shelf is too narrow": ("shelf", cut("shelf", Pos(20.0, 22, -17) * Box(6, 60, 6))),
    "the rails have no lip": ("shelf", cut("base", Pos(52, 22, -16.0) * Box(70, 60, 3.0))),
    "no ridge stops the shelf": ("shelf", cut("base", Pos(52, 43, -16.8) * Box(66, 3.4, 1.98))),
    "the shelf cannot be drawn out": ("shelf", filled("base", Pos(52, 50, -20) * Box(20, 2, 18))),
    # ---------------------------------------------------------------- joints
    "the screws are too short": ("screws", moved("screw-1", z=-1.0)),
    "the posts' holes are shallow": ("screws", figure("posts.deep", 3.0)),
    "the posts' holes go through the face": ("screws", figure("posts.deep", 12.0)),
    "a closing screw rubs in its tower": ("screws", moved("screw-0", x=0.8)),
    "a closing screw sits too deep": ("screws", figure("towers.head", -8.0)),
    "an arm is missing": ("snaps", cut("base", Pos(85, 79.5, 1.5) * Box(10, 6, 8))),
    "the arms are thick and short": ("snaps", figure("snap.root", -3.0)),
    "the hooks are too long": ("snaps", figure("snap.catch", 1.6)),
    "the hooks are too short": ("snaps", figure("snap.catch", 0.2)),
    "an arm stands near the board": ("snaps", filled("base", Pos(85, -0.6, 0.8) * Box(8, 0.4, 1.6))),
    "a window of the lid is missing": ("snaps", filled("lid", Pos(27, -3.6, 3.0) * Box(12, 1.9, 5))),
    "a key is bigger than its hole": (
        "assembly",
        filled("key-up", Pos(66, 10, 12.5) * Cylinder(7.5, 1)),
    ),
    "a nose of the base lies in the lid's wall": ("assembly", filled("base", Pos(56, -2.0, 9) * Box(20, 2, 2))),
    "the jacks' holes are closed below": ("assembly", filled("lid", Pos(-2.2, 36.5, -2.0) * Box(1.6, 12, 1.2))),
    "the base grips over the board": ("assembly", filled("base", Pos(111.5, 36, 2.6) * Box(4, 8, 1.0))),
    "the fence leans over the cell": ("assembly", filled("base", Pos(52, 40.5, -18.4) * Box(40, 3, 1))),
    # ---------------------------------------------------------------- outside
    "the sinks for plugs are narrow": ("plugs", figure("jacks.sink", -1.0)),
    "the wall before the jacks is thick": ("plugs", figure("jacks.floor", 3.0)),
    "a jack is missing": ("plugs", lambda box: box.without(box.like("Jack*")[0].name)),
    "the USB hole is narrow": ("plugs", figure("usb.fit", -0.8)),
    "the switch's slot is short": ("knob", filled("base", Pos(113.6, 18.5, -2.5) * Box(1.9, 2.0, 3.0))),
    "the right wall is thick": ("knob", figure("walls.right", 4.0)),
    "two vents are closed": ("vents", figure("vents.bottom", [91.0, 95.0, 99.0])),
    "the vents let a coin in": ("vents", figure("vents.slit", 2.6)),
    "no vents at the top": ("vents", figure("vents.top", [])),
    "the capsule's slits are closed": ("sound", filled("base", Pos(5.25, 81.5, -9) * Box(12, 1.9, 12))),
    "the capsule sits beside its slits": ("sound", moved("capsule", x=9.0)),
    "the channel is too narrow": ("cable", figure("cable.wide", 1.6)),
    "the channel is cut straight": ("cable", cut("base", Pos(2, 32, -29) * Box(16, 24, 3.0))),
    "the cable is slippery": ("cable", bought("cable.friction", 0.1)),
    "the channel is blocked": ("cable", filled("base", Pos(5, 32, -28) * Box(2, 6, 5))),
    # ---------------------------------------------------------------- the player
    "the window is too small": ("window", figure("window.spare", -0.6)),
    "the window is for another display": ("window", moved("lid", y=2.0)),
    "the window has no bevel": ("window", filled("lid", Pos(55.9, 52.3, 10.4) * (Box(60, 40, 1) - Box(34, 19.3, 2)))),
    "the window shows the inside": ("no gap", figure("window.spare", 4.0)),
    "there is no window": ("no gap", filled("lid", Pos(56, 52, 9.5) * Box(44, 40, 2))),
    "the pane is too small": ("no gap", solid("pane", lambda s: s & Pos(56, 52, 8) * Box(20, 40, 10))),
    "the keys jam": ("keys", figure("keys.gap", 0.1)),
    "the keys rattle": ("keys", figure("keys.gap", 0.9)),
    "the keys fall out": ("keys", figure("keys.flange", 0.2)),
    "the keys sink in": ("keys", figure("keys.above", 0.4)),
    "the keys rest on the buttons' bodies": ("keys", figure("keys.under_lid", 1.9)),
    "a key holds on to little of its stem": ("keys", moved("key-ok", z=3.5)),
    "a key misses its hole": ("keys", moved("key-ok", x=1.0)),
    "up feels like down": ("told apart", lambda box: box.changed("key-up", lambda _: _copy(box, "key-down", 20))),
    "the keys are too big": ("told apart", figure("keys.size", 16.5)),
    "the lid looks at the floor": ("eyes", solid("lid", lambda s: MIDDLE * Rot(25, 0, 0) * MIDDLE.inverse() * s)),
    # ---------------------------------------------------------------- the stand; the tongue's frame is at UNDER
    "a screw's head stands out of the upper jaw": (
        "grip",
        filled("clip-saddle", UNDER * Pos(0, -9, -2) * Cylinder(2, 4)),
    ),
    "the handle is thick and meets the shelf": (
        "grip",
        filled("clip-lever", UNDER * Pos(5, -20, 36) * Box(8, 14, 8)),
    ),
    "the lower jaw's pad hangs under it": ("grip", moved("pad-lower", y=-1.8)),
    "the halves rub on each other": ("grip", filled("clip-lever", UNDER * Pos(0.1, -24, 13) * Box(0.5, 3, 3))),
    "the lower pad goes on into the throat": ("grip", filled("pad-lower", UNDER * Pos(0, -20, 3.5) * Box(24, 3, 4))),
    "the handle has no stop": ("spring", cut("clip-saddle", UNDER * Pos(0, -8, 33.4) * Box(30, 3.9, 4))),
    "the pads meet before the lip": ("spring", moved("pad-lower", y=14.0)),
    "a rib on the handle meets the shelf early": (
        "spring",
        filled("clip-lever", UNDER * Pos(0, -19, 32) * Box(20, 10, 2)),
    ),
    "the handle is short": ("spring", cut("clip-lever", UNDER * Pos(0, -26, 39) * Box(30, 20, 16))),
    "the handle is far away": ("spring", filled("clip-lever", UNDER * Pos(0, -34, 36) * Box(20, 14, 12))),
    "the spring is near the axle": ("tubes", moved("clip-spring", z=-10.0)),
    "the lower jaw looks out of the notch": (
        "tubes",
        solid("pad-lower", lambda s: JAW * Rot(16, 0, 0) * JAW.inverse() * s),
    ),
    "the pad goes straight over the notch": (
        "tubes",
        filled("pad-upper", UNDER * Pos(0, -8.4, -11) * Rot(8, 0, 0) * Box(24, 4, 14)),
    ),
    "the pads are narrow": ("tubes", solid("pad-lower", lambda s: s & UNDER * Pos(0, -20, -10) * Box(14, 40, 60))),
    "the cell lies at the front": ("tips", moved("cell", z=60.0)),
    "the cell hangs far behind": ("tips", moved("cell", z=-200.0)),
    "the stand has short feet": ("tips", bought("stand.feet", 150.0)),
    "the throat is far back": ("tips", moved("pad-upper", z=-9.0)),
    "the clip leans the face forward": ("tips", solid("pad-upper", lambda s: AT * Rot(-14, 0, 0) * AT.inverse() * s)),
    "the tongue is too wide": ("grooves", filled("clip-saddle", UNDER * Pos(0, 2.5, -7) * Box(21.4, 1, 14))),
    "the tongue is straight": ("grooves", cut("clip-saddle", UNDER * (Box(40, 8, 40) - Box(13.6, 9, 41)))),
    "the groove in the bottom has no ridge": ("grooves", cut("base", UNDER * Pos(0, 2.6, -11) * Box(16, 1.3, 5))),
    "the groove in the back is open at its end": ("grooves", cut("base", Pos(40, 58, -28.6) * Box(30, 20, 4))),
    "no belt goes behind the hook": ("belt", filled("belt-hook", Pos(56, 30, -32) * Box(14, 80, 3))),
    "the hook is short": ("belt", cut("belt-hook", Pos(56, 18, -36) * Box(30, 40, 20))),
    "the hook's root takes 4 mm of the belt": ("belt", filled("belt-hook", Pos(56, 47, -30) * Box(14, 6, 6))),
    "the hook is stiff, and its lip high": (
        "belt",
        filled("belt-hook", Pos(56, 26, -40) * Box(14, 50, 6) + Pos(56, 6, -34) * Box(14, 3, 6)),
    ),
    "the hook has no lip": ("belt", cut("belt-hook", Pos(56, 15, -33.2) * Box(30, 40, 5.1))),
}
"""A story: the rule that finds it, and what is done to a right box. Of each rule the quickest stands first."""


def _copy(case: Case, name: str, x: float) -> Shape:
    return shifted(case.piece(name).shape, x)
