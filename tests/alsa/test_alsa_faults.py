"""Every fault of a sound card, end to end through real alsa-lib: the mark on the block or the very sentence."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import alsaaudio
import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.alsa import AlsaMicrophone
from airladder.devices.clock import Clock
from airladder.faults import SoundFault
from airladder.hearing.block import RATE, Block

Air = Callable[[npt.NDArray[np.generic]], Path]
Faulty = Callable[..., None]
ROOT = Path(__file__).parents[2]
# Every sample says where in the air it stands (modulo 65536), so that the truth about a gap can be read off.
RAMP = np.arange(20 * RATE).astype("<i2")
CARDS = ", ".join(alsaaudio.cards()) or "none"
CHOOSE = f"choose from alsa:mic (sound cards: {CARDS})."


def exactly(sentence: str) -> str:
    return f"^{re.escape(sentence)}$"


def true_end(block: Block) -> float:
    """The time of the air at the end of a block of the ramp, the full turn of the ramp nearest to what it says."""
    frame = round(float(block.samples[-1]) * 2**15) + 1
    return (frame + 65536 * round((block.time * RATE - frame) / 65536)) / RATE


def open_files() -> int:
    return len(os.listdir("/proc/self/fd"))  # noqa: PTH208


def read_to_the_end(microphone: AlsaMicrophone) -> None:
    while microphone.read():
        pass


def read(microphone: AlsaMicrophone) -> Block:
    block = microphone.read()
    assert block is not None
    return block


def test_an_overrun_marks_the_next_block_and_the_times_stay_true(faulty: Faulty, air: Air) -> None:
    faulty(air(RAMP), overrun_at=8000)
    microphone = AlsaMicrophone("mic")
    microphone.open()
    blocks = [read(microphone) for _ in range(60)]
    microphone.close()
    lost = [block.sequence for block in blocks if block.lost]
    assert len(lost) == 1
    assert 0 < lost[0] <= 31
    assert all(np.all(np.diff(np.rint(block.samples * 2**15).astype("<i2")) == 1) for block in blocks)
    assert all(abs(block.time - true_end(block)) < 0.05 for block in blocks)


def test_a_reader_who_comes_late_is_told_what_was_lost(faulty: Faulty, air: Air) -> None:
    """A true overrun: the plug-in's buffer of 43 ms runs over while nobody reads."""
    faulty(air(RAMP), periods=8)
    microphone = AlsaMicrophone("mic")
    microphone.open()
    for _ in range(3):
        for _ in range(10):
            block = read(microphone)
        before = block
        time.sleep(0.3)
        while not block.lost:
            block = read(microphone)
        assert block.time - before.time > 0.25
        assert abs(block.time - true_end(block)) < 0.05
    microphone.close()


def test_an_unplugged_device_is_told_and_can_be_opened_again(faulty: Faulty, air: Air) -> None:
    faulty(air(RAMP), unplug_at=3000)
    microphone = AlsaMicrophone("mic")
    for _ in range(2):
        microphone.open()
        with pytest.raises(SoundFault, match=exactly(f"alsa:mic has been unplugged: plug it in again or {CHOOSE}")):
            read_to_the_end(microphone)
        microphone.close()


def test_a_device_that_falls_silent_is_given_up_after_2_seconds(
    faulty: Faulty, air: Air, hasty_clock: Callable[[int], Clock]
) -> None:
    faulty(air(RAMP), stall_at=9600, speed=4)
    microphone = AlsaMicrophone("mic", hasty_clock(4))
    microphone.open()
    sentence = f"no sound has come from alsa:mic for 2 s: unplug it and plug it in again, or {CHOOSE}"
    began = time.monotonic()
    with pytest.raises(SoundFault, match=exactly(sentence)):
        read_to_the_end(microphone)
    assert 0.5 < time.monotonic() - began < 1.5  # of our time; four times that of the clock
    microphone.close()


def test_a_device_that_never_begins_is_given_up_too(
    faulty: Faulty, air: Air, hasty_clock: Callable[[int], Clock]
) -> None:
    faulty(air(RAMP), stall_at=1)
    microphone = AlsaMicrophone("mic", hasty_clock(10))
    microphone.open()
    with pytest.raises(SoundFault, match=r"^no sound has come from alsa:mic for 2 s"):
        microphone.read()
    microphone.close()


def test_a_device_that_does_nothing_but_overrun_is_given_up_too(
    faulty: Faulty, air: Air, hasty_clock: Callable[[int], Clock]
) -> None:
    faulty(air(RAMP), overrun_at=-1)
    microphone = AlsaMicrophone("mic", hasty_clock(10))
    microphone.open()
    with pytest.raises(SoundFault, match=r"^no sound has come from alsa:mic for 2 s"):
        microphone.read()
    microphone.close()


def test_a_plugin_that_is_always_ready_does_not_run_the_processor_hot(faulty: Faulty, air: Air) -> None:
    faulty(air(RAMP), stall_at=2000, always_ready=1)
    microphone = AlsaMicrophone("mic")
    microphone.open()
    began = time.process_time()
    with pytest.raises(SoundFault, match=r"^no sound has come"):
        read_to_the_end(microphone)
    assert time.process_time() - began < 0.6  # of 2 s
    microphone.close()


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        (2, f"there is no microphone alsa:mic: plug it in or {CHOOSE}"),
        (19, f"there is no microphone alsa:mic: plug it in or {CHOOSE}"),
        (16, f"alsa:mic is in use by another program: close that program or {CHOOSE}"),
        (13, f"alsa:mic may not be used by this user: add the user to the group audio or {CHOOSE}"),
        (5, f"alsa:mic fails, ALSA says 'Input/output error': {CHOOSE}"),
    ],
    ids=["no entry", "no device", "busy", "not allowed", "unknown"],
)
def test_a_device_that_refuses_says_why(faulty: Faulty, air: Air, tmp_path: Path, code: int, sentence: str) -> None:
    refuse = tmp_path / "refuse"
    refuse.write_text(str(code))
    faulty(air(RAMP), refuse=str(refuse))
    microphone = AlsaMicrophone("mic")
    with pytest.raises(SoundFault, match=exactly(sentence)) as caught:
        microphone.open()
    assert caught.value.exit_code == 3
    refuse.unlink()
    microphone.open()
    assert read(microphone).sequence == 0
    microphone.close()


def test_a_name_that_alsa_does_not_know_is_missing(
    faulty: Faulty, air: Air, capfd: pytest.CaptureFixture[str]
) -> None:
    faulty(air(RAMP))
    for name in ("nosuch", "hw:CARD=nosuch", ""):
        sentence = f"there is no microphone alsa:{name}: plug it in or {CHOOSE}"
        with pytest.raises(SoundFault, match=exactly(sentence)):
            AlsaMicrophone(name).open()
    assert capfd.readouterr() == ("", "")  # alsa-lib's own complaints would stand here


def test_with_no_device_at_all_a_recording_is_proposed(world: Callable[[str], None]) -> None:
    world("")
    choose = f"play a recording, as ALSA finds no microphone here (sound cards: {CARDS})."
    with pytest.raises(SoundFault, match=exactly(f"there is no microphone alsa:default: plug it in or {choose}")):
        AlsaMicrophone().open()


def test_closing_from_another_thread_ends_a_waiting_read(faulty: Faulty, air: Air) -> None:
    faulty(air(RAMP), stall_at=1)
    microphone = AlsaMicrophone("mic")
    microphone.open()
    blocks: list[Block | None] = []
    reader = threading.Thread(target=lambda: blocks.append(microphone.read()))
    reader.start()
    time.sleep(0.05)
    began = time.monotonic()
    microphone.close()
    reader.join(timeout=5)
    assert time.monotonic() - began < 0.5
    assert blocks == [None]
    microphone.close()


def test_no_fault_leaves_a_file_open(faulty: Faulty, air: Air) -> None:
    path = air(RAMP)
    faulty(path, unplug_at=600, speed=10)
    AlsaMicrophone("mic").open()  # whatever alsa-lib opens once and for all
    before = open_files()
    for _ in range(20):
        microphone = AlsaMicrophone("mic")
        microphone.open()
        with pytest.raises(SoundFault):
            read_to_the_end(microphone)
        microphone.close()
    faulty(path, rate=44100)
    kept = []  # an exception that somebody keeps must not keep the device
    for name in ["mic", "nosuch"] * 10:
        with pytest.raises(SoundFault) as caught:
            AlsaMicrophone(name).open()
        kept.append(caught)
    assert open_files() == before


MISSING = "alsa:mic needs pyalsaaudio, which is for Linux only and is not installed here: pip install pyalsaaudio"
OLD = "alsa:mic needs pyalsaaudio 0.11 or newer, the one installed here is older: pip install --upgrade pyalsaaudio"


@pytest.mark.parametrize(
    ("disguise", "sentence"),
    [("None", MISSING), ("types.SimpleNamespace(PCM=object)", OLD)],
    ids=["missing", "old"],
)
def test_a_computer_without_a_fitting_pyalsaaudio_gives_one_sentence(disguise: str, sentence: str) -> None:
    program = f"""
import sys, types
sys.modules["alsaaudio"] = {disguise}
from airladder.devices.alsa import AlsaMicrophone
from airladder.faults import SoundFault
try:
    AlsaMicrophone("mic").open()
except SoundFault as fault:
    print(fault)
"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "firmware")}
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout == f"{sentence}, or play a recording.\n"
