"""Where the sound comes from, by the word on the command line, and where it goes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.devices.speaker import SilentSpeaker, Speaker

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


def speaker_for(source: str, device: str, clock: Clock) -> Callable[[Callable[[str], None]], Speaker]:
    """What a pitch is sounded with: the playback device where somebody plays, nothing for a recording or the demo."""
    if not source.startswith(ALSA):
        return lambda on_fault: SilentSpeaker()

    def opened(on_fault: Callable[[str], None]) -> Speaker:
        from airladder.devices.alsa_speaker import AlsaSpeaker

        return AlsaSpeaker(device, on_fault, clock)

    return opened
