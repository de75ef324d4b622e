"""A first evening with the box, by somebody who reads its glass and presses what is written there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from PIL.Image import Image

from airladder.practice.presses import Button
from board.driven import Board
from board.seen import partial_on, shows

LOOK = "sleep 0.7"  # longer than the glass is looked at apart

_ON_PAGES = {
    "opening": ("one moment",),
    "computer": ("report and log. Eject",),
    "level": ("bell", "stand"),
    "cautions": ("next",),
    "today": ("more", "set up", "days"),
    "more": ("free", "other", "level"),
    "waiting": ("leave", "go on"),
}
"""What stands on each page, and on none before it, in small letters; a practice has none of these."""

_ONWARD = dict.fromkeys(("computer", "cautions", "level", "waiting"), Button.OK)
"""What leads to today's plan; from a practice, and from all else, BACK does."""


def page_of(picture: Image) -> str:
    """The page's name; empty where it is none of these."""
    return next((name for name, texts in _ON_PAGES.items() if all(shows(picture, text) for text in texts)), "")


@dataclass
class Evening:
    """What was seen, in its order.

    Attributes
    ----------
    pages : by name
    partials : that stood large on the glass while the box only listened
    """

    board: Board
    pages: list[str] = field(default_factory=list)
    partials: list[int] = field(default_factory=list)

    def opening(self) -> None:
        """Wait for the first picture, then for the first page that wants a press."""
        self.board.see(lambda picture: page_of(picture) == "opening")
        self.pages.append("opening")
        self.board.see(lambda picture: page_of(picture) in _ONWARD)

    def to_today(self) -> None:
        """Go on, or back, until today's plan stands there."""
        while (page := self.look()) != "today":
            if page != "opening":
                self.board.press(_ONWARD.get(page, Button.BACK))

    def listens(self, wanted: Collection[int]) -> None:
        """Go to where it only listens, stay until all those partials were read, and come back."""
        self._press_on("today", Button.BACK)
        self._press_on("more", Button.DOWN)
        while not set(wanted) <= set(self.partials):
            self.board.see(lambda picture: partial_on(picture) not in {None, *self.partials[-1:]})
            partial = partial_on(self.board.picture)
            assert partial is not None
            self.partials.append(partial)
        self.to_today()

    def practises(self, tries: int) -> int:
        """Start today's plan, stay until so many tries are kept, and end it; how many were."""
        self._press_on("today", Button.OK)
        while (kept := self.kept()) < tries:
            self.look()
        self.pages.append("practice")
        self.to_today()
        return kept

    def kept(self) -> int:
        """How many tries are in the log."""
        _, said = self.board.tried("sqlite3 /var/lib/airladder/log.sqlite 'SELECT count(*) FROM attempt'")
        return int(said) if said.isdecimal() else 0

    def _press_on(self, page: str, button: Button) -> None:
        while self.look() == page:
            self.board.press(button)

    def look(self) -> str:
        """The page that is there now; empty in a practice."""
        self.board.run(LOOK)
        page = page_of(self.board.picture)
        if page and self.pages[-1:] != [page]:
            self.pages.append(page)
        return page
