"""Carries out what the box wants done; nothing of it makes the main thread wait."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from airladder import __version__
from airladder.app.books import Books
from airladder.app.clips import Clips
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
    clips : keeps the tones as sound; None: nobody asked for that
    changed : called when there is more in the log than before
    """

    order: Order
    clock: Clock
    logbook: Logbook
    books: Books
    speaker: Speaker
    clips: Clips | None = None
    changed: Callable[[], None] = lambda: None
    _label: list[str] = field(default_factory=list)

    def __call__(self, effect: Effect) -> None:
        """Carry it out, or have it done."""
        match effect:
            case Keep():
                self.logbook.keep(effect.attempt)
                if self.clips is not None:
                    self.clips.keep(self._label[-1], effect.attempt)
            case Open():
                head = self._head(effect)
                self._label[:] = [clip_label(head)]
                self.logbook.open(effect.practice, head)
            case Shut():
                self.logbook.shut()
                self.changed()
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


def clip_label(head: Head) -> str:
    """Begins the names of a session's clips: its switch-on and the whole seconds since, as the log has them."""
    assert head.moment is not None
    return f"{head.moment.boot_key[:8]}-{head.moment.boottime_s:.0f}"


Do = Callable[[Effect], None]
"""Carries out an effect; must not wait."""
