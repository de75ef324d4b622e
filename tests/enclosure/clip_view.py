"""The stand's clip under examination: its solids in the frame of its tongue, where it turns, and what it is to hold.

All of it is taken from the solids and from what is bought, nothing from what we chose.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import degrees, inf, tan

import numpy as np
from build123d import Cylinder, Location, Pos, Rot, Shape

from casing import figures
from casing.grooves import back_place, bottom_place
from casing.hull import Span, block, hull
from enclosure.case import Case
from enclosure.measure.skin import Skin
from enclosure.measure.turning import Place, free_from, seat, turned

BESIDE = 5.0
"""x where the jaws are looked at, mm: the throat's pad is on the other side."""
CLEAR = 0.02
"""Lips and tubes are thinner by so much, so that what they lie on does not already meet them, mm."""


@dataclass(frozen=True)
class Held:
    """A thing between the jaws.

    Attributes
    ----------
    name : for sentences
    skin : its triangles
    turn : the lever's turn from the pose in which it is built, degrees; plus is open, infinite if it never is enough
    axis : of a tube that lies in the notch on both sides
    """

    name: str
    skin: Skin
    turn: float
    axis: Place | None = None


def home(case: Case) -> Location:
    """From the tongue's frame to the box, under it."""
    return bottom_place(figures.shell(), hull(figures.shell(), case.parts, case.variant.cell))


def behind(case: Case) -> Location:
    """From the tongue's frame to the box, behind it."""
    return back_place(figures.shell(), hull(figures.shell(), case.parts, case.variant.cell))


@dataclass(frozen=True)
class Clip:
    """Saddle, lever and pads, the lever as it is built."""

    case: Case

    def _own(self, name: str) -> Shape:
        return home(self.case).inverse() * self.case.piece(name).shape

    @cached_property
    def saddle(self) -> Skin:
        """The upper jaw."""
        return Skin.of(self._own("clip-saddle"))

    @cached_property
    def lever(self) -> Skin:
        """The lower jaw with the handle."""
        return Skin.of(self._own("clip-lever"))

    @cached_property
    def upper(self) -> Skin:
        """The upper jaw's pad, and the throat's."""
        return Skin.of(self._own("pad-upper"))

    @cached_property
    def lower(self) -> Skin:
        """The lower jaw's pad."""
        return Skin.of(self._own("pad-lower"))

    @cached_property
    def axle(self) -> Place:
        """Where the lever turns."""
        middle = self._own("clip-axle").bounding_box().center()
        return Place(float(middle.Z), float(middle.Y))

    @cached_property
    def spring(self) -> tuple[Place, Place]:
        """The middles of the spring's ends in saddle and lever; it is built upright."""
        lies = self._own("clip-spring").bounding_box()
        z = float(lies.center().Z)
        return Place(z, float(lies.max.Y)), Place(z, float(lies.min.Y))

    @cached_property
    def stop(self) -> float:
        """The turn at which the opened lever meets the saddle, degrees."""
        return free_from(self.lever, self.saddle, self.axle, meets=80.0, free=0.0)

    @cached_property
    def rest(self) -> float:
        """The turn at which the pads meet when nothing is between them, degrees."""
        return free_from(self.lower, self.upper, self.axle, meets=-40.0, free=0.0)

    @cached_property
    def slope(self) -> float:
        """How the upper pad's face falls towards the player, rad."""
        behind, before = self._face(-25.0), self._face(-19.0)
        return float(np.arctan2(behind - before, 6.0))

    @cached_property
    def throat(self) -> float:
        """z of the throat's pad: no lip goes in further."""
        ray = np.array([[-6.0, -15.0, -60.0]])
        return -60.0 + float(self.upper.caster.first(ray, np.array([[0.0, 0.0, 1.0]])).distance[0])

    def _face(self, z: float) -> float:
        ray = np.array([[0.0, -60.0, z]])
        return -60.0 + float(self.upper.caster.first(ray, np.array([[0.0, 1.0, 0.0]])).distance[0])

    def open(self, turn: float) -> tuple[Skin, Skin]:
        """The lever and its pad, turned."""
        return turned(self.lever, self.axle, turn), turned(self.lower, self.axle, turn)

    def _lip(self, thick: float, deep: float) -> Held:
        """A flat lip of a stand against the upper pad, its edge a little before the throat's pad."""
        edge = self.throat - 1.0
        flat = block(Span(-30.0, 30.0), Span(-thick, 0.0), Span(-deep, 0.0))
        place = Pos(0, self._face(-25.0) - (edge + 25.0) * tan(self.slope) - CLEAR, edge)
        skin = Skin.of(place * Rot(degrees(self.slope), 0, 0) * flat)
        name = f"a lip of {thick:.1f} mm, {deep:g} deep"
        return Held(name, skin, free_from(self.lower, skin, self.axle, meets=-40.0, free=60.0))

    def _tube(self, across: float) -> Held:
        """A tube along x that lies in the upper jaw's notch on both sides; where it cannot, its turn is infinite."""
        name, rod = f"a tube of {across:.1f} mm", Rot(0, 90, 0) * Cylinder(across / 2 - CLEAR, 60)
        axis = seat(self.upper, Place(self._notch(), self._face(-25.0) - across), across / 2, BESIDE)
        if axis is None:
            return Held(name, Skin.of(rod), inf)
        skin = Skin.of(Pos(0, axis.y, axis.z) * rod)
        turn = free_from(self.lower, skin, self.axle, meets=-40.0, free=60.0)
        return Held(name, skin, turn, axis)

    def _notch(self) -> float:
        """z of the notch's deepest line."""
        zs = np.arange(-24.0, self.throat - 0.5, 0.05)
        spots = np.stack([np.zeros(len(zs)), np.full(len(zs), -60.0), zs], axis=1)
        return float(zs[self.upper.caster.first(spots, np.array([[0.0, 1.0, 0.0]])).distance.argmax()])

    @cached_property
    def lips(self) -> tuple[Held, ...]:
        """The lips that it must hold."""
        thick, deep = self.case.parts.pair("stand.lip_thick"), self.case.parts.mm("stand.lip_deep")
        return (*(self._lip(float(each), 2 * deep) for each in np.geomspace(*thick, 4)), self._lip(thick[0], deep))

    @cached_property
    def tubes(self) -> tuple[Held, ...]:
        """The tubes that it must hold."""
        return tuple(self._tube(float(across)) for across in np.linspace(*self.case.parts.pair("stand.tube"), 5))

    @property
    def held(self) -> tuple[Held, ...]:
        """All that it must hold."""
        return (*self.lips, *self.tubes)


@lru_cache(maxsize=2)
def clip_of(case: Case) -> Clip:
    """The clip of a box; several rules look at the same one, one after the other."""
    return Clip(case)
