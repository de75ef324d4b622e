"""One thing with a place: a part that is printed, or one that is bought and goes into the box.

**The frame.** All solids stand in the frame of the carrier board, as in hardware/made/airladder.step, in millimetres:
x to the player's right, y up, z towards the player. The board's back is at z = 0, its lower left corner at x = y = 0.
Only `flat` turns a part into the way it lies on the printer.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from build123d import Location, Shape

METAL, RUBBER = (0.72, 0.70, 0.62), (0.10, 0.10, 0.10)
"""Colours of what is bought."""
HOLDER = (0.20, 0.25, 0.29)
"""Colour of clip and belt hook."""


@dataclass(frozen=True)
class Piece:
    """A solid with its name.

    Attributes
    ----------
    name : "lid", "key-up", or of a bought part what hardware's STEP calls it, with a number where there are more
    shape : where it stands in the closed box, mm
    printed : whether a printer makes it; all else is bought
    colour : red, green, blue from 0 to 1
    apart : by how much it stands off in the exploded drawing, mm along x, y, z
    flat : what turns it into the way it lies on the printer: bed at z = 0, nothing wanted under it
    """

    name: str
    shape: Shape
    printed: bool = True
    colour: tuple[float, float, float] = (0.8, 0.8, 0.8)
    apart: tuple[float, float, float] = (0.0, 0.0, 0.0)
    flat: Location = field(default_factory=Location)

    def on_the_bed(self) -> Shape:
        """The part as it is printed: turned, in the first quadrant, its lowest face at z = 0."""
        turned = self.flat * self.shape
        low = turned.bounding_box().min
        return Location((-low.X, -low.Y, -low.Z)) * turned
