"""The whole program on a sound card made by a plug-in: real alsa-lib and pyalsaaudio, our threads, log at the end."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt

from additive.note import Note
from airladder.app.order import Done, Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings
from airladder.devices.keys import NoKeys
from airladder.hearing.block import RATE
from airladder.journal.log import Reader
from airladder.pages.box import Box
from airladder.panel.debounce import Edge
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.state import State
from climbing import climb
from stage import FixedDate, KeptPictures, ended, take

Faulty = Callable[..., None]
Air = Callable[[npt.NDArray[np.generic]], Path]
Post = Callable[[Press | Edge], None]


def sixteen_bit(*notes: Note, pause: float) -> npt.NDArray[np.int16]:
    samples: npt.NDArray[np.int16] = np.round(32767 * take(Settings(), *notes, pause=pause)).astype("<i2")
    return samples


def until(enough: Callable[[State], bool], display: KeptPictures, tmp_path: Path) -> Done:
    """Practise with `alsa:mic`; the player leaves by a long press as soon as the state is `enough`."""
    posts: list[Post] = []

    def hands(post: Post) -> NoKeys:
        posts.append(post)
        return NoKeys()

    def watch(box: Box) -> None:
        if box.session is not None and enough(box.session):
            posts[0](Press(Button.BACK, True, 0.0))

    order = Order(Settings(), climb(Settings().series), "alsa:mic", tmp_path / "log.sqlite")
    return practise(order, Outside(display, hands, watch, FixedDate()))


def test_listening_to_alsas_own_file_plugin_names_the_partials(world: Callable[[str], None], air: Air) -> None:
    """The plug-in repeats the last period for ever, so the listener has had enough after two tones (Ctrl-C)."""
    path = air(sixteen_bit(Note(1, seconds=0.8), Note(2, seconds=0.8), pause=0.5))
    world(f"""pcm.null {{ type null }}
        pcm.tape {{ type file slave.pcm "null" file "/dev/null" infile "{path}" format "raw" }}""")
    words = [sys.executable, "-m", "airladder", "listen", "alsa:tape", "--json"]
    tones: list[dict[str, object]] = []
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=os.environ
    ) as listener:
        assert listener.stdout is not None
        assert listener.stderr is not None
        while len(tones) < 2 and (line := listener.stdout.readline()):
            tones += [event for event in [json.loads(line)] if event["event"] == "tone"]
        listener.send_signal(signal.SIGINT)
        listener.stdout.read()
        assert listener.stderr.read() == ""
    assert [tone["partial"] for tone in tones] == [1, 2]
    assert listener.returncode == 0


def test_a_practice_on_a_sound_card_is_heard_judged_and_kept(faulty: Faulty, air: Air, tmp_path: Path) -> None:
    faulty(air(sixteen_bit(Note(1, seconds=0.8), Note(2, seconds=0.8), pause=0.4)))
    display = KeptPictures()
    done = until(lambda state: state.kept == 2, display, tmp_path)
    assert [(attempt.wanted, attempt.outcome) for attempt in ended(done).attempts] == [
        (1, Outcome.SPOKE),
        (2, Outcome.SPOKE),
    ]
    assert done.faults == ()
    assert len(display.pictures) > 10


def test_an_overrun_in_a_note_is_not_scored_across(faulty: Faulty, air: Air, tmp_path: Path) -> None:
    faulty(air(sixteen_bit(Note(1, crack=(2, 0.5), seconds=1.5), pause=0.4)), overrun_at=round(0.7 * RATE))
    done = until(lambda state: bool(state.attempts), KeptPictures(), tmp_path)
    (attempt,) = ended(done).attempts
    assert attempt.tone is not None
    assert attempt.tone.attack is None
    assert attempt.tone.start > 0.7


def test_an_unplugged_microphone_is_said_on_the_screen(faulty: Faulty, air: Air, tmp_path: Path) -> None:
    faulty(air(sixteen_bit(Note(1), pause=0.4)), unplug_at=round(0.6 * RATE))
    display = KeptPictures()
    done = until(lambda state: bool(state.trouble), display, tmp_path)
    assert "unplugged" in ended(done).trouble
    assert done.faults == ()
    assert display.pictures


def test_a_service_told_to_end_keeps_what_was_played(faulty: Faulty, air: Air, tmp_path: Path) -> None:
    faulty(air(sixteen_bit(Note(1, seconds=0.8), pause=0.4)))
    words = ["play", "partials rising", "alsa:mic", "--log", str(tmp_path / "log.sqlite")]
    with subprocess.Popen(
        [sys.executable, "-m", "airladder", *words], stdout=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True
    ) as service:
        assert service.stdout is not None
        assert service.stdout.readline().startswith("partial 1, B♭3: spoke")
        service.send_signal(signal.SIGTERM)
        rest = service.stdout.read()
    assert service.returncode == 0
    assert "reached 1 of 1 try" in rest
    with Reader(tmp_path / "log.sqlite") as log:
        assert [session.tries for session in log.sessions()] == [1]
