"""What the edges of one asked-for press say about the contact.

A contact chatters when it closes and when it opens: a burst of edges each. The debouncer takes a level for real that
has stood for 20 ms (`panel.debounce`), so edges that are closer than this are one burst. A sound tact switch is quiet
within 5 to 10 ms (common practice); five times as much is a bad joint or a bad switch.

Conventions
-----------
Times in seconds on any one clock; edges come in the order of their times. Pure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airladder.panel.debounce import Edge
from airladder.practice.presses import Button

SETTLE_S = 0.02
LONGEST_S = 0.05
"""A contact that chatters for longer is to be looked at."""


@dataclass(frozen=True)
class Pressing:
    """What came while one button was asked for.

    Attributes
    ----------
    wanted : the button that was asked for
    edges : how many of its edges came
    bounce_s : until its contact was quiet, the longer of closing and opening, s
    closings : how often it closed for real; 1 when all is well
    stuck : whether it was closed at the end
    others : the buttons that closed besides, or in its place
    """

    wanted: Button
    edges: int
    bounce_s: float
    closings: int
    stuck: bool
    others: tuple[Button, ...]

    @property
    def came(self) -> bool:
        """Whether the wanted contact closed at all."""
        return self.closings > 0

    @property
    def complaint(self) -> str:
        """What is wrong, to follow the button's name in a sentence; empty when all is well."""
        if not self.came and self.others:
            return f"did not come, {_names(self.others)} came in its place: their wires are crossed"
        if not self.came:
            return "did not come"
        if self.closings > 1:
            return f"closed {self.closings} times in one press: a bad joint, a worn switch, or no pull-up"
        if self.stuck:
            return "stays closed: a bridge of solder to ground, or a jammed cap"
        if self.others:
            return f"came together with {_names(self.others)}: their wires touch"
        if self.bounce_s > LONGEST_S:
            return (
                f"chattered for {1000.0 * self.bounce_s:.0f} ms, {1000.0 * LONGEST_S:.0f} ms are allowed: a bad"
                " joint, or a worn switch"
            )
        return ""


def pressing(wanted: Button, edges: Sequence[Edge]) -> Pressing:
    """What these edges, of all buttons, say of the wanted one."""
    own = [edge for edge in edges if edge.button is wanted]
    bursts = _bursts(own)
    levels = [burst[-1].down for burst in bursts]
    closings = sum(down and not before for before, down in zip([False, *levels], levels, strict=False))
    others = {edge.button: None for edge in edges if edge.button is not wanted and edge.down}
    return Pressing(
        wanted=wanted,
        edges=len(own),
        bounce_s=max((burst[-1].t - burst[0].t for burst in bursts), default=0.0),
        closings=closings,
        stuck=bool(levels) and levels[-1],
        others=tuple(others),
    )


def _bursts(edges: Sequence[Edge]) -> list[list[Edge]]:
    bursts: list[list[Edge]] = []
    for edge in edges:
        if bursts and edge.t - bursts[-1][-1].t < SETTLE_S:
            bursts[-1].append(edge)
        else:
            bursts.append([edge])
    return bursts


def _names(buttons: Sequence[Button]) -> str:
    return " and ".join(button.name for button in buttons)
