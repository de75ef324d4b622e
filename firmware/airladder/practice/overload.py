"""Says when the microphone is overdriven: what is cut off at full scale has lost its level, and may sound cracked."""

from __future__ import annotations

from airladder.hearing.events import Tone

SENTENCE = "Too loud for the microphone: turn it down."
"""What the player is told."""

_SECONDS = 0.5


def cut_off(tone: Tone) -> bool:
    """Whether so much of a tone was cut off at full scale that the player should know: half a second or more."""
    return (tone.clipped or 0.0) * (tone.end - tone.start) >= _SECONDS


def told_after(tone: Tone) -> str | None:
    """What to say after a tone: the sentence, nothing any more (empty), or None, to leave it as it was."""
    if cut_off(tone):
        return SENTENCE
    return "" if tone.clipped == 0.0 else None
