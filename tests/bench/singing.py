"""How far a voice that nobody asked for can be told from the horn: fits the weights, and prints the table.

Corpora: recorded saxophones, as they are and made darker by 4, 8 and 12 dB an octave above 500 Hz, as a horn is that
is blown ever more softly (12 is darker than we know of); recorded choirs, and made voices (`voices`). In quiet and in
pink noise. Halves: by turns of the recorded samples of each instrument, and of the pitches of the made voices.

`python -m bench.singing fit` prints offset and weights as they stand in `hearing/singing.py`, from the tuning half
alone; `tuning` the table of that half, by which the odds of the places were chosen; no word that of the checking
half. Run it in the folder tests, with firmware on the path.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.hearing.singing import WINDOW, VoiceWatch, colour_of
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.pitch import note_hz
from airladder.music.series import Series
from bench.clip import Floats, Half
from bench.noises import pink, rms
from bench.store import seed_of
from saxophones import START_SECONDS, Played, reach, render_many, root, stretch
from voices import AAHS, FORMANTS, OOHS, SYNTH_VOICE, choir, darker, made

DARKER = {"horn": 0.0, "horn, soft": 4.0, "horn, softer": 8.0, "horn, softest": 12.0}
CHOIRS = {"choir aahs": (AAHS, 3), "voice oohs": (OOHS, 6), "synth voice": (SYNTH_VOICE, 6)}  # and keys a sample
QUIET = 60.0
NOISES = (QUIET, 20.0, 10.0)
HIGHEST_HZ = 620.0
NOTICED = 0.03
LOOKS = 3
_JITTER_DB, _COPIES = 3.0, 4  # so that no weight leans on one microphone
_PENALTY = 1e-3


@dataclass(frozen=True, eq=False)
class Sound:
    """One note of what `kind`, of pitch `hz`; `samples`, shape (n,), begin with it."""

    kind: str
    is_voice: bool
    name: str
    hz: float
    samples: Samples


def sounds(half: Half) -> Iterator[Sound]:
    """All notes of one half."""
    yield from _horns(half)
    turn = int(half == "checking")
    for kind, (program, keys) in CHOIRS.items():
        numbers = [n for n in range(40, 80) if n // keys % 2 == turn and note_hz(n) < HIGHEST_HZ]
        for number, samples in zip(numbers, choir(program, numbers), strict=True):
            yield Sound(kind, True, f"{kind} {number}", note_hz(number), samples)
    for place, (vowel, hz) in enumerate((vowel, hz) for vowel in FORMANTS for hz in np.geomspace(85.0, 560.0, 34)):
        if place % 2 == turn:
            yield Sound(f"made {vowel}", True, f"{vowel} {hz:.0f}", float(hz), made(vowel, float(hz), 1.0, place))


def _horns(half: Half) -> Iterator[Sound]:
    for horn in HORNS.values():
        near = [n for n in reach(horn) if abs(stretch(horn, n)) <= 3 and note_hz(n) < HIGHEST_HZ]
        roots = sorted({root(horn, n) for n in near})
        numbers = [n for n in near if roots.index(root(horn, n)) % 2 == int(half == "checking")]
        for number, samples in zip(numbers, render_many([Played(horn, n) for n in numbers]), strict=True):
            for kind, steeper in DARKER.items():
                note = darker(samples[round(START_SECONDS * RATE) :][:RATE], steeper)
                yield Sound(kind, False, f"{horn.name} {number}", note_hz(number), note)


def in_noise(sound: Sound, snr_db: float) -> Samples:
    """The note in pink noise."""
    rng = np.random.default_rng(seed_of(f"{sound.kind} {sound.name}"))
    level = rms(np.asarray(sound.samples, np.float64)) * 10 ** (-snr_db / 20.0)
    return (sound.samples + level * pink(len(sound.samples), rng)).astype(np.float32)


def fitted() -> Floats:
    """Offset and weights by logistic regression on the tuning half, both classes of equal weight; shape (6,)."""
    rng = np.random.default_rng(0)
    rows, voices = [], []
    for sound in sounds("tuning"):
        for snr_db in NOISES:
            noisy = in_noise(sound, snr_db)
            for look in range(1, LOOKS + 1):
                end = round(NOTICED * RATE) + look * WINDOW
                rows += [colour_of(noisy[end - WINDOW : end], sound.hz)] * _COPIES
                voices += [sound.is_voice] * _COPIES
    features, is_voice = np.array(rows), np.array(voices)
    features[:, :-1] += rng.normal(0.0, _JITTER_DB / 10.0, features[:, :-1].shape)
    return _regression(np.column_stack([np.ones(len(features)), features]), is_voice)


def _regression(features: Floats, is_voice: np.ndarray) -> Floats:
    """Newton's method (T. Hastie et al., The Elements of Statistical Learning, 4.4.1), with a small penalty."""
    share = np.where(is_voice, 1.0 / is_voice.sum(), 1.0 / (~is_voice).sum())
    penalty = 2.0 * _PENALTY * np.diag([0.0] + [1.0] * (features.shape[1] - 1))
    weights = np.zeros(features.shape[1])
    for _ in range(30):
        likely = 1.0 / (1.0 + np.exp(-features @ weights))
        slope = features.T @ (share * (likely - is_voice)) + penalty @ weights
        bend = (features.T * (share * likely * (1.0 - likely))) @ features + penalty
        weights -= np.linalg.solve(bend, slope)
    return weights


def place_on(series: Series, hz: float) -> str:
    """Where a pitch lies: below the horn, on a partial, or on none."""
    if hz < note_hz(series.horn.sounding(series.horn.lowest.number), series.a4_hz) * 2.0 ** (-1.0 / 12.0):
        return "below"
    partial, off = series.nearest(hz)
    below, above = series.room_cents(partial)
    return "on" if -below <= off <= above else "off"


def called_voice(samples: Samples, series: Series) -> bool:
    """Whether the note was ever taken for a voice."""
    watch, t, ever = VoiceWatch(series), 0.0, False
    begin = round(NOTICED * RATE)
    for hop in samples[begin : begin + (len(samples) - begin) // HOP * HOP].reshape(-1, HOP):
        t += HOP_SECONDS
        ever = watch.feed(hop, t, -20.0) or ever
    return ever


def table(half: Half) -> Iterator[str]:
    """By kind of sound: how many of each place were called a voice, in quiet and in noise."""
    counts: dict[tuple[str, str, float], list[bool]] = defaultdict(list)
    for sound in sounds(half):
        tubes = _tubes(sound)
        for snr_db in NOISES:
            noisy = in_noise(sound, snr_db)
            for place, series in tubes.items():
                counts[sound.kind, place, snr_db].append(called_voice(noisy, series))
    yield "called a voice, of all  | " + " | ".join(f"{_noise(snr):^20}" for snr in NOISES)
    yield "                        | " + " | ".join(["  on    off    below "] * len(NOISES))
    for kind in dict.fromkeys(kind for kind, _, _ in counts):
        cells = [" ".join(_share(counts[kind, place, snr]) for place in ("on", "off", "below")) for snr in NOISES]
        yield f"{kind:<23} | " + " | ".join(cells)


def _tubes(sound: Sound) -> dict[str, Series]:
    """For each place that the pitch can have, one long tube on which it has it; of a horn's note, its own horn's."""
    horns = [HORNS[sound.name.split()[0]]] if not sound.is_voice else list(HORNS.values())
    tubes = [
        Series(horn, fingering) for horn in horns for fingering in fingerings_of(horn).values() if fingering.long
    ]
    order = np.random.default_rng(seed_of(sound.name)).permutation(len(tubes))
    found: dict[str, Series] = {}
    for tube in (tubes[index] for index in order):
        found.setdefault(place_on(tube, sound.hz), tube)
    return found


def _noise(snr_db: float) -> str:
    return "quiet" if snr_db == QUIET else f"pink noise {snr_db:.0f} dB"


def _share(called: list[bool]) -> str:
    return f"{100.0 * float(np.mean(called)):5.1f}%" if called else "     –"


if __name__ == "__main__":
    if sys.argv[1:] == ["fit"]:
        said = [str(fitted().round(2))]
    else:
        said = list(table("tuning" if sys.argv[1:] == ["tuning"] else "checking"))
    sys.stdout.write("\n".join(said) + "\n")
