"""The service waits for its microphone for ever, says so, and goes on in one stream when it is back."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

import alsaaudio
import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.alsa import AlsaMicrophone
from airladder.devices.patience import Patient
from airladder.devices.scripted import ScriptedMicrophone
from airladder.hearing.block import HOP, RATE, Block

Air = Callable[[npt.NDArray[np.generic]], Path]
Faulty = Callable[..., None]
SAMPLES = np.zeros(20 * HOP, np.float32)
MISSING = "there is no microphone alsa:mic: plug it in."
UNPLUGGED = "alsa:mic has been unplugged: plug it in again."
CARDS = ", ".join(alsaaudio.cards()) or "none"
CHOOSE = f"choose from alsa:mic (sound cards: {CARDS})."


def blocks_of(microphone: Patient, count: int) -> list[Block]:
    blocks = [microphone.read() for _ in range(count)]
    return [block for block in blocks if block is not None]


def test_a_missing_microphone_is_tried_again_until_it_is_there() -> None:
    told: list[str] = []
    inner = ScriptedMicrophone(SAMPLES, name="alsa:mic", fails_to_open=4)
    patient = Patient(inner, told.append, shortest=0.02, longest=0.05)
    patient.open()
    began = time.monotonic()
    first = patient.read()
    assert 0.15 < time.monotonic() - began < 1.0  # 0.02 + 0.04 + 0.05 + 0.05
    assert told == [MISSING, ""]
    assert inner.opened == 5
    assert first is not None
    assert (first.sequence, first.lost) == (0, False)  # there was nothing before it that could be lost
    assert 0.15 < first.time < 1.0  # the clock ran while it was waited for
    patient.close()


def test_after_an_outage_the_stream_goes_on_with_a_block_marked_lost() -> None:
    told: list[tuple[str, bool]] = []
    inner = ScriptedMicrophone(SAMPLES, name="alsa:mic", goes_away_at=4 * HOP / RATE)
    patient = Patient(inner, lambda trouble: told.append((trouble, inner.is_open)), shortest=0.2, longest=0.2)
    patient.open()
    blocks = blocks_of(patient, 12)
    assert [block.sequence for block in blocks] == list(range(12))
    assert [block.sequence for block in blocks if block.lost] == [4]
    assert told == [(UNPLUGGED, False), ("", True)]
    steps = np.diff([block.time for block in blocks])
    assert 0.2 < steps[3] < 0.5
    assert np.allclose(np.delete(steps, 3), HOP / RATE)
    patient.close()


def test_a_gap_within_the_inner_stream_stays_marked() -> None:
    patient = Patient(ScriptedMicrophone(SAMPLES, gaps={2 * HOP: 100}), print)
    patient.open()
    assert [block.lost for block in blocks_of(patient, 4)] == [False, False, True, False]
    patient.close()


def test_the_end_of_the_inner_stream_is_the_end() -> None:
    patient = Patient(ScriptedMicrophone(SAMPLES), print)
    assert patient.read() is None  # not yet opened
    patient.open()
    assert len(blocks_of(patient, 25)) == 20
    assert patient.read() is None
    patient.close()


def test_closing_from_another_thread_ends_the_wait_at_once() -> None:
    troubled = threading.Event()
    inner = ScriptedMicrophone(SAMPLES, fails_to_open=1000)
    patient = Patient(inner, lambda _: troubled.set(), shortest=60.0, longest=60.0)
    patient.open()
    blocks: list[Block | None] = []
    reader = threading.Thread(target=lambda: blocks.append(patient.read()))
    reader.start()
    assert troubled.wait(5)
    began = time.monotonic()
    patient.close()
    reader.join(timeout=5)
    assert time.monotonic() - began < 0.5
    assert blocks == [None]
    assert not inner.is_open


def test_it_can_be_opened_again_and_begins_anew() -> None:
    patient = Patient(ScriptedMicrophone(SAMPLES), print)
    for _ in range(2):
        patient.open()
        assert [block.sequence for block in blocks_of(patient, 3)] == [0, 1, 2]
        patient.close()


def test_a_real_device_that_is_busy_then_free_then_unplugged_then_back(
    faulty: Faulty, air: Air, tmp_path: Path
) -> None:
    """All through alsa-lib; the clock of the stream stays within 50 ms of the computer's."""
    refuse = tmp_path / "refuse"
    refuse.write_text("16")
    faulty(air(np.arange(RATE).astype("<i2")), unplug_at=RATE // 4, refuse=str(refuse))
    told: list[str] = []

    def follow(trouble: str) -> None:
        told.append(trouble)
        if "in use" in trouble:
            threading.Timer(0.2, refuse.unlink).start()

    patient = Patient(AlsaMicrophone("mic"), follow, shortest=0.05, longest=0.1)
    patient.open()
    began = time.monotonic()
    blocks = blocks_of(patient, 120)
    assert blocks[-1].time == pytest.approx(time.monotonic() - began, abs=0.05)
    patient.close()
    unplugged = f"alsa:mic has been unplugged: plug it in again or {CHOOSE}"
    assert told == [
        f"alsa:mic is in use by another program: close that program or {CHOOSE}",
        "",
        unplugged,
        "",
        unplugged,
        "",
    ]
    assert [block.sequence for block in blocks] == list(range(120))
    assert [block.lost for block in blocks].count(True) == 2
    assert np.all(np.diff([block.time for block in blocks]) > 0)


def test_a_real_device_is_closed_under_a_waiting_reader(faulty: Faulty, air: Air) -> None:
    faulty(air(np.zeros(RATE, "<i2")), stall_at=2000)
    patient = Patient(AlsaMicrophone("mic"), print)
    patient.open()
    blocks: list[Block | None] = [patient.read()]
    reader = threading.Thread(target=lambda: blocks.extend(iter(patient.read, None)))
    reader.start()
    time.sleep(0.3)
    began = time.monotonic()
    patient.close()
    reader.join(timeout=5)
    assert time.monotonic() - began < 0.5
    assert not reader.is_alive()
    assert len(blocks) == 7  # 1792 frames of 2000: a period of its own each
