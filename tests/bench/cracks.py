"""Where notes begin, and other partials before the final one: the true cracks, and those in the path of a tone."""

from __future__ import annotations

from airladder.hearing.events import Tone
from bench.clip import Clip, Sounding

CRACK_SECONDS, SLUR_SECONDS = 0.040, 0.350
"""A partial that lasts from the one to the other before the final one is a crack, s."""

STAYS_SECONDS = 0.100
"""What stays right so long is right."""

_SAME_NOTE = 0.020  # soundings nearer than this follow without silence
_OWN_ATTACK = 0.050


def cracks_of(clip: Clip, index: int) -> list[Sounding]:
    """The short soundings that lead into this one on another partial, where it is the last of its note."""
    if index + 1 < len(clip.soundings) and _leads_on(clip, index):
        return []
    first = index
    while first > 0 and _leads_on(clip, first - 1):
        first -= 1
    return [before for before in clip.soundings[first:index] if before.partial != clip.soundings[index].partial]


def _leads_on(clip: Clip, index: int) -> bool:
    """Whether the sounding is a crack that turns into the next one."""
    sounding = clip.soundings[index]
    lasts = sounding.end - sounding.start
    short = sounding.partial is not None and CRACK_SECONDS <= lasts <= SLUR_SECONDS
    return short and not begins(clip, index + 1)


def begins(clip: Clip, index: int) -> bool:
    """Whether the sounding begins a note: after silence, or with an attack of its own."""
    if index == 0 or clip.soundings[index].start - clip.soundings[index - 1].end > _SAME_NOTE:
        return True
    return any(abs(onset.t - clip.soundings[index].start) < _OWN_ATTACK for onset in clip.onsets)


def in_a_path(tones: tuple[Tone, ...], crack: Sounding) -> bool:
    """Whether a tone that overlaps it has passed over its partial."""
    near = [tone for tone in tones if tone.start < crack.end + STAYS_SECONDS and tone.end > crack.start]
    return any(partial == crack.partial for tone in near for partial, _ in tone.path)


def is_a_whole_note(clip: Clip, index: int) -> bool:
    """Whether the sounding is all of a note, on one partial."""
    alone = index + 1 == len(clip.soundings) or begins(clip, index + 1)
    return alone and clip.soundings[index].partial is not None and begins(clip, index)


def called_cracked(tones: tuple[Tone, ...], note: Sounding) -> bool:
    """Whether a tone that began in the note has stood on another partial for as long as a crack."""
    near = [tone for tone in tones if note.start - _OWN_ATTACK < tone.start < note.end]
    paths = [step for tone in near for step in tone.path]
    return any(partial not in (None, note.partial) and seconds >= CRACK_SECONDS for partial, seconds in paths)
