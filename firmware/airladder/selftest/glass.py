"""The screen: it answers, and a person sees patterns whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from airladder.devices.clock import Clock
from airladder.devices.oled import OTHER_ADDRESS
from airladder.faults import Fault
from airladder.panel.canvas import Canvas
from airladder.practice.presses import Button
from airladder.selftest import pictures
from airladder.selftest.addresses import Bus
from airladder.selftest.hands import Hands
from airladder.selftest.header import where
from airladder.selftest.result import Result, failed, missing, well
from airladder.selftest.stage import Stage

PATIENCE_S = 30.0
"""How long an answer is waited for."""

READ_S = 3.0
"""How long the question stands before a pattern that has no room for words."""

OTHER_MODEL = {"ssd1306": "sh1106", "sh1106": "ssd1306"}


@dataclass(frozen=True)
class Pattern:
    """A picture, what is asked about it, and what it means when it is not seen whole."""

    name: str
    draw: Callable[[], Canvas]
    question: str
    otherwise: str


def patterns(model: str) -> tuple[Pattern, ...]:
    """The pictures in their order, for a screen that is driven as `model`."""
    cut = (
        "A frame that is cut or moved by two columns means the other controller: set"
        f' screen = "{OTHER_MODEL[model]}" in the settings file. Any other gap is the glass or its foil.'
    )
    return (
        Pattern("frame", pictures.frame, "a line along all four sides, nothing missing", cut),
        Pattern(
            "checker",
            pictures.checker,
            "squares of one size, the one at the top left lit",
            "Torn or doubled squares mean a controller of another kind, or a bus that is disturbed: shorter wires.",
        ),
        Pattern(
            "all on",
            pictures.all_on,
            "every point lit",
            "Dark lines or spots are broken glass or a broken foil: the screen is to be changed.",
        ),
        Pattern(
            "all off",
            pictures.all_off,
            "everything dark",
            "Points that stay lit mean that the memory of the screen is not filled: another kind, or a disturbed"
            " bus.",
        ),
    )


class Screen:
    """Asks the bus, and then the person.

    Parameters
    ----------
    bus, address, lines : where it should answer; its pins, SDA and SCL, as BCM numbers
    model : as what it is driven
    hands : who answers; None when there is no person
    stage, clock : who is told (and shows the patterns), and the time
    on_board : whether this computer is a box
    """

    def __init__(
        self,
        bus: Bus,
        address: int,
        lines: tuple[int, int],
        model: str,
        hands: Hands | None,
        stage: Stage,
        clock: Clock,
        *,
        on_board: bool,
    ) -> None:
        self._bus, self._address, self._lines, self._model = bus, address, lines, model
        self._hands, self._stage, self._clock, self._on_board = hands, stage, clock, on_board

    def check(self) -> Result:
        """The whole of it."""
        try:
            return self._checked()
        except Fault as fault:  # no bus
            return missing(str(fault), on_board=self._on_board)

    def _checked(self) -> Result:
        places = (self._address, OTHER_ADDRESS.get(self._address, self._address))
        address = next((place for place in places if self._bus.known(place).there), None)
        if address is None:
            return self._silent()
        figures = {"address": f"{address:#04x}", "driven_as": self._model}
        for pattern in patterns(self._model):
            if fault := self._shown(pattern):
                return failed(fault, **figures, pattern=pattern.name)
        if not self._bus.known(address).there:
            return failed(
                f"The screen at {address:#04x} stopped answering while it was written to: a loose wire, or a weak"
                " supply.",
                **figures,
            )
        seen = "and was seen whole" if self._hands else "but whether it is seen whole takes a person"
        return well(f"The screen answers at {address:#04x}, {seen}.", **figures)

    def _silent(self) -> Result:
        sda, scl = (where(pin) for pin in self._lines)
        return missing(
            f"No screen answers at {self._address:#04x}: look at its supply (3.3 V), SDA ({sda}) and SCL ({scl}).",
            on_board=self._on_board,
        )

    def _shown(self, pattern: Pattern) -> str:
        """What is wrong with it; empty when it is well, or nobody is asked."""
        if self._hands is None:
            self._stage.show(pattern.draw())
            return ""
        self._stage.ask(
            pattern.name, f"Wanted: {pattern.question}. OK when you see it whole, BACK (keys f, a) when not."
        )
        self._clock.sleep(READ_S)
        self._stage.show(pattern.draw())
        answer = self._hands.answer(PATIENCE_S)
        if answer is Button.OK:
            return ""
        if answer is Button.BACK:
            return f"The pattern '{pattern.name}' is not seen whole. {pattern.otherwise}"
        return f"Nobody answered within {PATIENCE_S:.0f} s whether the pattern '{pattern.name}' is seen whole."
