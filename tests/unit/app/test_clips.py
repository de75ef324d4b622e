"""Tones are kept as sound where they were, and nothing of it ever holds up the practice."""

from __future__ import annotations

import errno
import io
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.app import clips as room
from airladder.app.clips import KEPT_SECONDS, Clips, clips_bytes
from airladder.devices.flacfile import flac
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Block, Samples
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from unit.journal.conftest import TONE

MUCH = 10**9


def blocks(seconds: float, first: int = 0, lost_at: int = -1) -> Iterator[Block]:
    """Sound in which every sample tells its time: it rises by a step of 2**-23 with each."""
    for n in range(first, round(seconds / HOP_SECONDS)):
        samples = (np.arange(n * HOP, (n + 1) * HOP) / 2**23).astype(np.float32)
        yield Block(samples, n, (n + 1) * HOP_SECONDS, lost=n == lost_at)


def tried(number: int, start: float, end: float) -> Attempt:
    return Attempt(number, end, 3, Outcome.SPOKE, replace(TONE, start=start, end=end))


def sound_of(path: Path) -> tuple[float, float]:
    """When the clip begins and ends, s, told by its own samples; that there is no hole in it is checked."""
    samples, rate = soundfile.read(path, dtype="float64")
    assert rate == RATE
    steps = np.round(samples * 2**23)
    assert np.all(np.diff(steps) == 1)
    return steps[0] / RATE, (steps[-1] + 1) / RATE


def test_a_clip_is_the_tone_and_a_fifth_of_a_second_on_each_side(tmp_path: Path) -> None:
    told: list[str] = []
    clips = Clips(tmp_path / "clips", MUCH, told.append)
    for block in blocks(4.0):
        clips.take(block)
        if block.sequence == round(3.01 / HOP_SECONDS):
            clips.keep("00012", tried(4, 2.0, 3.0))
    clips.close()
    assert [entry.name for entry in (tmp_path / "clips").iterdir()] == ["00012-004.flac"]
    assert sound_of(tmp_path / "clips" / "00012-004.flac") == pytest.approx((1.8, 3.2), abs=HOP_SECONDS)
    assert told == []


def test_other_programs_read_it_with_its_tags(tmp_path: Path) -> None:
    """The decoder of the FLAC project checks its MD5 and its frames; metaflac prints the tags (RFC 9639)."""
    clips = Clips(tmp_path, MUCH, print)
    for block in blocks(4.0):
        clips.take(block)
    clips.keep("00012", tried(4, 2.0, 3.0))
    clips.close()
    path = tmp_path / "00012-004.flac"
    subprocess.run(["flac", "--test", "--warnings-as-errors", path], check=True, capture_output=True)
    show = ["metaflac", "--show-sample-rate", "--show-channels", "--show-bps", str(path)]
    assert subprocess.run(show, check=True, capture_output=True, text=True).stdout.split() == ["48000", "1", "24"]
    tags = subprocess.run(["metaflac", "--export-tags-to=-", path], check=True, capture_output=True, text=True)
    assert {line.partition("=")[0].lower(): line.partition("=")[2] for line in tags.stdout.splitlines()} == {
        "title": "partial 3, -7.2 cents",
        "album": "session 00012",
        "tracknumber": "4",
        "comment": "session=00012 try=4 partial=3 cents=-7.2",
    }


def test_of_a_tone_longer_than_the_sound_that_is_held_the_end_is_kept(tmp_path: Path) -> None:
    clips = Clips(tmp_path, MUCH, print)
    for block in blocks(70.0):
        clips.take(block)
    clips.keep("1", tried(1, 1.0, 69.0))
    clips.close()
    assert sound_of(tmp_path / "1-001.flac") == pytest.approx((70.0 - KEPT_SECONDS, 69.2), abs=HOP_SECONDS)


@pytest.mark.parametrize(("gap", "begin", "end"), [(1.9, 1.9, 3.2), (3.1, 1.8, 3.1)])
def test_nothing_from_beyond_a_gap_is_joined_to_a_tone(gap: float, begin: float, end: float, tmp_path: Path) -> None:
    clips = Clips(tmp_path, MUCH, print)
    for block in blocks(4.0, lost_at=round(gap / HOP_SECONDS)):
        clips.take(block)
    clips.keep("1", tried(1, 2.0, 3.0))
    clips.close()
    assert sound_of(tmp_path / "1-001.flac") == pytest.approx((begin, end), abs=HOP_SECONDS)


def test_a_try_in_which_nothing_sounded_has_no_clip(tmp_path: Path) -> None:
    clips = Clips(tmp_path / "clips", MUCH, print)
    clips.keep("1", Attempt(1, 1.0, 3, Outcome.NOTHING, None))
    clips.close()
    assert not (tmp_path / "clips").exists()


def kept_with(clips: Clips, tries: int, between: float = 0.0) -> None:
    for block in blocks(2.0 + tries):
        clips.take(block)
    for number in range(1, tries + 1):
        clips.keep("1", tried(number, number, number + 0.5))
        clips.take(Block(np.zeros(HOP, np.float32), 0, 2.0 + tries))
        time.sleep(between)


def test_when_the_folder_holds_what_it_may_no_more_is_kept_and_it_is_said_once(tmp_path: Path) -> None:
    told: list[str] = []
    size = len(flac(np.concatenate([block.samples for block in blocks(0.9)]), {}))
    (tmp_path / "old.flac").write_bytes(b"x" * size)
    clips = Clips(tmp_path, 4 * size, told.append)
    kept_with(clips, 9, 0.02)
    clips.close()
    assert 2 * size < clips_bytes(tmp_path) <= 4 * size
    (sentence,) = told
    assert sentence.startswith(f"The clips in {tmp_path} hold as much as they may (")
    assert sentence.endswith("take some away, or allow more with clips_mb.")


def test_the_last_of_the_disk_is_left_to_the_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    monkeypatch.setattr(room, "SPARE_BYTES", 2**60)
    clips = Clips(tmp_path, MUCH, told.append)
    kept_with(clips, 2)
    clips.close()
    assert list(tmp_path.iterdir()) == []
    assert told == [f"The disk has no room for clips, so no more tones are kept as sound in {tmp_path}: make some."]


def test_a_disk_that_becomes_full_is_said_and_leaves_no_half_clip(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fill(path: Path, content: bytes) -> int:
        with path.open("wb") as file:
            file.write(content[:100])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    told: list[str] = []
    monkeypatch.setattr(Path, "write_bytes", fill)
    clips = Clips(tmp_path, MUCH, told.append)
    kept_with(clips, 3)
    clips.close()
    assert list(tmp_path.iterdir()) == []
    assert len(told) == 1
    assert told[0].startswith("The disk has no room for clips")


def test_a_folder_that_cannot_be_is_said(tmp_path: Path) -> None:
    told: list[str] = []
    (tmp_path / "file").write_text("in the way")
    clips = Clips(tmp_path / "file" / "clips", MUCH, told.append)
    kept_with(clips, 2)
    clips.close()
    (sentence,) = told
    assert sentence.startswith(
        f"Tones cannot be kept as sound in {tmp_path / 'file' / 'clips'} (Not a directory); it"
    )


def test_a_disk_that_does_not_answer_holds_up_nobody(tmp_path: Path) -> None:
    """As many seconds of sound wait as are held at all; what comes then is missed, and that is said."""
    stuck, told = threading.Event(), list[str]()

    def encode(samples: Samples, tags: Mapping[str, str]) -> bytes:
        assert stuck.wait(10.0)
        return b"clip"

    clips = Clips(tmp_path, MUCH, told.append, encode=encode)
    for block in blocks(50.0):
        clips.take(block)
    began = time.monotonic()
    for number in range(1, 6):
        clips.keep("1", tried(number, 10.0, 49.0))
        clips.take(Block(np.zeros(HOP, np.float32), 0, 50.0))
    clips.close(timeout=0.1)
    assert time.monotonic() - began < 2.0
    stuck.set()
    clips.close()
    assert [entry.name for entry in tmp_path.iterdir()] == ["1-001.flac"]
    assert told == [f"The disk under {tmp_path} is too slow for clips of tones, and some are missed."]


def test_without_soundfile_it_is_said_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    monkeypatch.setitem(sys.modules, "soundfile", None)
    clips = Clips(tmp_path, MUCH, told.append)
    kept_with(clips, 1)
    clips.close()
    assert told[0].startswith("Clips are written with the Python package soundfile, which cannot be used here")


def test_what_a_killed_program_left_is_taken_away(tmp_path: Path) -> None:
    (tmp_path / ".00012-004.flac.part").write_bytes(b"half")
    Clips(tmp_path, MUCH, print).close()
    assert list(tmp_path.iterdir()) == []


@settings(deadline=None)  # the first one imports soundfile
@given(samples=st.lists(st.floats(-2.0, 2.0, width=32), min_size=1, max_size=600))
def test_flac_gives_back_every_sample_to_24_bits(samples: list[float]) -> None:
    """What is too loud is cut off at full scale, and does not come round at the other side."""
    sound = np.array(samples, np.float32)
    back, rate = soundfile.read(io.BytesIO(flac(sound, {})), dtype="float64")
    assert rate == RATE
    assert np.abs(back - np.clip(sound, -1.0, 1.0)).max() <= 2**-23
