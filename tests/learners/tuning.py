"""How often the coach errs over invented players: plateaus of those who get on, and of those who are stuck.

    cd tests && nice ../.venv/bin/python -m learners.tuning [players]

Conventions
-----------
The players are invented; no claim about real ones rests on them. A steady player's share at the rung that is worked
at grows along a logistic curve, from 10 to 90 % in so many days; the next rung begins where the coach's reach goes
up. Known rungs go on being tried twice a day. Players stay on low B flat and never take a detour.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log
from random import Random
from statistics import median

from airladder.practice.coach.counts import counted
from airladder.practice.coach.course import Detour
from airladder.practice.coach.following import course
from airladder.practice.coach.history import Day, History, Tally
from airladder.practice.coach.reach import Ladders
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Track
from learners.days import SOME_DAY

YEAR = 365
FROM_10_TO_90 = 2.0 * log(9.0)  # in logits
Draw = Callable[[Random], float]


@dataclass(frozen=True)
class Steady:
    """A player who gets on at every rung.

    Attributes
    ----------
    name : for the table
    span : days from 10 to 90 %, drawn anew for each rung
    tries : a day at the rung that is worked at, drawn anew each day
    start : share on the first day of a rung
    form : how much good and bad days differ, standard deviation in logits (0.7: half becomes 33 to 67 %)
    setbacks : how often a year a long break or the like takes 1.5 logits away (half becomes 18 %)
    """

    name: str
    span: Draw
    tries: Draw
    start: float = 0.1
    form: float = 0.0
    setbacks: float = 0.0


STEADY = (
    Steady("20 to 60 days, 4 to 10 tries", lambda r: r.uniform(20, 60), lambda r: r.randint(4, 10)),
    Steady("60 days, 4 tries (the slowest)", lambda r: 60, lambda r: 4),
    Steady("60 days, 10 tries", lambda r: 60, lambda r: 10),
    Steady("60 days, 1 to 3 tries", lambda r: 60, lambda r: r.randint(1, 3)),
    Steady("60 days from 5 %, 4 to 10 tries", lambda r: 60, lambda r: r.randint(4, 10), start=0.05),
    Steady("20 to 60 days, good and bad days", lambda r: r.uniform(20, 60), lambda r: r.randint(4, 10), form=0.7),
)
"""Those of whom at most one in twenty may be called stuck in a year."""

HARD = (
    Steady("20 to 60 days, a setback a year", lambda r: r.uniform(20, 60), lambda r: r.randint(4, 10), setbacks=1),
    Steady("60 days, 4 tries, good and bad days", lambda r: 60, lambda r: 4, form=0.7),
    Steady("90 days, 4 to 10 tries", lambda r: 90, lambda r: r.randint(4, 10)),
    Steady("120 days, 4 to 10 tries", lambda r: 120, lambda r: r.randint(4, 10)),
    Steady("180 days, 4 to 10 tries", lambda r: 180, lambda r: r.randint(4, 10)),
)
"""Those who get on so slowly, or so unevenly, that it can hardly be seen: only reported."""


def tally(random: Random, partial: int, tries: int, share: float) -> Tally:
    """Some tries on low B flat, each right with the same chance."""
    return Tally("Bb3", partial, tries, sum(random.random() < share for _ in range(tries)))


def steady(player: Steady, seed: int, days: int = YEAR, rules: Rules | None = None) -> History:
    """The practice of a steady player."""
    random, ladders, history = Random(seed), Ladders(rules or Rules()), []
    logits: dict[int, float] = {}
    slopes: dict[int, float] = {}
    for _ in range(days):
        top = ladders.reach("Bb3")
        for partial in range(2, top + 1):
            if partial not in logits:
                logits[partial] = log(player.start / (1.0 - player.start))
                slopes[partial] = FROM_10_TO_90 / player.span(random)
        form = random.gauss(0.0, player.form)
        back = 1.5 if random.random() < player.setbacks / YEAR else 0.0
        tallies = tuple(
            tally(
                random,
                partial,
                2 if ladders.known(("Bb3", partial)) else int(player.tries(random)),
                1.0 / (1.0 + exp(-logits[partial] - form)),
            )
            for partial in range(2, top + 1)
        )
        for partial in logits:
            logits[partial] = min(4.0, logits[partial] + slopes[partial]) - back
        history.append(Day(SOME_DAY, tallies))
        ladders.add(counted(history[-1]))
    return tuple(history)


def stuck(share: float, tries: int, seed: int, days: int = YEAR) -> History:
    """The practice of a player who stands still at partial 3 with an even chance."""
    random = Random(seed)
    known = Random(seed + 1)
    return tuple(Day(SOME_DAY, (tally(known, 2, 4, 0.95), tally(random, 3, tries, share))) for _ in range(days))


def falsely_called(player: Steady, players: int, days: int = YEAR, rules: Rules | None = None) -> float:
    """The share of players of whom a plateau is called at least once in so many days."""
    called = (bool(course(steady(player, seed, days, rules), rules).plateaus) for seed in range(players))
    return sum(called) / players


def days_to_call(share: float, tries: int, players: int, rules: Rules | None = None) -> list[int]:
    """After how many days the first plateau of each stuck player is called, the soonest first; a year is never."""
    found = (course(stuck(share, tries, seed), rules).plateaus for seed in range(players))
    return sorted(plateaus[0].day + 1 if plateaus else YEAR for plateaus in found)


def after_detour(before: float, after: float, tries: int, seed: int, rules: Rules) -> Detour | None:
    """The verdict on a detour of a stuck player whose share has changed by the time it is over."""
    plateaus = course(stuck(before, tries, seed), rules).plateaus
    if not plateaus:
        return None
    random = Random(seed + 2)
    first = plateaus[0].day + 1
    short = Day(SOME_DAY, (Tally("F4", 3, 5, 2),))
    back = tuple(Day(SOME_DAY, (tally(random, 3, tries, after),)) for _ in range(rules.back_days))
    days = stuck(before, tries, seed)[:first] + (short,) * rules.detour_days + back
    return course(days, rules).detours[0]


def known_at(share: float, tries: int, seed: int, days: int = YEAR) -> tuple[int | None, int | None]:
    """After how many days a rung with an even chance is known, and after how many more it is lost; None is never."""
    track, won = Track(Rules()), None
    for number, day in enumerate(stuck(share, tries, seed, days), 1):
        track.add(counted(day)[("Bb3", 3)])
        if track.known and won is None:
            won = number
        if won is not None and not track.known:
            return won, number - won
    return won, None


def say(line: str) -> None:
    """One line, at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main(players: int) -> None:
    """Prints all the tables."""
    rules = Rules()
    say(f"A plateau called falsely at least once in a year, share of {players} players")
    for player in STEADY + HARD:
        say(f"  {player.name:36} {falsely_called(player, players):6.1%}")
    say("Days until a stuck player's plateau is called: median, 90 %, the last; called within 60 and 90 days")
    for share in (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5):
        for tries in (4, 8):
            found = days_to_call(share, tries, players)
            by = " ".join(f"{sum(day <= limit for day in found) / players:4.0%}" for limit in (60, 90))
            row = f"{median(found):5.0f} {found[int(0.9 * players)]:5} {found[-1]:5}"
            say(f"  share {share:4.0%}, {tries} tries {row}   {by}")
    say("Days until a rung is known: median; known in a year; and lost again in it")
    for share in (0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95):
        for tries in (2, 6):
            times = [known_at(share, tries, seed) for seed in range(players)]
            won = [first for first, _ in times if first is not None]
            lost = sum(later is not None for _, later in times) / max(1, len(won))
            row = f"{median(won) if won else YEAR:5.0f} {len(won) / players:5.0%} {lost:5.0%}"
            say(f"  share {share:4.0%}, {tries} tries {row}")
    say("Verdicts on a detour after a share of 10 %: helped, did not, cannot be told")
    for after in (0.1, 0.2, 0.3, 0.4, 0.5):
        for tries in (4, 8):
            told = [after_detour(0.1, after, tries, seed, rules) for seed in range(players)]
            verdicts = [detour.helped for detour in told if detour]
            counts = " ".join(f"{verdicts.count(kind) / len(verdicts):5.0%}" for kind in (True, False, None))
            say(f"  share after {after:4.0%}, {tries} tries {counts}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400)
