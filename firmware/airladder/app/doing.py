"""Carries out what the box wants done; nothing of it makes the main thread wait."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from airladder import __version__
from airladder.app.books import Books
from airladder.app.logbook import Logbook
from airladder.app.moments import moment
from airladder.app.order import Order
from airladder.app.sources import DEMO, described
from airladder.devices.clock import Clock
from airladder.devices.speaker import Speaker
from airladder.journal.records import Head, Planned
from airladder.pages.effects import Effect, Look, Open, Save, Shut, Tell
from airladder.practice.effects import Hush, Keep, Sound


@dataclass(frozen=True)
class Doing:
    """Hands each effect to whom it concerns.

    Attributes
    ----------
    order : what is run
    clock : the date of a practice
    logbook, books, speaker : who does it
    """

    order: Order
    clock: Clock
    logbook: Logbook
    books: Books
    speaker: Speaker

    def __call__(self, effect: Effect) -> None:
        """Carry it out, or have it done."""
        match effect:
            case Keep():
                self.logbook.keep(effect.attempt)
            case Open():
                self.logbook.open(effect.practice, self._head(effect))
            case Shut():
                self.logbook.shut()
            case Look():
                self.books.look(effect.choices)
            case Save():
                self.books.save(effect.values)
            case Tell():
                self.books.tell(effect.date)
            case Sound():
                self.speaker.sound(effect.hz, effect.seconds)
            case Hush():
                self.speaker.hush()

    def _head(self, opened: Open) -> Head:
        order, choices, exercises = self.order, opened.choices, opened.routine.exercises
        return Head(
            started=self.clock.wall(),
            source=described(order.source),
            invented=order.source == DEMO,
            horn=choices.horn.name,
            fingering=str(choices.fingering),
            a4_hz=choices.a4,
            against=choices.against.value,
            exercise=opened.routine.name,
            version=__version__,
            moment=moment(self.clock),
            plan=tuple(
                Planned(exercise.name, reason)
                for exercise, reason in zip(exercises, opened.reasons or ("",) * len(exercises), strict=True)
            ),
            remarks=opened.remarks,
        )


Do = Callable[[Effect], None]
"""Carries out an effect; must not wait."""
