"""All rows of the benchmark in one place: each name with the clips that belong to it.

`rows()` says what there is; `clips(row, half, share)` makes them one after the other, `share` of them, always the
same ones. What is slow is kept in tests/.cache; the rest is made again each time, the same to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import get_args

from bench import variants
from bench.airstart import ROW as AIR_START
from bench.airstart import air_start
from bench.bleed import Bleed
from bench.clip import Clip, Half
from bench.distractors import KINDS, distractor_clips
from bench.exact import exact_clips
from bench.played import ROWS as PLAYED
from bench.played import played_clips
from bench.recorded import recorded_clips
from bench.sequences import Joined, sequence_clips
from bench.straight import ROW as STEADY
from bench.straight import straightened

Maker = Callable[[Half, float], Iterator[Clip]]

PINK_DB = (20.0, 10.0, 0.0)
BLEED_DB = (-20.0, -10.0)
UNDERTONE_DB = (-25.0, -15.0, -8.0)
EXACT_DB = (40.0, 20.0)


def rows() -> list[str]:
    """The name of every row, as it stands in the clips."""
    return list(_MAKERS)


def clips(row: str, half: Half, share: float = 1.0) -> Iterator[Clip]:
    """The clips of a row that belong to `half`, `share` of them, made lazily."""
    if row not in _MAKERS:
        raise ValueError(f"There is no row '{row}'; wanted one of {', '.join(_MAKERS)}.")
    return _MAKERS[row](half, share)


def _changed(change: Callable[[Clip], Clip]) -> Maker:
    return lambda half, share: map(change, recorded_clips(half, share))


def _pink(snr_db: float) -> Maker:
    return _changed(lambda clip: variants.pink(clip, snr_db))


def _bleed(kind: Bleed, level_db: float) -> Maker:
    return _changed(lambda clip: variants.bleed(clip, kind, level_db))


def _undertone(level_db: float) -> Maker:
    """Of overtones alone."""
    return lambda half, share: (
        variants.undertone(clip, level_db)
        for clip in recorded_clips(half, share)
        if clip.soundings[0].partial not in (None, 1)
    )


def _hum(mains_hz: float) -> Maker:
    return _changed(lambda clip: variants.hum(clip, mains_hz))


def _exact(snr_db: float, vibrato: bool) -> Maker:
    return lambda half, share: exact_clips(half, snr_db, vibrato, share)


def _notes(joined: Joined) -> Maker:
    return lambda half, share: sequence_clips(half, joined, share)


def _no_note(kind: str) -> Maker:
    return lambda half, share: distractor_clips(half, kind, share)


_MAKERS: dict[str, Maker] = {
    "clean": recorded_clips,
    STEADY: _changed(straightened),
    **{f"pink {db:g} dB": _pink(db) for db in PINK_DB},
    **{f"bleed {kind} {db:g} dB": _bleed(kind, db) for db in BLEED_DB for kind in get_args(Bleed)},
    **{f"undertone {db:g} dB": _undertone(db) for db in UNDERTONE_DB},
    "room": _changed(variants.room),
    "clipped": _changed(variants.clipped),
    **{f"hum {hz:g} Hz": _hum(hz) for hz in (50.0, 60.0)},
    "thumps": _changed(variants.thumps),
    "key clicks": _changed(variants.key_clicks),
    AIR_START: _changed(air_start),
    **{f"exact {db:g} dB": _exact(db, False) for db in EXACT_DB},
    **{f"exact vibrato {db:g} dB": _exact(db, True) for db in EXACT_DB},
    **{f"notes {joined}": _notes(joined) for joined in get_args(Joined)},
    **{row: partial(played_clips, row) for row in PLAYED},
    **{f"no note: {kind}": _no_note(kind) for kind in KINDS},
}
