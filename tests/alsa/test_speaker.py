"""The target's sound goes out through real alsa-lib: its samples, its timing, and every fault of an output."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import alsaaudio
import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.alsa_speaker import LATEST_SECONDS, AlsaSpeaker
from airladder.hearing.block import RATE
from airladder.target.timbre import PEAK, tone

World = Callable[[str], None]
Output = Callable[..., Path]
Played = npt.NDArray[np.int16]
CARDS = ", ".join(alsaaudio.cards()) or "none"  # the kernel's, which no configuration hides
CHOOSE = f"choose from alsa:out (sound cards: {CARDS})."


@contextmanager
def opened(device: str = "out", told: list[str] | None = None) -> Iterator[AlsaSpeaker]:
    sentences: list[str] = [] if told is None else told
    speaker = AlsaSpeaker(device, sentences.append)
    speaker.open()
    try:
        yield speaker
    finally:
        speaker.close()


def played(path: Path) -> Played:
    return np.fromfile(path, "<i2")


def wait_for(so: Callable[[], bool], seconds: float = 5.0) -> None:
    until = time.monotonic() + seconds
    while not so():
        assert time.monotonic() < until
        time.sleep(0.005)


def sounds(path: Path) -> bool:
    return path.exists() and bool(played(path).any())


def spoken(sound: Played) -> Played:
    """From the first sample that is not 0 to the last."""
    where = np.flatnonzero(sound)
    return sound[where[0] : where[-1] + 1]


def hz_of(sound: Played) -> float:
    """The strongest frequency, between the bins by a parabola."""
    spectrum = np.log(np.abs(np.fft.rfft(sound * np.hanning(len(sound)))) + 1e-9)
    k = int(spectrum.argmax())
    below, at, above = spectrum[k - 1 : k + 2]
    return float((k + 0.5 * (below - above) / (below - 2 * at + above)) * RATE / len(sound))


def test_alsas_own_file_plugin_gets_the_tone_sample_by_sample(world: World, tmp_path: Path) -> None:
    """The recipe is that of the alsa-lib manual, "Plugin: File"; it takes sound as fast as it comes."""
    path = tmp_path / "tape.raw"
    world(f"""pcm.null {{ type null }}
        pcm.tape {{ type file slave.pcm "null" file "{path}" format "raw" }}""")
    with opened("tape") as speaker:
        speaker.sound(440.0, 1.0)
        wait_for(lambda: path.exists() and path.stat().st_size >= 4 * RATE)  # the tone, and a second of silence
    sound = played(path)
    assert np.abs(sound).max() <= PEAK * 2**15
    assert abs(len(spoken(sound)) - RATE) < 0.05 * RATE  # it began a little late, and ends when it was to end
    expected = np.rint(tone(440.0, 1.0) * 2**15)
    assert np.array_equal(sound[: RATE // 2], expected[: RATE // 2])
    steps = np.abs(np.diff(sound.astype(int)))
    assert steps.max() <= np.abs(np.diff(expected)).max() + 1  # soft at both ends
    assert steps[: RATE // 100].max() < 0.1 * steps.max()


@pytest.mark.parametrize("settings", [{}, {"channels": 2}, {"period": 64}, {"period": 1000}])
def test_a_sound_begins_at_once_whatever_the_form_of_the_card(output: Output, settings: dict[str, int]) -> None:
    path = output(**settings)
    with opened() as speaker:
        began = time.monotonic()
        speaker.sound(330.0, 0.6)
        wait_for(lambda: sounds(path))
        assert time.monotonic() - began < LATEST_SECONDS
        time.sleep(0.8)
    frames = played(path).reshape(-1, settings.get("channels", 1))
    assert np.all(frames == frames[:, :1])  # both sides of a stereo card
    heard = spoken(frames[:, 0])
    assert 0.35 * RATE < len(heard) <= 0.6 * RATE
    assert hz_of(heard) == pytest.approx(330.0, abs=0.3)
    assert np.abs(heard).max() <= PEAK * 2**15


@pytest.mark.parametrize("card", [{"bits": 32, "channels": 2, "period": 640}, {"rate": 44100, "period": 588}])
def test_alsas_own_conversion_may_stand_between(
    world: World, library: Path, tmp_path: Path, card: dict[str, int]
) -> None:
    """In tune within 0.2 cents, which ALSA's change of rate is only where the periods fit (`alsa_out.PIECE`)."""
    path = tmp_path / "converted.raw"
    words = " ".join(f"{key} {value}" for key, value in card.items())
    world(f"""pcm_type.faultyspeaker {{ lib "{library}" }}
        pcm.card {{ type faultyspeaker file "{path}" {words} }}
        pcm.default {{ type plug slave.pcm card }}""")
    with opened("default") as speaker:
        speaker.sound(500.0, 1.5)
        time.sleep(1.8)
    wide = np.fromfile(path, "<i4" if "bits" in card else "<i2")[:: card.get("channels", 1)]
    assert hz_of(spoken(wide)) == pytest.approx(500.0 * RATE / card.get("rate", RATE), rel=1e-4)


def test_a_hush_is_heard_within_a_tenth_of_a_second_and_does_not_click(output: Output) -> None:
    path = output()
    with opened() as speaker:
        speaker.sound(440.0, 30.0)
        wait_for(lambda: path.exists() and path.stat().st_size > RATE)  # half a second
        written = len(played(path))
        speaker.hush()
        time.sleep(0.4)
        sound = played(path)
    last = int(np.flatnonzero(sound)[-1])
    assert (last - written + 2048) / RATE < 0.1  # all of the buffer was still to be heard
    assert not sound[last + 1 :].any()
    steps = np.abs(np.diff(sound.astype(int)))
    assert steps[last - 200 :].max() < 0.5 * steps.max()
    assert steps.max() <= np.abs(np.diff(tone(440.0, 1.0))).max() * 2**15 + 1


def test_a_sound_takes_the_place_of_the_one_before(output: Output) -> None:
    path = output()
    with opened() as speaker:
        speaker.sound(440.0, 30.0)
        time.sleep(0.5)
        for hz in (500.0, 550.0, 660.0):  # the newest counts
            speaker.sound(hz, 0.7)
        time.sleep(0.9)
    sound = played(path)
    changed = int(np.flatnonzero(sound)[-1]) - round(0.5 * RATE)
    assert hz_of(sound[9600:19200]) == pytest.approx(440.0, abs=1.0)
    assert hz_of(sound[changed : changed + 16000]) == pytest.approx(660.0, abs=1.0)
    assert np.abs(sound).max() <= PEAK * 2**15
    assert np.abs(np.diff(sound.astype(int))).max() < 0.03 * 2**15


def test_closing_ends_softly_and_soon(output: Output) -> None:
    path = output()
    speaker = AlsaSpeaker("out")
    speaker.open()
    speaker.sound(440.0, 30.0)
    time.sleep(0.4)
    began = time.monotonic()
    speaker.close()
    assert time.monotonic() - began < 0.3
    sound = played(path)
    last = int(np.flatnonzero(sound)[-1])
    assert len(sound) - last >= 1024  # silence behind it, so that its end was heard
    steps = np.abs(np.diff(sound.astype(int)))
    assert steps[last - 200 :].max() < 0.5 * steps.max()
    speaker.close()
    speaker.sound(440.0, 1.0)  # closed: nobody listens, nobody raises
    speaker.hush()
    assert "speaker" not in [thread.name for thread in threading.enumerate()]


def test_the_card_is_let_go_a_second_after_the_sound_and_taken_again(output: Output) -> None:
    def holds(path: Path) -> bool:
        links = Path("/proc/self/fd")
        return any(os.path.realpath(link) == str(path) for link in links.iterdir())  # noqa: PTH123, RUF100

    path = output()
    with opened() as speaker:
        assert not holds(path)
        for _ in range(2):
            speaker.sound(440.0, 0.3)
            wait_for(lambda: holds(path), 0.5)
            time.sleep(0.6)
            assert holds(path)
            wait_for(lambda: not holds(path), 1.5)


def test_a_busy_card_drops_the_sound_and_sounds_the_next(output: Output, tmp_path: Path) -> None:
    refuse = tmp_path / "refuse"
    path = output(refuse=str(refuse))
    told: list[str] = []
    with opened(told=told) as speaker:
        refuse.write_text("16")
        for _ in range(2):
            speaker.sound(440.0, 1.0)
            time.sleep(0.35)
        assert told == [f"alsa:out is in use by another program: close that program or {CHOOSE}"]  # once
        refuse.unlink()
        time.sleep(0.2)
        assert not sounds(path)  # what could not begin in time is not made up for
        speaker.sound(660.0, 0.5)
        wait_for(lambda: sounds(path))
        assert told[1:] == [""]
        refuse.write_text("16")
        time.sleep(2.0)
        speaker.sound(440.0, 1.0)
        threading.Timer(0.08, refuse.unlink).start()  # free in time
        time.sleep(0.4)
        assert told[2:] == []
    assert hz_of(spoken(played(path))[-9600:]) == pytest.approx(440.0, abs=2.0)


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"unplug_at": 9600}, f"alsa:out has been unplugged: plug it in again or {CHOOSE}"),
        ({"stall_at": 9600}, f"alsa:out has taken no sound for 1 s: unplug it and plug it in again, or {CHOOSE}"),
    ],
    ids=["unplugged", "stalled"],
)
def test_a_fault_in_the_middle_is_told_once_and_the_next_sound_tries_again(
    output: Output, settings: dict[str, int], sentence: str
) -> None:
    output(**settings)
    told: list[str] = []
    with opened(told=told) as speaker:
        speaker.sound(440.0, 30.0)
        wait_for(lambda: sentence in told)
        path = output()
        speaker.sound(550.0, 0.5)
        time.sleep(0.6)
        assert hz_of(spoken(played(path))[-9600:]) == pytest.approx(550.0, abs=3.0)
    assert [each for each in told if each] == [sentence]
    assert told[-1] == ""


def test_an_underrun_is_no_fault(output: Output) -> None:
    path = output(underrun_at=12000)
    told: list[str] = []
    with opened(told=told) as speaker:
        speaker.sound(440.0, 0.8)
        time.sleep(1.0)
    assert told == []
    assert 0.6 * RATE < len(spoken(played(path))) <= 0.8 * RATE


def test_an_output_that_is_always_ready_does_not_run_the_processor_hot(output: Output) -> None:
    output(always_ready=1)
    with opened() as speaker:
        speaker.sound(440.0, 2.0)
        time.sleep(0.1)
        began = time.process_time()
        time.sleep(1.5)
        assert time.process_time() - began < 0.4


def test_a_pitch_that_cannot_be_sounded_is_told_and_raises_nothing(output: Output) -> None:
    path = output()
    told: list[str] = []
    with opened(told=told) as speaker:
        speaker.sound(5000.0, 1.0)
        wait_for(lambda: bool(told))
        speaker.sound(440.0, 0.5)
        wait_for(lambda: sounds(path))
    assert told == ["a tone of 5000 Hz was asked for; wanted 30 to 4000 Hz: choose another pitch.", ""]


def test_no_fault_leaves_a_file_open(output: Output, tmp_path: Path) -> None:
    output(unplug_at=600)
    told: list[str] = []
    with opened(told=told) as speaker:
        counts = []
        for _ in range(8):
            told.clear()
            speaker.sound(440.0, 1.0)
            time.sleep(0.15)
            counts.append(len(list(Path("/proc/self/fd").iterdir())))
    assert counts[1:] == counts[:1] * 7
