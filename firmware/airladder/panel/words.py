"""Every word that the player reads on the screen, and how numbers are written there.

The trade's own terms where it has them (partial, fingering, cents, tongued, air, split); all else plain English.
Lines beside the ladder hold 17 small or 11 middle characters, a label under the screen 6 small ones.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from airladder.hearing.events import Kind
from airladder.music.usual import Interval
from airladder.practice.aloud import can_sound
from airladder.practice.ask import Beside, Start, Task
from airladder.practice.attempt import Guess
from airladder.practice.judge import Outcome
from airladder.practice.state import Phase, State

PEDAL, PEDAL_HELD = "\ue000", "\ue001"
"""The sign of the foot switch, pressed shortly and held; it stands beside the label of what it does too."""

GO_ON = "go on" + PEDAL
_CLIMBING = ("end", "down", "up" + PEDAL_HELD, "again" + PEDAL)
_WALKING = ("end", "down", "up" + PEDAL_HELD, GO_ON)
_HEARING = ("end", "down", "up" + PEDAL_HELD, "hear" + PEDAL)
_HUSHING = ("end", "down", "up" + PEDAL_HELD, "hush" + PEDAL)
_LISTENING = ("leave", "", "", "")
_ENOUGH = ("end", "easier", "go on" + PEDAL_HELD, "end" + PEDAL)

Row = tuple[str, str, str, str]

ROWS: Mapping[Phase, Row] = {
    Phase.WANTED: _CLIMBING,
    Phase.SOUNDING: _CLIMBING,
    Phase.GUESS: ("end", "flat", "sharp" + PEDAL_HELD, "equal"),
    Phase.RESULT: _CLIMBING,
    Phase.SUNG: _WALKING,
    Phase.OFFER: ("end", "easier", "go on" + PEDAL_HELD, "rest" + PEDAL),
    Phase.REST: _WALKING,
    Phase.DONE: ("leave", "", "", "again" + PEDAL),
    Phase.FREE: _WALKING,
    Phase.OVER: ("", "", "", ""),
}
"""What each button does in each phase, in the order of `presses.ROW`; `row` knows the exceptions."""


def row(state: State) -> Row:
    """What stands above each button."""
    if state.phase is Phase.OFFER and state.offer is not None and state.offer.ends:
        return _ENOUGH
    if state.phase is Phase.FREE and math.isinf(state.ask.hold):
        return _LISTENING
    if can_sound(state):
        return _HEARING if state.sounds_until is None else _HUSHING
    if state.phase in (Phase.WANTED, Phase.SOUNDING) and state.ask.task is Task.SING:
        return _WALKING
    return ROWS[state.phase]


PARTIAL = "partial"
CENTS = "cents"
HELD = "held"
CUT_OFF = "too loud"
FINGERING = "fingering"
USUAL, USUAL_FINGERING = "usual", "usual fingering"
HEAR = "hear it"
LISTEN = "listen"
PLAY_IT = "now play it"
ONE_BREATH = ("in one breath,", "no new start")
SING = "sing"
IMAGINE = ("or imagine it,", "then go on")
SUNG = "sung"
STARTS: Mapping[Start, str] = {Start.TONGUED: "with the tongue", Start.AIR: "with air alone"}
EAR = "your ear:"
GUESS = ("sharp or flat, or", "equal?")
COLD = "one try, cold"
APART = "apart by"
REST = ("rest", "horn down,", "breathe")
OFFER_HEADING = "easily now"
ENCOURAGEMENT = "hear, sing, play"
PLAY = "play a note"
NO_PARTIAL = "no partial"
UNKNOWN = "–"
FAULT_HEADING = "Airladder needs help"
FAREWELL = ("Well played.", "Rest your ears.")

OUTCOMES: Mapping[Outcome, str] = {
    Outcome.SPOKE: "spoke",
    Outcome.CRACKED: "cracked",
    Outcome.SPLIT: "split",
    Outcome.OTHER: "another",
    Outcome.NOTHING: "nothing",
    Outcome.RESTARTED: "restarted",
}
"""The headline of a result."""

GUESSES: Mapping[Guess, str] = {Guess.FLAT: "flat", Guess.IN_TUNE: "equal", Guess.SHARP: "sharp"}
"""What a player may guess, and what it was."""

EQUAL_CENTS = 3
"""Whoever says equal is right within so many cents: two notes in turn are hardly told apart closer than that (common
practice)."""

BEGINNINGS: Mapping[str, str] = {"tongued": "tongued", "air": "air", "unsure": "unsure"}
"""How a note began."""

RUNGS, TRIES, KEPT, OF = "rungs", "tries", "kept", "of"
"""The lines of the summary."""

LISTENING = "listening"
OVER = "practice over"


def fitting(text: str, most: int) -> str:
    """A line of at most `most` characters; where some are missing it ends in an ellipsis."""
    return text if len(text) <= most else text[: most - 1] + "…"


def signed(cents: float | None) -> str:
    """Cents with their sign, whole, at most four characters: ``+12``, ``−7``, ``0``; ``–`` when unknown or absurd."""
    if cents is None or not -999.5 < cents < 999.5:
        return UNKNOWN
    whole = round(cents)
    sign = "+" if whole > 0 else "−" if whole < 0 else ""
    return f"{sign}{abs(whole)}"


def spread(cents: float) -> str:
    """How far the tone wandered to either side, in whole cents."""
    return f"±{min(round(cents), 999)}"


def seconds(value: float, digits: int) -> str:
    """A time of at most four characters: fewer decimals as it grows, and no more than 9999."""
    for decimals in range(digits, 0, -1):
        text = f"{value:.{decimals}f}"
        if len(text) <= 4:
            return text
    return str(min(round(value), 9999))


def together(partials: Sequence[int]) -> str:
    """Partials heard at once: ``2+3``; three at most, then an ellipsis."""
    return "+".join(str(partial) for partial in partials[:3]) + ("…" if len(partials) > 3 else "")


def not_wanted(wanted: int) -> str:
    """Below the number of a partial that sounds: another one was asked for."""
    return f"not {wanted}"


def split(partials: Sequence[int]) -> str:
    """Below the number of a partial while more than one sounds."""
    return f"split {together(partials)}"


def slur(partials: Sequence[int]) -> str:
    """A slur over partials, such as ``slur 2-3``."""
    return "slur " + "-".join(str(partial) for partial in partials)


def went(partials: Sequence[int]) -> str:
    """Second line of a result: the way that a slur took instead, or the only partial that stood."""
    way = "-".join(str(partial) for partial in partials)
    return f"it went {way}" if len(partials) > 1 else f"only {way} stood"


def steps(partials: Sequence[int]) -> str:
    """The partials of a slur in great numerals: ``2–3``."""
    return "–".join(str(partial) for partial in partials)


def hold(seconds_wanted: float, *, swell: bool) -> str:
    """How long a note is to be held."""
    return f"hold {seconds_wanted:.0f} s" + (", swell" if swell else "")


def held_of(held: float, wanted: float) -> str:
    """How long a note was held of what was asked."""
    return f"{HELD} {seconds(held, 1)} {OF} {wanted:.0f} s"


def swelled(held: float, swell_db: float | None) -> str:
    """How long a note was held, and how much it grew and fell again meanwhile."""
    return "no swell heard" if swell_db is None else f"{HELD} {seconds(held, 1)}, {signed(swell_db)} dB"


def below(beside: Beside) -> str:
    """What a usual fingering is set against."""
    if beside.interval is Interval.UNISON:
        return f"for {PARTIAL} {beside.partial}"
    return f"{beside.interval.value} below {beside.partial}"


def of_usual(partial: int, name: str) -> str:
    """A usual fingering sounded, but on another partial than its lowest."""
    return f"{PARTIAL} {partial} {OF} {name}"


def was(partial: int) -> str:
    """Which partial the player is asked about."""
    return f"was {PARTIAL} {partial}"


def left(left_seconds: float) -> str:
    """How long free playing still lasts."""
    return f"{left_seconds:.0f} s left"


def not_begun(start: Start) -> str:
    """The other start was heard."""
    return f"not {BEGINNINGS[start.value]}" if start is not Start.ANY else ""


def difference(cents: float) -> str:
    """How far an overtone was from its usual fingering."""
    return f"{signed(cents)} {CENTS} against it"


def lay(cents: float) -> Guess:
    """Which guess would have been right: within `EQUAL_CENTS`, as they are shown, it was equal."""
    if abs(round(cents)) <= EQUAL_CENTS:
        return Guess.IN_TUNE
    return Guess.SHARP if cents > 0 else Guess.FLAT


def than(cents: float, partial: int, name: str) -> str:
    """Which way an overtone lies from its usual fingering: ``3 sharp of F5``."""
    way = lay(cents)
    return f"{partial} {GUESSES[way]} {'to' if way is Guess.IN_TUNE else OF} {name}"


def guessed(guess: Guess, cents: float | None = None) -> str:
    """What the player had said, and where the cents are told, whether it was so."""
    said = GUESSES[guess]
    if cents is None:
        return f"you said {said}"
    return f"{said}, well heard" if lay(cents) is guess else f"{GUESSES[lay(cents)]}, not {said}"


def spoke(partial: int, name: str) -> str:
    """Second line of a result: what was sounded."""
    return f"{PARTIAL} {partial}, {name}"


def cracked(others: Sequence[int]) -> str:
    """Second line of a result: what sounded on the way to the wanted partial."""
    via = ", ".join(str(partial) for partial in others[:2]) + ("…" if len(others) > 2 else "")
    return f"by way of {via}"


def split_result(partials: Sequence[int]) -> str:
    """Second line of a result: the partials that sounded at once, where they are known."""
    return f"{together(partials)} at once" if partials else "two at once"


def another(partial: int, wanted: int) -> str:
    """Second line of a result: which partial sounded, and which was asked for."""
    return f"it was {partial}, {not_wanted(wanted)}"


def nothing(*, heard: bool) -> str:
    """Second line of a result: nothing sounded at all, or nothing that stood."""
    return "no partial stood" if heard else "no sound came"


def beginning(kind: Kind | None, speak_ms: float | None) -> str:
    """Last line of a result: how the note began, and the seconds until its partial stood."""
    parts = [BEGINNINGS[kind]] if kind else []
    if speak_ms is not None:
        parts.append(f"{seconds(speak_ms / 1000, 2)} s")
    return ", ".join(parts)
