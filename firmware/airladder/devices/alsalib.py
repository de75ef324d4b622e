"""pyalsaaudio itself: loading it, the lists of microphones and outputs, and its errors as sentences.

Conventions
-----------
Every sentence says what is wrong with which device, and ends with the devices of its kind and sound cards there are.
"""

from __future__ import annotations

import ctypes
import errno
import os
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from airladder.faults import SoundFault

SILENTLY = "practise without hearing the target"
"""What is left where there is no output."""

_BAD_STATE = 77  # EBADFD, which Python names on Linux only
_MISSING = "there is no microphone {name}: plug it in or {choose}."
_NO_OUTPUT = "there is no sound output {name}: plug it in or {choose}."
_UNPLUGGED = "{name} has been unplugged: plug it in again or {choose}."
STALLED = "{name} has taken no sound for 1 s: unplug it and plug it in again, or {choose}."
SILENT = "no sound has come from {name} for 2 s: unplug it and plug it in again, or {choose}."

_REFUSED = {
    errno.EBUSY: "{name} is in use by another program: close that program or {choose}.",
    errno.EACCES: "{name} may not be used by this user: add the user to the group audio or {choose}.",
}
AT_OPEN = {**dict.fromkeys((errno.ENOENT, errno.ENODEV, errno.ENXIO), _MISSING), **_REFUSED}
"""What an error means while opening a microphone."""

AT_OPEN_OUTPUT = {**dict.fromkeys((errno.ENOENT, errno.ENODEV, errno.ENXIO), _NO_OUTPUT), **_REFUSED}
"""What an error means while opening an output."""

AT_READ = {errno.ENODEV: _UNPLUGGED, errno.ENXIO: _UNPLUGGED, _BAD_STATE: _UNPLUGGED}
"""What an error means while reading."""

AT_WRITE = AT_READ
"""What an error means while writing."""

# plughw: names the same cards, and converts what they give to what is asked for
_SAME_CARD_AGAIN = ("hw:", "sysdefault", "front:", "usbstream:")
# converters and placeholders that ALSA's plug-ins list, with nothing to record or to hear behind them
_NO_DEVICE = {"null", "samplerate", "speexrate", "speex", "lavrate", "upmix", "vdownmix"}


def capture_devices() -> list[str]:
    """The names that may follow `alsa:`, one for each card and sound server.

    Raises
    ------
    SoundFault : when pyalsaaudio is missing or too old
    """
    alsa = load("the list of microphones")
    return _devices(alsa, alsa.PCM_CAPTURE, ("dsnoop:",))


def playback_devices() -> list[str]:
    """The names of the outputs, one for each card and sound server.

    Raises
    ------
    SoundFault : when pyalsaaudio is missing or too old
    """
    alsa = load("the list of sound outputs", SILENTLY)
    return _devices(alsa, alsa.PCM_PLAYBACK, ("dmix:",))


def _devices(alsa: Any, kind: int, shared: tuple[str, ...]) -> list[str]:
    names = [str(name) for name in alsa.pcms(kind)]
    return [n for n in names if n not in _NO_DEVICE and not n.startswith((*_SAME_CARD_AGAIN, *shared))]


def load(wanted_for: str, otherwise: str = "play a recording") -> Any:
    """The module, version 0.11 or newer: older ones hide overruns.

    Raises
    ------
    SoundFault : when it is missing or older; the sentence begins with `wanted_for`, and proposes `otherwise`
    """
    try:
        import alsaaudio as module
    except ImportError as error:
        what = "needs pyalsaaudio, which is for Linux only and is not installed here"
        raise SoundFault(f"{wanted_for} {what}: pip install pyalsaaudio, or {otherwise}.") from error
    if not hasattr(module.PCM, "polldescriptors_revents"):  # came with 0.11
        what = "needs pyalsaaudio 0.11 or newer, the one installed here is older"
        raise SoundFault(f"{wanted_for} {what}: pip install --upgrade pyalsaaudio, or {otherwise}.")
    _hush()
    return module


def translated(error: Exception, device: str, sentences: Mapping[int, str], *, output: bool = False) -> SoundFault:
    """An ALSAAudioError about `device` as one of the `sentences`, or with ALSA's own words."""
    # pyalsaaudio gives no number, only strerror's words and the device: "No such device [mic]"
    words = str(error).removesuffix(f" [{device}]")
    known = {os.strerror(code): sentence for code, sentence in sentences.items()}
    sentence = known.get(words, "{name} fails, ALSA says '" + words + "': {choose}.")
    return fault(sentence, device, output=output)


def fault(sentence: str, device: str, *, output: bool = False) -> SoundFault:
    """The sentence with `{name}` and `{choose}` filled in: from the microphones, or from the outputs."""
    names = ", ".join(f"alsa:{name}" for name in (playback_devices() if output else capture_devices()))
    none = (
        f"{SILENTLY}, as ALSA finds no output here"
        if output
        else "play a recording, as ALSA finds no microphone here"
    )
    choose = f"choose from {names}" if names else none
    cards = ", ".join(load(device).cards()) or "none"
    return SoundFault(sentence.format(name=f"alsa:{device}", choose=f"{choose} (sound cards: {cards})"))


def _hush() -> None:
    """Keep alsa-lib from writing its own complaints over the player's screen; our sentence says what matters.

    alsa-lib wants a C function to call instead, and pyalsaaudio gives no way to name one. A function of the C
    library that only looks at its first argument serves: it needs no lock and cannot outlive the interpreter.
    """
    with suppress(OSError, AttributeError):
        nothing = ctypes.cast(ctypes.CDLL(None).labs, ctypes.c_void_p)
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(nothing)
