"""Whether a detour helped: the rung's share before it and after it, set against each other (Newcombe)."""

from __future__ import annotations

from airladder.practice.coach.counts import Counts
from airladder.practice.coach.course import Detour, Plateau
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.statistics import newcombe
from airladder.practice.coach.wording import about, days, spoken_rung


def verdict(
    plateau: Plateau, last: int, taken: int, before: Counts, after: Counts, *, known: bool, rules: Rules
) -> Detour:
    """What a detour was good for.

    Parameters
    ----------
    plateau : what it led round
    last : index into the history of its last day
    taken : on how many days the shorter fingerings were practised
    before, after : the tries at the rung on the plateau, and back from the detour
    known : whether the rung is known by now
    rules : how much gain is worth it, and how sure to be
    """
    gain = newcombe(after.right, after.tries, before.right, before.tries, rules.z)
    helped: bool | None = None
    if taken == 0:
        end = "; the shorter fingerings were not practised, so nothing can be said of them."
    elif after.tries == 0:
        end = f" before {_detour(taken)}; it was not tried since, so nothing can be said yet."
    elif known or gain.low > 0.0:
        helped = True
        end = f" before {_detour(taken)}, and in {about(after.right, after.tries)} after: it has moved."
    elif gain.high < rules.worth_gain:
        helped = False
        end = f" before {_detour(taken)}, and in {about(after.right, after.tries)} after: much the same."
    else:
        end = f" before {_detour(taken)}, and in {about(after.right, after.tries)} after: too soon to tell."
    told = f"{spoken_rung(plateau.rung)} spoke in {about(before.right, before.tries)}{end}"
    return Detour(plateau, plateau.day + 1, last, helped, told[0].upper() + told[1:])


def _detour(taken: int) -> str:
    return f"{days(taken)} on the shorter fingerings"
