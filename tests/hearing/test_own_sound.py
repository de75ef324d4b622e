"""The box's own sound is never taken for the player, and the player is heard again as soon as may be.

The microphone takes in the noise of a room, recorded saxophones (tests/saxophones.py), and the box: `target.timbre`,
late, through the echo of a room, with or without its low end as from a small loudspeaker.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy import signal

from airladder.devices.microphone import Reblocker
from airladder.hearing import own_sound
from airladder.hearing.block import HOP_SECONDS, RATE, Block, Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Event, Sung, Tone
from airladder.hearing.own_sound import OwnSound
from airladder.music.horns import HORNS
from airladder.target import timbre
from listening import attacks, series_of, tones
from saxophones import START_SECONDS, render

ALTO = series_of("alto", "Bb3")
BEGINS = 1.5  # s: when the box is asked to sound
EARPHONES = -200.0


def rms_db(samples: npt.NDArray[np.floating[Any]]) -> float:
    return 10.0 * float(np.log10(np.square(samples, dtype=float).mean() + 1e-20))


def room(seconds: float, dbfs: float, seed: int = 1) -> Samples:
    """Pink noise above 30 Hz."""
    n = round(seconds * RATE)
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal(n))
    spectrum /= np.sqrt(np.maximum(np.arange(len(spectrum)), 30 * seconds))
    noise = np.fft.irfft(spectrum, n)
    return np.asarray(noise * 10 ** ((dbfs - rms_db(noise)) / 20), np.float32)


def leak(hz: float, seconds: float, dbfs: float, *, late: float = 0.1, small: bool = False) -> Samples:
    """The box in the microphone: asked for `seconds`, begun `late`, in a room that dies away by 60 dB in 0.5 s."""
    sound = timbre.tone(hz, seconds - late + 0.1)  # it ends when it was to end, but for a buffer and the air
    if small:
        sound = signal.sosfilt(signal.butter(2, 400.0, "high", fs=RATE, output="sos"), sound)
    n = RATE // 2
    echo = 0.02 * np.random.default_rng(7).standard_normal(n) * 10.0 ** (-3.0 * np.arange(n) / n)
    echo[0] = 1.0
    sound = signal.fftconvolve(sound, echo)
    steady = sound[len(sound) // 3 : len(sound) // 2]
    sound *= 10 ** ((dbfs - rms_db(steady)) / 20)
    return np.concatenate([np.zeros(round(late * RATE)), sound]).astype(np.float32)


def mixed(noise: Samples, *sounds: tuple[float, Samples]) -> Samples:
    """The noise with each sound added from its time on, as far as it lasts."""
    sum_ = noise.copy()
    for t, sound in sounds:
        start = round(t * RATE)
        sum_[start : start + len(sound)] += sound[: len(sum_) - start]
    return sum_


def note(partial: int, dbfs: float, seconds: float = 1.2) -> Samples:
    """A recorded note of the alto at the pitch of that partial, from its beginning on."""
    number = round(69 + 12 * np.log2(ALTO.tempered_hz(partial) / 440.0))
    sound = render(HORNS["alto"], number, seconds)[round(START_SECONDS * RATE) :]
    return np.asarray(sound * 10 ** ((dbfs - rms_db(sound[RATE // 5 : RATE])) / 20), np.float32)


@dataclass
class Night:
    """What came of it."""

    events: list[Event] = field(default_factory=list)
    heard: list[Block] = field(default_factory=list)
    leaks: list[tuple[float, bool | None]] = field(default_factory=list)
    played_over: float | None = None


def listened(blocks: Sequence[Block], words: Sequence[tuple[float, float, float]]) -> Night:
    """The blocks through OwnSound into an Ear. Words are (t, until, hz); until 0 means that it ends at t."""
    own, ear, night, waiting = OwnSound(), Ear(ALTO), Night(), sorted(words)
    for block in blocks:
        heard = own.feed(block)
        if heard is not None:
            night.heard.append(heard)
            night.events += ear.feed(heard)
        if not night.leaks or night.leaks[-1][1] is not own.leaks:
            night.leaks.append((block.time, own.leaks))
        if own.played_over and night.played_over is None:
            night.played_over = block.time
        while waiting and waiting[0][0] <= block.time:
            _, until, hz = waiting.pop(0)
            own.begins(block.time, until, hz) if until else own.ends(block.time)
    night.events += ear.finish()
    return night


def blocks_of(samples: Samples) -> list[Block]:
    return list(Reblocker().blocks(samples))


def times(events: list[Event]) -> list[float]:
    return [event.start if isinstance(event, Tone | Sung) else event.t for event in events]


def test_it_looks_for_what_the_box_sounds() -> None:
    """The two rooms may not import each other; this holds their numbers together."""
    assert len(timbre.WEIGHTS) == own_sound.HARMONICS
    assert own_sound.TOP_HZ == timbre.TOP_HZ


def test_while_nothing_sounds_the_very_block_is_handed_on() -> None:
    own = OwnSound()
    for block in blocks_of(room(1.0, -50.0)):
        assert own.feed(block) is block
    own.ends(1.0)
    assert own.feed(block) is block
    assert (own.leaks, own.played_over) == (None, False)


@pytest.mark.parametrize("small", [False, True], ids=["loudspeaker", "small loudspeaker"])
@pytest.mark.parametrize("partial", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("noise", [-70.0, -50.0])
@pytest.mark.parametrize("level", [-20.0, -30.0, -40.0, -55.0, -65.0, -75.0])
def test_the_ear_says_nothing_of_the_box(level: float, noise: float, partial: int, small: bool) -> None:
    hz, late = ALTO.tempered_hz(partial), 0.05 + 0.03 * partial
    sound = mixed(room(5.0, noise, partial), (BEGINS, leak(hz, 2.0, level, late=late, small=small)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 2.0, hz)])
    assert night.events == []
    assert night.played_over is None
    if level > max(noise - 10.0, -70.0):  # where the Ear would hear it
        assert [leaks for _, leaks in night.leaks] == [None, True]


@pytest.mark.parametrize("level", [-20.0, -40.0, -55.0])
def test_without_this_it_would_be_taken_for_the_player(level: float) -> None:
    """So that the test above cannot pass on sounds that no Ear would hear."""
    sound = mixed(room(4.0, -60.0), (BEGINS, leak(ALTO.tempered_hz(3), 2.0, level)))
    assert any(tone.partial == 3 for tone in tones(listened(blocks_of(sound), []).events))


@pytest.mark.parametrize("partial", [2, 3, 4])
@pytest.mark.parametrize(("level", "pause"), [(-30.0, 0.75), (-45.0, 0.6), (-60.0, 0.5)])
def test_a_note_after_the_tail_is_heard_whole(partial: int, level: float, pause: float) -> None:
    """The pause from the end of the box to the note; the Ear itself wants 0.2 s of quiet before an attack."""
    hz = ALTO.tempered_hz(partial)
    played = (BEGINS + 2.0 + pause, note(partial, -25.0))
    sound = mixed(room(6.0, -65.0), (BEGINS, leak(hz, 2.0, level)), played)
    with_box = listened(blocks_of(sound), [(BEGINS, BEGINS + 2.0, hz)])
    alone = listened(blocks_of(mixed(room(6.0, -65.0), played)), [])
    (tone,), (expected,) = tones(with_box.events), tones(alone.events)
    assert (tone.partial, len(attacks(with_box.events))) == (partial, 1)
    assert tone.attack is not None
    assert expected.attack is not None
    assert tone.attack.kind == expected.attack.kind
    assert tone.start == pytest.approx(expected.start, abs=0.01)
    assert tone.cents == pytest.approx(expected.cents, abs=1.0)


def test_with_earphones_the_player_is_heard_over_the_drone() -> None:
    hz = ALTO.tempered_hz(3)
    sound = mixed(room(8.0, -60.0), (BEGINS + 2.0, note(3, -25.0)), (BEGINS + 4.0, note(3, -25.0)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 60.0, hz)])
    assert [leaks for _, leaks in night.leaks] == [None, False]
    assert night.leaks[1][0] < BEGINS + 0.8
    assert [tone.partial for tone in tones(night.events)] == [3, 3]
    assert [block.lost for block in night.heard].count(True) == 1


def test_the_first_block_after_a_deaf_stretch_is_marked_and_no_other() -> None:
    sound = mixed(room(6.0, -60.0), (BEGINS, leak(440.0, 2.0, -40.0)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 2.0, 440.0)])
    (lost,) = [block for block in night.heard if block.lost]
    assert BEGINS + 2.2 < lost.time < BEGINS + 2.7
    deaf = [later.time - earlier.time for earlier, later in pairwise(night.heard)]
    assert sorted(deaf)[-2] == pytest.approx(HOP_SECONDS)


@pytest.mark.parametrize("above", [15.0, 20.0])
@pytest.mark.parametrize("partial", [2, 3, 4])
def test_who_plays_over_it_is_told_and_not_heard_before_the_hush(partial: int, above: float) -> None:
    hz = ALTO.tempered_hz(3)
    sound = mixed(room(8.0, -65.0), (BEGINS, leak(hz, 30.0, -45.0)), (BEGINS + 2.0, note(partial, -45.0 + above)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 30.0, hz)])
    assert night.played_over is not None
    assert BEGINS + 2.0 < night.played_over < BEGINS + 2.4
    assert night.events == []


def test_who_plays_softer_than_the_box_is_not_told() -> None:
    hz = ALTO.tempered_hz(3)
    sound = mixed(room(8.0, -65.0), (BEGINS, leak(hz, 30.0, -35.0)), (BEGINS + 2.0, note(2, -30.0)))
    assert listened(blocks_of(sound), [(BEGINS, BEGINS + 30.0, hz)]).played_over is None


def test_a_hush_ends_it_early() -> None:
    hz = ALTO.tempered_hz(3)
    ends = BEGINS + 1.5
    sound = mixed(room(6.0, -65.0), (BEGINS, leak(hz, 1.5, -40.0)), (ends + 0.7, note(3, -25.0)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 60.0, hz), (ends, 0.0, 0.0)])
    assert [tone.partial for tone in tones(night.events)] == [3]
    assert len(attacks(night.events)) == 1
    assert min(times(night.events)) > ends + 0.6


@pytest.mark.parametrize("partial", [2, 3])
@pytest.mark.parametrize("level", [-35.0, EARPHONES], ids=["loudspeaker", "earphones"])
def test_a_player_who_joins_in_at_once_does_not_hide_the_box(level: float, partial: int) -> None:
    """On another partial he is told apart at once; on the very pitch only when he stops, and until then unheard."""
    hz = ALTO.tempered_hz(3)
    notes = [(BEGINS + at, note(partial, -22.0, seconds=1.2)) for at in (0.2, 3.2)]
    box = [(BEGINS, leak(hz, 30.0, level))] if level > EARPHONES else []
    night = listened(blocks_of(mixed(room(8.0, -65.0), *box, *notes)), [(BEGINS, BEGINS + 30.0, hz)])
    if level > EARPHONES:
        assert night.leaks[-1][1] is True
        assert night.events == []
        assert night.played_over is not None
    else:
        assert night.leaks[-1][1] is False
        assert tones(night.events)[-1].partial == partial
        assert night.leaks[-1][0] < BEGINS + 2.6


def test_a_player_who_played_before_does_not_hide_the_box() -> None:
    """The note is under way when the box begins; when it ends, the box would be left alone to be heard."""
    hz = ALTO.tempered_hz(3)
    for partial in (2, 3, 4):
        played = (0.2, note(partial, -22.0, seconds=2.4))
        sound = mixed(room(8.0, -65.0), played, (BEGINS, leak(hz, 4.0, -40.0)))
        night = listened(blocks_of(sound), [(BEGINS, BEGINS + 4.0, hz)])
        assert all(t < BEGINS + 2 * HOP_SECONDS for t in times(night.events))
        assert night.leaks[-1][1] is True


def test_another_sound_in_its_place_is_looked_for_anew() -> None:
    """The room is that of before the first; earphones may have been pulled out meanwhile."""
    first, second = ALTO.tempered_hz(3), ALTO.tempered_hz(2)
    sound = mixed(room(8.0, -65.0), (BEGINS + 2.0, leak(second, 2.0, -40.0)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 60.0, first), (BEGINS + 2.0, BEGINS + 4.0, second)])
    assert [leaks for _, leaks in night.leaks] == [None, False, None, True]
    assert night.events == []


def test_it_does_not_judge_across_lost_samples() -> None:
    """Every 0.3 s a piece is lost: it is never known whether it leaks, and so nothing is heard until the end."""
    hz = ALTO.tempered_hz(3)
    blocks = blocks_of(mixed(room(6.0, -65.0), (BEGINS, leak(hz, 2.0, -40.0))))
    torn = [replace(block, lost=block.sequence % 56 == 0) for block in blocks]
    night = listened(torn, [(BEGINS, BEGINS + 2.0, hz)])
    assert [leaks for _, leaks in night.leaks] == [None]
    assert not any(BEGINS + 0.1 < block.time < BEGINS + 2.2 for block in night.heard)
    assert night.heard[-1] is torn[-1]
    assert night.events == []


@pytest.mark.parametrize("jump", [-1000.0, 1000.0], ids=["back", "forth"])
def test_a_clock_that_jumps_does_not_leave_it_deaf(jump: float) -> None:
    blocks = blocks_of(room(6.0, -60.0))
    moved = [replace(block, time=block.time + jump) if block.time > 2.0 else block for block in blocks]
    moved = [replace(b, lost=True) if b.time == moved[round(2.0 / HOP_SECONDS)].time else b for b in moved]
    night = listened(moved, [(BEGINS, BEGINS + 2.0, 440.0)])
    assert night.heard[-1].sequence == blocks[-1].sequence
    assert len(night.heard) > 0.5 * len(blocks)


def test_a_drone_of_a_minute_is_kept_from_the_ear_to_its_end() -> None:
    hz = ALTO.tempered_hz(2)
    sound = mixed(room(66.0, -60.0), (BEGINS, leak(hz, 60.0, -45.0)))
    night = listened(blocks_of(sound), [(BEGINS, BEGINS + 60.0, hz)])
    assert night.events == []
    assert night.played_over is None
    assert [leaks for _, leaks in night.leaks] == [None, True]
    assert night.heard[-1].time > 65.9


def test_a_box_that_begins_with_the_program_is_taken_to_leak() -> None:
    """Nothing is known of the room yet: what is there may be the box."""
    night = listened(blocks_of(room(3.0, -35.0)), [(0.01, 2.0, 440.0)])
    assert night.leaks[1][1] is True
    assert night.events == []
