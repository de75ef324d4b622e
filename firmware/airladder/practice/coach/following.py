"""The way so far, day by day: the long fingerings, a detour round a plateau, back again, and whether it helped.

It is a fold over the days: what is said of a day depends on that day and those before it alone, and never on dates.
"""

from __future__ import annotations

from airladder.practice.coach.counts import Counts, counted, total
from airladder.practice.coach.course import Course, Detour, Leg, Plateau
from airladder.practice.coach.detour import verdict
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.plateau import Spell
from airladder.practice.coach.reach import Ladders
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.wording import PRACTISED

_LONG = [name for name, fingering in PRACTISED.items() if fingering.long]
_SHORT = {name for name, fingering in PRACTISED.items() if not fingering.long}


class _Away:
    """A detour under way, and the days back from it."""

    def __init__(self, plateau: Plateau, before: Counts) -> None:
        self.plateau = plateau
        self.before = before
        self.last = plateau.day
        self.taken = 0  # days on the short fingerings
        self.out = 0  # all days of the detour
        self.after: list[Counts] = []  # the days back on which the rung was tried
        self.back = 0  # all days back


class _Walk:
    """All that is carried from one day to the next."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._ladders = Ladders(rules)
        self._spells: dict[Rung, Spell] = {}
        self._leg = Leg.LONG
        self._away: _Away | None = None
        self._plateaus: list[Plateau] = []
        self._detours: list[Detour] = []
        self._rest = 0  # days until a plateau may be called again
        self._next_rest = rules.rest_days

    def add(self, index: int, tried: dict[Rung, Counts]) -> None:
        """One more day."""
        self._ladders.add(tried)
        worked = self._worked(tried)
        look = self._away is None and self._rest == 0
        for rung, counts in tried.items():
            if rung in worked:
                self._spells.setdefault(rung, Spell(self._rules)).add(counts, look=look)
            else:
                self._spells.pop(rung, None)  # known by now, or out of reach: should it come back, it begins afresh
        if self._away is None:
            self._look(index, worked)
        elif self._leg is Leg.DETOUR:
            self._go_round(index, tried, self._away)
        else:
            self._come_back(tried, self._away)

    def course(self) -> Course:
        """The way after the days so far."""
        return Course(
            leg=self._leg,
            plateau=self._away.plateau if self._away else None,
            days_left=self._days_left(),
            plateaus=tuple(self._plateaus),
            detours=tuple(self._detours),
        )

    def _worked(self, tried: dict[Rung, Counts]) -> list[Rung]:
        """The rungs of the day at the end of what is known on the long fingerings, the lowest first."""
        fingerings = {fingering for fingering, _ in tried}
        working = [
            (name, partial)
            for name in _LONG
            if name in fingerings
            for partial in range(self._ladders.highest(name) + 1, self._ladders.reach(name) + 1)
        ]
        return sorted((rung for rung in working if rung in tried), key=lambda rung: rung[1])

    def _look(self, index: int, worked: list[Rung]) -> None:
        if self._rest > 0:
            self._rest -= 1
            return
        stuck = next((rung for rung in worked if self._spells[rung].stuck), None)
        if stuck is None:
            return
        spell = self._spells.pop(stuck)  # what comes after the detour is judged afresh
        plateau = Plateau(stuck, index, spell.sentence(stuck))
        self._plateaus.append(plateau)
        self._away = _Away(plateau, spell.counts)
        self._leg = Leg.DETOUR

    def _go_round(self, index: int, tried: dict[Rung, Counts], away: _Away) -> None:
        away.last = index
        away.out += 1
        away.taken += any(fingering in _SHORT and partial > 1 for fingering, partial in tried)
        if self._days_left() == 0:
            self._leg = Leg.BACK

    def _come_back(self, tried: dict[Rung, Counts], away: _Away) -> None:
        away.back += 1
        rung = away.plateau.rung
        if rung in tried:
            away.after.append(tried[rung])
        known = self._ladders.known(rung)
        if self._days_left() > 0 and not (known and away.after):
            return
        detour = verdict(
            away.plateau, away.last, away.taken, away.before, total(away.after), known=known, rules=self._rules
        )
        self._detours.append(detour)
        self._settle(detour.helped, taken=away.taken > 0)

    def _settle(self, helped: bool | None, *, taken: bool) -> None:
        """Back to the long fingerings for a while; longer when the detour was for nothing, or not wanted."""
        rules = self._rules
        if helped:
            self._next_rest = rules.rest_days
        elif helped is False or not taken:
            self._next_rest = min(rules.rest_most, round(self._next_rest * rules.rest_growth))
        self._rest = self._next_rest
        self._leg = Leg.LONG
        self._away = None

    def _days_left(self) -> int:
        rules, away = self._rules, self._away
        if away is None:
            return 0
        if self._leg is Leg.DETOUR:
            return min(rules.detour_days - away.taken, rules.detour_patience - away.out)
        return min(rules.back_days - len(away.after), rules.back_patience - away.back)


def course(history: History, rules: Rules | None = None) -> Course:
    """Where the player is after all the days of `history`, and how it came to that."""
    walk = _Walk(rules or Rules())
    for index, day in enumerate(history):
        walk.add(index, counted(day))
    return walk.course()
