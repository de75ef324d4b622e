"""Where the sound comes from, by the word on the command line."""

from __future__ import annotations

from pathlib import Path

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone

DEMO = "demo"
ALSA = "alsa:"


def opened_by(word: str, clock: Clock) -> Microphone:
    """The source that `word` names, not yet open: ``alsa:NAME``, else a recording's path."""
    if word.startswith(ALSA):
        from airladder.devices.alsa import AlsaMicrophone

        return AlsaMicrophone(word.removeprefix(ALSA) or "default", clock)
    from airladder.devices.recording import Recording

    return Recording(Path(word))


def described(word: str) -> str:
    """The source as the log names it."""
    if word == DEMO:
        return "demo"
    if word.startswith(ALSA):
        return f"microphone {word.removeprefix(ALSA)}"
    return f"recording {Path(word).name}"
