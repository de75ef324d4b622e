"""What is wrong or odd with a recording is told in one sentence, and nothing that can be used is thrown away."""

from __future__ import annotations

import os
import struct
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.devices.recording import Recording
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE

Maker = Callable[..., Path]
Sound = npt.NDArray[Any]
Siner = Callable[..., Sound]

WANTED = "a WAV or FLAC recording is wanted"


def refused(path: Path | str, sentence: str) -> None:
    """Opening gives exactly this sentence, and exit code 3; a second opening gives it again."""
    recording = Recording(path)
    for _ in range(2):
        with pytest.raises(SoundFault) as told:
            recording.open()
        assert str(told.value) == sentence
        assert told.value.exit_code == 3
    assert recording.read() is None


def heard(path: Path) -> tuple[Sound, list[str]]:
    recording = Recording(path)
    recording.open()
    samples = [block.samples for block in iter(recording.read, None)]
    return np.concatenate(samples), recording.notes


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "takes" / "one.wav"
    refused(path, f"There is no file {path}, and {WANTED}; check how it is spelt.")


def test_a_folder_is_not_a_recording(tmp_path: Path) -> None:
    refused(tmp_path, f"{tmp_path} is a folder, and {WANTED}; name one file in it.")


def test_a_device_is_not_a_recording() -> None:
    refused(
        "/dev/null",
        f"/dev/null is a device or a pipe, and {WANTED}; save the sound first.",
    )


def test_a_name_that_the_system_cannot_have_is_refused_in_one_sentence() -> None:
    name = "a" * 300
    refused(name, f"{name} cannot be read (File name too long), and {WANTED}; copy it again.")


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="the system has no file permissions of this kind")
def test_a_file_that_this_user_may_not_read_says_how_to_allow_it(plain_wav: Maker, sine: Siner) -> None:
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        path = Path(folder) / "locked.wav"
        path.write_bytes(plain_wav(sine()).read_bytes())
        heard(path)  # and by the way load soundfile while we may
        path.chmod(0)
        me = os.geteuid()
        try:
            if me == 0:  # nothing is locked for root
                os.seteuid(65_534)
            refused(
                path,
                f"{path} may not be read by this user, and {WANTED}; allow it with: chmod a+r {path}",
            )
        finally:
            os.seteuid(me)


def test_an_empty_file_is_told_from_a_silent_one(tmp_path: Path) -> None:
    path = tmp_path / "take.wav"
    path.touch()
    refused(path, f"{path} is empty (0 bytes), and {WANTED}; record or copy it again.")


def test_a_header_without_samples_is_refused(plain_wav: Maker, sine: Siner) -> None:
    path = plain_wav(sine()[:0])
    sentence = f"{path} has a header but not one sample, and {WANTED}; record or copy it again."
    refused(path, sentence)
    plain_wav(sine()).write_bytes(plain_wav(sine()).read_bytes()[:44])
    refused(path, sentence)


def test_a_flac_header_without_samples_is_refused(written: Maker, sine: Siner) -> None:
    path = written(sine(), subtype="PCM_16", name="take.flac")
    path.write_bytes(path.read_bytes()[:42])
    refused(
        path,
        f"{path} has a header but not one sample, and {WANTED}; record or copy it again.",
    )


@pytest.mark.parametrize("contents", [b"Dear diary, ", b"\x00" * 40, b"\xff\xfe\xfd" * 9, b"R", b"RIFF0000AVI LIST"])
def test_a_file_that_is_not_sound_is_refused(tmp_path: Path, contents: bytes) -> None:
    path = tmp_path / "diary.wav"
    path.write_bytes(contents * 3)
    refused(
        path,
        f"{path} is no sound in any form that we know, and {WANTED}; convert it or name another.",
    )


@pytest.mark.parametrize(("name", "kept"), [("take.wav", 30), ("take.wav", 4), ("take.flac", 8)])
def test_a_file_that_ends_within_its_header_is_refused(written: Maker, sine: Siner, name: str, kept: int) -> None:
    path = written(sine(), subtype="PCM_16", name=name)
    path.write_bytes(path.read_bytes()[:kept])
    refused(
        path,
        f"{path} has a header that breaks off, is damaged or of a kind that we do not know, and {WANTED};"
        " record or copy it again.",
    )


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), name=st.sampled_from(["take.wav", "take.flac"]))
def test_no_damage_to_a_file_does_worse_than_one_sentence(
    written: Maker, sine: Siner, data: st.DataObject, name: str
) -> None:
    """Any bytes of the first 100 changed, and the end cut off anywhere."""
    path = written(sine(seconds=0.1), subtype="PCM_16", name=name)
    contents = bytearray(path.read_bytes())
    for at, byte in data.draw(st.lists(st.tuples(st.integers(4, 100), st.integers(0, 255)), max_size=3)):
        contents[at] = byte
    path.write_bytes(contents[: data.draw(st.integers(1, len(contents)))])
    with suppress(SoundFault):
        samples, notes = heard(path)
        assert np.isfinite(samples).all()
        assert np.abs(samples).max() <= 1.0
        assert all(note.endswith(".") for note in notes)


@pytest.mark.parametrize("rate", [4_000, 7_999, 192_001, 384_000])
def test_a_rate_beyond_the_limits_is_refused(plain_wav: Maker, sine: Siner, rate: int) -> None:
    path = plain_wav(sine(), rate)
    refused(path, f"{path} has {rate} samples a second, but 8000 to 192000 are wanted; convert it to 48000.")


def test_without_soundfile_the_sentence_says_how_to_get_it(
    plain_wav: Maker, sine: Siner, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = plain_wav(sine())
    monkeypatch.setitem(sys.modules, "soundfile", None)
    with pytest.raises(
        SoundFault, match=r"^Recordings are read with the Python package soundfile, .* pip install so"
    ):
        Recording(path).open()


def test_without_soxr_only_other_rates_are_refused(
    plain_wav: Maker, sine: Siner, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "soxr", None)
    assert len(heard(plain_wav(sine()))[0])
    with pytest.raises(
        SoundFault, match=r"^The recording has 44100 samples a second and 48000 are wanted; to .* soxr"
    ):
        Recording(plain_wav(sine(), 44_100)).open()


@pytest.mark.parametrize(
    ("value", "what"), [(np.nan, r"not a number \(NaN\)"), (np.inf, "infinite or far"), (1e300, "infinite or far")]
)
@pytest.mark.parametrize("rate", [48_000, 44_100])
def test_a_sample_that_is_not_a_number_ends_it_after_all_before_was_given(
    written: Maker, sine: Siner, value: float, what: str, rate: int
) -> None:
    at = 20_000  # beyond the first chunk, and within a block
    sound = np.column_stack([sine(rate), sine(rate)])
    sound[at, 1] = value
    recording = Recording(written(sound, rate, "DOUBLE"))
    recording.open()
    samples: list[Sound] = []
    with pytest.raises(SoundFault, match=rf"has a sample that is {what}.* at {at / rate:.4f} s, and numbers from -1"):
        samples.extend(block.samples for block in iter(recording.read, None))
    given = np.concatenate(samples)
    assert len(given) == -(-at * RATE // (rate * HOP)) * HOP
    if rate == RATE:
        assert np.array_equal(given[:at], sound[:at, 0].astype(np.float32))
    assert recording.read() is None


def test_a_wav_that_breaks_off_is_used_as_far_as_it_goes_and_says_so(plain_wav: Maker, sine: Siner) -> None:
    path = plain_wav(sine())
    path.write_bytes(path.read_bytes()[: 44 + 2 * 24_000 + 1])
    samples, notes = heard(path)
    assert len(samples) == 24_064
    assert np.array_equal(samples[:24_000], np.round(sine()[:24_000] * 2**15) / 2**15)
    assert notes == ["The recording breaks off: 0.50 s of the 2.00 s that it promises were there and used."]


def test_a_flac_that_breaks_off_is_used_to_its_last_whole_frame_and_says_so(written: Maker, sine: Siner) -> None:
    """Noise, so that the middle of the file is the middle of the sound; a frame is 4096 samples (FLAC's default)."""
    noise = np.random.default_rng(3).integers(-(2**14), 2**14, 96_000) / 2**15
    path = written(noise, subtype="PCM_16", name="take.flac")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    samples, notes = heard(path)
    there = int(np.flatnonzero(samples)[-1]) + 1
    assert 48_000 - 2 * 4_096 < there <= 48_000
    assert np.array_equal(samples[:there], noise[:there])
    told = f"The recording breaks off: {there / RATE:.2f} s of the 2.00 s that it promises were there and used."
    assert notes == [told]


def test_a_flac_that_is_damaged_in_the_middle_is_used_up_to_there_and_says_so(written: Maker) -> None:
    """What comes after the damage would stand at the wrong time, so it is left out."""
    noise = np.random.default_rng(3).integers(-(2**14), 2**14, 96_000) / 2**15
    path = written(noise, subtype="PCM_16", name="take.flac")
    contents = bytearray(path.read_bytes())
    contents[len(contents) // 2 : len(contents) // 2 + 200] = bytes(200)
    path.write_bytes(contents)
    samples, notes = heard(path)
    there = int(np.flatnonzero(samples)[-1]) + 1
    assert 48_000 - 2 * 4_096 < there <= 48_000
    assert np.array_equal(samples[:there], noise[:there])
    assert len(notes) == 1
    assert notes[0].startswith("The recording breaks off: ")


@pytest.mark.parametrize("form", ["WAV", "RF64", "WAVEX"])
def test_the_promise_of_each_kind_of_wav_is_known(written: Maker, sine: Siner, tmp_path: Path, form: str) -> None:
    path = tmp_path / "take.wav"
    soundfile.write(path, np.column_stack([sine()] * 3), RATE, format=form, subtype="PCM_24")
    assert heard(path)[1] == []
    path.write_bytes(path.read_bytes()[: path.stat().st_size * 3 // 4])
    assert heard(path)[1] == ["The recording breaks off: 1.50 s of the 2.00 s that it promises were there and used."]


def test_a_chunk_of_odd_length_before_the_sound_does_not_hide_the_promise(plain_wav: Maker, sine: Siner) -> None:
    """A chunk of odd length is followed by one byte that its size does not count (RIFF, 1991)."""
    path = plain_wav(sine())
    old = path.read_bytes()
    path.write_bytes(old[:36] + b"note\x03\x00\x00\x00abc\x00" + old[36 : 44 + 2 * RATE])
    assert heard(path)[1] == ["The recording breaks off: 1.00 s of the 2.00 s that it promises were there and used."]


@pytest.mark.parametrize("size", [0xFFFF_FFFF, 0x7FFF_FFFF - 36])
def test_a_wav_written_to_a_pipe_promises_nothing_and_is_not_called_broken(
    plain_wav: Maker, sine: Siner, size: int
) -> None:
    """Writers that cannot go back leave the largest number in the header."""
    path = plain_wav(sine())
    old = path.read_bytes()
    path.write_bytes(old[:4] + struct.pack("<I", size) + old[8:40] + struct.pack("<I", size) + old[44:])
    samples, notes = heard(path)
    assert len(samples) == 2 * RATE
    assert notes == []


def test_a_flac_of_unknown_length_is_read_to_its_end(written: Maker, sine: Siner) -> None:
    """The 36 bits of the length in STREAMINFO set to 0: unknown (RFC 9639, section 8.2)."""
    path = written(sine(), subtype="PCM_16", name="take.flac")
    old = bytearray(path.read_bytes())
    old[21] &= 0xF0
    old[22:26] = bytes(4)
    path.write_bytes(old)
    samples, notes = heard(path)
    assert len(samples) == 2 * RATE
    assert notes == []
