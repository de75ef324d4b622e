"""Sound comes through real alsa-lib unchanged, whatever form the device has; a form we cannot use is refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import alsaaudio
import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.alsa import AlsaMicrophone, Form, capture_devices
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block

Air = Callable[[npt.NDArray[np.generic]], Path]
Faulty = Callable[..., None]
NOISE = np.random.default_rng(1).integers(-(2**15), 2**15, RATE, np.int16).astype("<i2")
CARDS = ", ".join(alsaaudio.cards()) or "none"  # the kernel's, which no configuration hides


def heard(microphone: AlsaMicrophone, count: int) -> list[Block]:
    microphone.open()
    try:
        blocks = [microphone.read() for _ in range(count)]
    finally:
        microphone.close()
    return [block for block in blocks if block is not None]


def joined(blocks: list[Block]) -> npt.NDArray[np.float32]:
    return np.concatenate([block.samples for block in blocks])


def test_what_alsas_own_file_plugin_plays_is_read_bit_by_bit(world: Callable[[str], None], air: Air) -> None:
    """The recipe is that of the alsa-lib manual, "Plugin: File"."""
    path = air(NOISE)
    world(f"""pcm.null {{ type null }}
        pcm.tape {{ type file slave.pcm "null" file "/dev/null" infile "{path}" format "raw" }}""")
    tape = AlsaMicrophone("tape")
    blocks = heard(tape, RATE // HOP)
    assert tape.form == Form(rate=48000, format="S16_LE", channels=1, period=256)
    assert np.array_equal(joined(blocks) * 2**15, NOISE[: len(blocks) * HOP])
    assert joined(blocks).dtype == np.float32
    assert [block.sequence for block in blocks] == list(range(RATE // HOP))
    assert blocks[-1].time == pytest.approx(len(blocks) * HOP / RATE)
    assert not any(block.lost for block in blocks)


@pytest.mark.parametrize("period", [64, 256, 300, 1024])
def test_any_period_is_cut_into_blocks_of_256(faulty: Faulty, air: Air, period: int) -> None:
    faulty(air(NOISE), period=period, speed=4)
    microphone = AlsaMicrophone("mic")
    blocks = heard(microphone, 60)
    assert microphone.form == Form(48000, "S16_LE", 1, period)
    assert np.array_equal(joined(blocks) * 2**15, NOISE[: 60 * HOP])
    assert not any(block.lost for block in blocks)


def test_a_device_without_16_bit_is_read_with_32(faulty: Faulty, air: Air) -> None:
    wide = (NOISE.astype("<i4") << 16) + 0x100  # 24 significant bits, as float32 holds them
    faulty(air(wide), bits=32, speed=4)
    microphone = AlsaMicrophone("mic")
    blocks = heard(microphone, 40)
    assert microphone.form == Form(48000, "S32_LE", 1, 256)
    assert np.array_equal(joined(blocks) * 2.0**31, wide[: 40 * HOP])


def test_a_stereo_device_is_mixed_to_mono(faulty: Faulty, air: Air) -> None:
    left, right = NOISE, np.roll(NOISE, 1000)
    faulty(air(np.stack([left, right], axis=1)), channels=2, speed=4)
    microphone = AlsaMicrophone("mic")
    blocks = heard(microphone, 40)
    assert microphone.form == Form(48000, "S16_LE", 2, 256)
    mixed = (left.astype(float) + right) / 2
    assert np.array_equal(joined(blocks) * 2**15, mixed[: 40 * HOP])


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"rate": 44100}, "alsa:mic gives 44100 samples a second, 48000 are wanted"),
        ({"channels": 4}, "alsa:mic gives 4 channels, 1 or 2 are wanted"),
    ],
)
def test_a_device_of_another_form_is_refused(
    faulty: Faulty, air: Air, settings: dict[str, int], sentence: str
) -> None:
    faulty(air(NOISE), **settings)
    whole = re.escape(f"{sentence}: choose from alsa:mic (sound cards: {CARDS}).")
    with pytest.raises(SoundFault, match=f"^{whole}$"):
        AlsaMicrophone("mic").open()


@pytest.mark.parametrize("settings", [{"bits": 32, "channels": 2}, {"bits": 32}, {"channels": 2}])
def test_alsas_own_conversion_may_stand_between(
    world: Callable[[str], None], plugin: Path, air: Air, settings: dict[str, int]
) -> None:
    """As `default` does on most computers: plug in front of the card. The air is the same in both channels."""
    wide = NOISE.astype("<i4") << 16 if "bits" in settings else NOISE
    path = air(np.repeat(wide, settings.get("channels", 1)))
    words = " ".join(f"{key} {value}" for key, value in settings.items())
    world(f"""pcm.card {{ type faultymic file "{path}" {words} }}
        pcm.default {{ type plug slave.pcm card }}""")
    microphone = AlsaMicrophone()
    blocks = heard(microphone, 40)
    assert microphone.form == Form(48000, "S16_LE", 1, 256)
    assert np.abs(joined(blocks) * 2**15 - NOISE[: 40 * HOP]).max() <= 1  # plug rounds when it mixes


def test_a_format_of_no_use_is_named() -> None:
    complaint = Form(rate=48000, format="S24_3LE", channels=1, period=256).complaint()
    assert complaint == "gives samples of the form S24_3LE, S16_LE or S32_LE is wanted"


def test_the_list_of_devices_leaves_out_what_is_no_microphone(world: Callable[[str], None]) -> None:
    world("""pcm.null { type null hint.description "nothing" }
        pcm.room { type null hint.description "a room" }
        pcm.hall { type null hint { description "a hall" } }""")
    assert sorted(capture_devices()) == ["hall", "room"]
