"""Which boxes there are: a display, with or without a cell, with the carrier board or with modules and wires."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product


@dataclass(frozen=True)
class Variant:
    """One box.

    Attributes
    ----------
    display : its name in parts.toml, the diagonal in inches
    cell : whether a lithium cell is inside; without it the box is flatter
    carrier : whether it holds the carrier board; else a printed tray holds modules in the same places
    """

    display: str = "1.3"
    cell: bool = True
    carrier: bool = True

    @property
    def name(self) -> str:
        """As in file names: "1.3-cell-carrier"."""
        return f"{self.display}-{'cell' if self.cell else 'plain'}-{'carrier' if self.carrier else 'modules'}"


DISPLAYS = ("0.96", "1.3", "2.42")

VARIANTS = tuple(Variant(*which) for which in product(DISPLAYS, (True, False), (True, False)))
"""All of them."""
