"""What a day's plan aims at: every number a setting, with its bounds, a why, and how strong the evidence is."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.faults import BadInput
from airladder.practice.coach.rules import Evidence, check, rule


@dataclass(frozen=True)
class Aims:
    """The numbers; the sentence beside each says what it does and why.

    Raises
    ------
    BadInput : when a number is out of bounds, or contradicts another.
    """

    minutes: float = rule(
        10.0,
        3.0,
        60.0,
        Evidence.COMMON,
        "So long a day at most: little and daily wins over long and seldom.",
    )
    least_success: float = rule(
        0.8,
        0.5,
        0.95,
        Evidence.WEAK,
        "Of all tries planned so many should come out right: 80 to 90 % keeps learning.",
    )
    most_tries: int = rule(
        12,
        4,
        50,
        Evidence.COMMON,
        "No rung is asked for more often in a day: a tired lip learns to push.",
    )
    new_tries: int = rule(
        6,
        2,
        20,
        Evidence.WEAK,
        "The new rung is asked for so often at most, less where too few tries would come out right.",
    )
    least_new: int = rule(3, 1, 10, Evidence.OURS, "And so often at least: what is never tried cannot come.")
    cold_rungs: int = rule(
        4,
        1,
        8,
        Evidence.FAIR,
        "So many rungs are asked for before any practising: what stayed is what counts.",
    )
    band: float = rule(
        10.0,
        0.0,
        50.0,
        Evidence.WEAK,
        "Of a known rung the cents are told only outside this band, so that the ear leads.",
    )
    every: int = rule(
        3,
        1,
        10,
        Evidence.WEAK,
        "Of a rung that is known very surely the cents are told together after so many tries.",
    )
    sure_share: float = rule(
        0.8,
        0.5,
        0.99,
        Evidence.OURS,
        "A rung is known very surely when its share is surely above this.",
    )
    hush: float = rule(
        3.0,
        0.0,
        20.0,
        Evidence.WEAK,
        "A silent moment of so many seconds before a try, to hear the note inwardly.",
    )
    guesses: int = rule(
        1,
        0,
        1,
        Evidence.WEAK,
        "1: sharp or flat is guessed before the cents of a comparison are shown; 0: it is not.",
    )
    rest: float = rule(20.0, 0.0, 300.0, Evidence.COMMON, "A rest of so many seconds in the middle.")
    missed_days: int = rule(
        4,
        1,
        60,
        Evidence.COMMON,
        "After so many days without practice it begins with what is known, and nothing new.",
    )
    first_days: int = rule(
        7,
        0,
        30,
        Evidence.COMMON,
        "So many days the first week lasts for somebody who has no partial yet.",
    )

    def __post_init__(self) -> None:
        check(self)
        if self.least_new > self.new_tries:
            raise BadInput(
                f"least_new is {self.least_new} and new_tries is {self.new_tries}; wanted least_new to be no more."
            )
