"""What an output of alsa-lib is refused for when it is opened, and which outputs there are to choose from."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import alsaaudio
import pytest

from airladder.devices.alsa_speaker import AlsaSpeaker
from airladder.devices.alsalib import playback_devices
from airladder.faults import SoundFault

World = Callable[[str], None]
Output = Callable[..., Path]
CARDS = ", ".join(alsaaudio.cards()) or "none"  # the kernel's, which no configuration hides
CHOOSE = f"choose from alsa:out (sound cards: {CARDS})."


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"rate": 44100}, "alsa:out takes 44100 samples a second, 48000 are wanted"),
        ({"channels": 6}, "alsa:out takes 6 channels, 1 or 2 are wanted"),
        ({"bits": 32}, "alsa:out takes samples of the form S32_LE, S16_LE is wanted"),
    ],
)
def test_an_output_of_another_form_is_refused(output: Output, settings: dict[str, int], sentence: str) -> None:
    output(**settings)
    with pytest.raises(SoundFault, match=f"^{re.escape(f'{sentence}: {CHOOSE}')}$"):
        AlsaSpeaker("out").open()


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        (19, f"there is no sound output alsa:out: plug it in or {CHOOSE}"),
        (16, f"alsa:out is in use by another program: close that program or {CHOOSE}"),
        (13, f"alsa:out may not be used by this user: add the user to the group audio or {CHOOSE}"),
        (5, f"alsa:out fails, ALSA says 'Input/output error': {CHOOSE}"),
    ],
)
def test_an_output_that_refuses_says_why(output: Output, tmp_path: Path, code: int, sentence: str) -> None:
    refuse = tmp_path / "refuse"
    refuse.write_text(str(code))
    output(refuse=str(refuse))
    with pytest.raises(SoundFault, match=f"^{re.escape(sentence)}$") as caught:
        AlsaSpeaker("out").open()
    assert caught.value.exit_code == 3


def test_with_no_output_at_all_the_practice_goes_on_without(world: World, capfd: pytest.CaptureFixture[str]) -> None:
    world("")
    choose = f"practise without hearing the target, as ALSA finds no output here (sound cards: {CARDS})."
    sentence = f"there is no sound output alsa:default: plug it in or {choose}"
    with pytest.raises(SoundFault, match=f"^{re.escape(sentence)}$"):
        AlsaSpeaker().open()
    assert capfd.readouterr() == ("", "")


def test_the_list_of_outputs_leaves_out_what_is_none(world: World) -> None:
    world("""pcm.null { type null hint.description "nothing" }
        pcm.box { type null hint.description "a box" }
        pcm.hall { type null hint { description "a hall" } }""")
    assert sorted(playback_devices()) == ["box", "hall"]
