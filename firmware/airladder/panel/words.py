"""Every word that the player reads on the screen, and how numbers are written there.

The trade's own terms where it has them (partial, fingering, cents, tongued, air, split); all else plain English.
Lines beside the ladder hold 17 small or 11 middle characters, a label under the screen 6 small ones.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from airladder.hearing.events import Kind
from airladder.practice.judge import Outcome
from airladder.practice.presses import ROW, Button
from airladder.practice.state import Phase

PEDAL, PEDAL_HELD = "\ue000", "\ue001"
"""The sign of the foot switch, pressed shortly and held; it stands beside the label of what it does too."""

_CLIMBING = ("end", "down", "up" + PEDAL_HELD, "again" + PEDAL)

ROWS: Mapping[Phase, tuple[str, str, str, str]] = {
    Phase.WANTED: _CLIMBING,
    Phase.SOUNDING: _CLIMBING,
    Phase.RESULT: _CLIMBING,
    Phase.DONE: ("leave", "", "", "again" + PEDAL),
    Phase.FREE: ("leave", "", "", ""),
    Phase.OVER: ("", "", "", ""),
}
"""What each button does, in the order of `presses.ROW`, in each phase."""

PARTIAL = "partial"
CENTS = "cents"
HELD = "held"
CUT_OFF = "too loud"
FINGERING = "fingering"
ENCOURAGEMENT = ("hear it, sing it,", "play it")
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
}
"""The headline of a result."""

BEGINNINGS: Mapping[Kind, str] = {"tongued": "tongued", "air": "air", "unsure": "unsure"}
"""How a note began."""

RUNGS, TRIES, KEPT, OF = "rungs", "tries", "kept", "of"
"""The lines of the summary."""

LISTENING = "listening"
OVER = "practice over"


def label(phase: Phase, button: Button) -> str:
    """What stands above a button of the row; empty when it does nothing."""
    return ROWS[phase][ROW.index(button)]


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
