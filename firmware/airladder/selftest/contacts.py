"""Buttons and foot switch: each is pressed when its name stands on the screen and in the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from airladder.devices.clock import Clock
from airladder.panel.debounce import Edge
from airladder.practice.presses import ROW, Button
from airladder.selftest.bounce import Pressing, pressing
from airladder.selftest.hands import STEP_S, Hands
from airladder.selftest.header import where
from airladder.selftest.result import Result, failed, missing, not_there, taken_by_the_service, well
from airladder.selftest.stage import Stage

PATIENCE_S = 20.0
"""How long a press is waited for."""

STUCK_S = 8.0
"""A contact that is closed for so long is no hand any more: as in `panel.debounce`."""

QUIET_S = 0.3
"""A press has ended when nothing has moved for so long."""


class Pressed:
    """Asks for presses, one button after the other.

    Parameters
    ----------
    hands, stage, clock : who presses, who is told, and the time
    pins : BCM number of each button
    on_board : whether this computer is a box
    """

    def __init__(
        self, hands: Hands, stage: Stage, clock: Clock, pins: Mapping[Button, int], *, on_board: bool
    ) -> None:
        self._hands, self._stage, self._clock = hands, stage, clock
        self._pins, self._on_board = pins, on_board
        self._closed: set[Button] = set()
        """What has been closed all along, told once, of its own button."""

    def row(self) -> Result:
        """The four buttons."""
        if trouble := self._none():
            return trouble
        presses = [self._asked(button) for button in ROW]
        faults = [self._fault(one) for one in presses if one.complaint]
        figures = {one.wanted.value: _figures(one) for one in presses}
        if faults:
            return failed(" ".join(faults), **figures)
        worst = max(presses, key=lambda one: one.bounce_s)
        bounce = f"{1000.0 * worst.bounce_s:.1f} ms"
        return well(
            f"All four buttons came, each by itself; {worst.wanted.name} bounces longest, {bounce}.", **figures
        )

    def foot(self) -> Result:
        """The foot switch, which a box may do without."""
        if trouble := self._none():
            return trouble
        one = self._asked(Button.FOOT)
        if not one.came and not one.others:
            place = where(self._pins[Button.FOOT])
            return not_there(f"No foot switch came; where one is plugged in, look at its socket's wire to {place}.")
        if one.complaint:
            return failed(self._fault(one), **_figures(one))
        return well(f"The foot switch came; it bounces {1000.0 * one.bounce_s:.1f} ms.", **_figures(one))

    def _none(self) -> Result | None:
        self._hands.open()
        if self._hands.trouble is None:
            self._heed(self._hands.edges())
            return None
        return missing(taken_by_the_service(self._hands.trouble), on_board=self._on_board)

    def _asked(self, button: Button) -> Pressing:
        """What came; whoever pressed another button by mistake gets a second chance."""
        if button in self._closed:
            return pressing(button, [Edge(button, True, self._clock.monotonic())])
        name = "the foot switch" if button is Button.FOOT else button.name
        self._stage.ask(f"Press {button.name}", f"Press {name} once, and let go.")
        one = pressing(button, self._edges())
        if not one.came and one.others:
            came = " and ".join(other.name for other in one.others)
            self._stage.ask(f"Press {button.name}", f"That was {came}. Press {name} once, and let go.")
            one = pressing(button, self._edges())
        return one

    def _edges(self) -> list[Edge]:
        """All edges from now until a press is over, or nobody has pressed in time."""
        edges: list[Edge] = []
        before = frozenset(self._closed)
        begun = moved = self._clock.monotonic()
        while True:
            now = self._clock.monotonic()
            came = self._hands.edges()
            self._heed(came)
            if fresh := [edge for edge in came if edge.button not in before]:
                edges += fresh
                moved = now
            if now - begun >= (PATIENCE_S + STUCK_S if edges else PATIENCE_S):  # one that floats is never quiet
                return edges
            if edges and now - moved >= (STUCK_S if self._closed - before else QUIET_S):
                return edges
            self._clock.sleep(STEP_S)

    def _heed(self, edges: Sequence[Edge]) -> None:
        for edge in edges:
            (self._closed.add if edge.down else self._closed.discard)(edge.button)

    def _fault(self, one: Pressing) -> str:
        pin = where(self._pins[one.wanted])
        if one.came or one.others:
            return f"{one.wanted.name} ({pin}) {one.complaint}."
        return (
            f"{one.wanted.name} {one.complaint} within {PATIENCE_S:.0f} s: look at the switch and its wires to {pin}"
            " and to ground."
        )


def _figures(one: Pressing) -> dict[str, object]:
    came = {"others": [other.value for other in one.others]} if one.others else {}
    return {"edges": one.edges, "bounce_ms": round(1000.0 * one.bounce_s, 2), "closings": one.closings, **came}
