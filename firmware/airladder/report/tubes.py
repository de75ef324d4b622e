"""The tubes of a report, each with its names, and each by its number."""

from __future__ import annotations

from functools import cache

from airladder.faults import BadInput
from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.names import pretty
from airladder.music.pitch import A4_HZ
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.practice.coach.wording import PRACTISED, spoken
from airladder.report.form import Tube

_PLACES = {name: place for place, name in enumerate(PRACTISED)}


class Tubes:
    """Counts horns and fingerings as they are met, and tells them in order: horn by horn, the longest tube first."""

    def __init__(self) -> None:
        self._met: set[tuple[str, str]] = set()

    def meet(self, horn: str, fingering: str) -> None:
        """Let this tube be among those of the report."""
        self._met.add((horn, fingering))

    def numbered(self) -> dict[tuple[str, str], int]:
        """The number of each tube by horn and fingering."""
        return {tube: number for number, tube in enumerate(sorted(self._met, key=_place))}

    def told(self) -> list[Tube]:
        """All of them in the order of their numbers."""
        return [_told(horn, fingering) for horn, fingering in self.numbered()]


def _place(tube: tuple[str, str]) -> tuple[str, int, str]:
    horn, fingering = tube
    return horn, _PLACES.get(fingering, len(_PLACES)), fingering


def _told(horn: str, fingering: str) -> Tube:
    return {
        "horn": horn,
        "fingering": fingering,
        "pretty": pretty(fingering),
        "spoken": spoken(fingering),
        "notes": _notes(horn, fingering),
    }


@cache
def _notes(horn_name: str, fingering: str) -> list[str]:
    try:
        horn = horn_named(horn_name)
        series = Series(horn, fingering_named(horn, fingering), A4_HZ)
    except BadInput:
        return []
    return [pretty(series.written_name(partial)) for partial in range(1, HIGHEST_PARTIAL + 1)]
