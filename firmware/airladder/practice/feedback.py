"""How much is said after a try, so that the ear leads and the screen follows.

Less than everything may teach more: numbers only outside a band, or only after a few tries, helped people keep a
movement (Cruz et al. 2018; Aoyagi et al. 2019); other studies find little. Which partial sounded is always said.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Feedback:
    """When the cents of a try are shown.

    Attributes
    ----------
    band_cents : inside this band nothing is said of the cents
    every : they are told together after so many tries at the same thing
    """

    band_cents: float = 0.0
    every: int = 1

    def tells(self, cents: float, tries: int) -> bool:
        """Whether the cents are shown after try number `tries` (from 1) at one thing."""
        return abs(cents) >= self.band_cents and tries % self.every == 0

    @property
    def is_live(self) -> bool:
        """Whether the cents are shown while the note sounds."""
        return self.every == 1

    def tells_live(self, cents: float) -> bool:
        """Whether `cents` are shown while the note sounds."""
        return self.is_live and abs(cents) >= self.band_cents


AT_ONCE = Feedback()
"""Everything, after every try."""
