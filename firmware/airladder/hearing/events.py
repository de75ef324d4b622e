"""What the Ear says: readings while something sounds, the attack of a note, and the whole tone when it ends.

Conventions
-----------
Times are in seconds since the source began; levels in dB re full scale (a full-scale sine is -3.0 dBFS rms);
cents from the chosen target, positive when sharp; a partial is a whole number from 1, or None when what sounds
is on no partial of the fingered tube. `as_json` gives the public form of each (one object a line).
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any, Literal

Kind = Literal["tongued", "air", "unsure"]
"""How a note was started: with the tongue, with the air alone, or not to be told."""


@dataclass(frozen=True)
class Reading:
    """What sounds now; one each hop while something sounds.

    Attributes
    ----------
    t : time of the newest sample used, s
    hz : fundamental frequency of what sounds, Hz
    partial : the partial of the fingered tube, or None
    cents : from the chosen target, or None when there is no partial or no target yet
    level_dbfs : rms level of the newest hop
    clarity : 0 (noise) to 1 (perfectly periodic)
    split : the partials heard at once; empty when only one is
    clipped : whether the sound was cut off at full scale within the last 21 ms (`door`)
    """

    t: float
    hz: float
    partial: int | None
    cents: float | None
    level_dbfs: float
    clarity: float
    split: tuple[int, ...] = ()
    clipped: bool = False


@dataclass(frozen=True)
class Attack:
    """How a note began.

    Attributes
    ----------
    t : estimated start of the note, s
    known_at : when it was decided, s
    kind : tongued, air or unsure
    rise_ms : time from 10 to 90 per cent of the first level that held, ms
    confidence : 0 to 1, that `kind` is right
    """

    t: float
    known_at: float
    kind: Kind
    rise_ms: float
    confidence: float

    @property
    def log_attack_time(self) -> float:
        """Decimal logarithm of the rise in seconds, of 1 ms at least (ISO/IEC 15938-4, LogAttackTime)."""
        return math.log10(max(1.0, self.rise_ms) / 1000.0)


@dataclass(frozen=True)
class Tone:
    """A whole note, told when it has ended.

    Attributes
    ----------
    start, end : s
    partial : the last partial that stood, or None when none did
    hz : median frequency of the steady part of that partial, Hz; None with no partial
    cents : median of the steady part from the chosen target; None with no partial or no target
    spread_cents : half the range that holds the middle 80 per cent of the steady part
    attack : how it began; None when the beginning was lost in a gap
    speak_ms : from the attack until the final partial stood, ms; None where either is missing
    path : what sounded on the way, as (partial or None, seconds), in order
    split : share of the time in which more than one partial was heard, 0 to 1
    level_dbfs : median rms level while it sounded
    push_db : loudest level just before the final partial spoke, against its steady level (`ease.push_db`); about 0
        or above when the note was pushed; None with no partial, or when nothing is known of the time before
    unsteady_db : half the range that holds the middle 80 per cent of the levels of the steady part, dB; None with
        no partial
    clipped : share of the time in which the sound was cut off at full scale, 0 to 1; None when nobody looked
    """

    start: float
    end: float
    partial: int | None
    hz: float | None
    cents: float | None
    spread_cents: float | None
    attack: Attack | None
    speak_ms: float | None
    path: tuple[tuple[int | None, float], ...]
    split: float
    level_dbfs: float
    push_db: float | None = None
    unsteady_db: float | None = None
    clipped: float | None = None


@dataclass(frozen=True)
class Sung:
    """A pitch that was sung or hummed, told when it has ended.

    Attributes
    ----------
    start, end : s
    hz : median pitch of the steady part, Hz
    spread_cents : half the range that holds the middle 80 per cent of the steady part
    level_dbfs : median rms level
    known_at : when it was first known to be a voice, s
    """

    start: float
    end: float
    hz: float
    spread_cents: float
    level_dbfs: float
    known_at: float


Event = Reading | Attack | Tone | Sung

_DIGITS = {"t": 4, "known_at": 4, "start": 4, "end": 4, "hz": 3, "cents": 2, "spread_cents": 2, "clarity": 3}


def as_json(event: Event) -> dict[str, Any]:
    """The event as a plain dictionary with `event` and `t` first; numbers rounded to what they are worth.

    What has an end bears it as its `t`: the moment at which it could be told. The `hz` of a tone stays inside: the
    public form has cents.
    """
    name = type(event).__name__.lower()
    fields = _rounded(asdict(event))
    if isinstance(event, Tone):
        del fields["hz"]
    told_at = {"t": fields["end"]} if isinstance(event, Tone | Sung) else {}
    return {"event": name, **told_at, **fields}


def _rounded(value: Any, digits: int = 2) -> Any:
    match value:
        case float():
            return round(value, digits)
        case dict():
            return {key: _rounded(item, _DIGITS.get(key, 2)) for key, item in value.items()}
        case list() | tuple():
            return [_rounded(item, digits) for item in value]
        case _:
            return value
