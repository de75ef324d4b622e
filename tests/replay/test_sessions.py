"""The whole program on whole recordings: what was played is what stands in the log."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from additive.note import Note
from airladder.config import Settings, checked
from airladder.devices.paced import Paced
from airladder.devices.scripted import ScriptedMicrophone
from airladder.faults import SoundFault
from airladder.hearing.block import RATE
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase
from stage import FixedDate, Stage, ended, take

ALTO = Settings()
CLIMB = [Note(1), Note(2, kind="air"), Note(2), Note(3), Note(4, crack=(3, 0.2)), Note(6), Note(5), Note(6)]


def outcomes(stage: Stage, log: str = "log.sqlite") -> list[tuple[int, str]]:
    (session,) = stage.logged(log)
    return [(attempt.wanted, attempt.outcome.value) for attempt in session.attempts]


def recorded(path: Path, samples: np.ndarray, rate: int = RATE) -> str:
    soundfile.write(path, samples, rate, subtype="PCM_24")
    return str(path)


def test_the_demo_is_played_judged_kept_and_called_invented(stage: Stage) -> None:
    done = stage.play("demo")
    (session,) = stage.logged()
    assert session.head.invented
    assert session.head.source == "demo"
    assert done.faults == ()
    assert ended(done).phase is Phase.DONE
    assert session.attempts == ended(done).attempts
    # The script of the invented player: one wrong partial, one crack, one split, each put right.
    assert outcomes(stage) == [
        (1, "spoke"),
        (2, "spoke"),
        (3, "other"),
        (3, "spoke"),
        (4, "cracked"),
        (5, "split"),
        (5, "spoke"),
        (6, "spoke"),
    ]
    tones = [attempt.tone for attempt in session.attempts]
    assert [tone.attack.kind for tone in tones[:2] if tone and tone.attack] == ["tongued", "air"]


@pytest.mark.parametrize(("horn", "fingering"), [("soprano", "D4"), ("tenor", "Bb3"), ("baritone", "Bb3")])
def test_the_demo_of_another_horn_comes_to_its_end_with_every_rung_reached(
    stage: Stage, horn: str, fingering: str
) -> None:
    done = stage.play("demo", settings=checked({"horn": horn, "fingering": fingering}, "test"))
    assert ended(done).phase is Phase.DONE
    found = outcomes(stage)
    assert [wanted for wanted, outcome in found if outcome in ("spoke", "cracked")] == [1, 2, 3, 4, 5, 6]
    assert {(3, "other"), (4, "cracked"), (5, "split")} <= set(found)


def test_the_same_recording_gives_the_same_log_again(stage: Stage, tmp_path: Path) -> None:
    source = recorded(tmp_path / "climb.wav", take(ALTO, *CLIMB))
    presses = (Press(Button.UP, False, 30.0), Press(Button.FOOT, False, 31.0))
    for log in ("one.sqlite", "two.sqlite"):
        stage.play(source, log, presses=presses)
    assert stage.logged("one.sqlite") == stage.logged("two.sqlite")
    assert len(stage.logged("one.sqlite")[0].attempts) >= 6


def test_a_recorded_climb_is_judged_rung_by_rung(stage: Stage, tmp_path: Path) -> None:
    stage.play(recorded(tmp_path / "climb.flac", take(ALTO, *CLIMB)))
    assert outcomes(stage) == [
        (1, "spoke"),
        (2, "spoke"),
        (3, "other"),
        (3, "spoke"),
        (4, "cracked"),
        (5, "other"),
        (5, "spoke"),
        (6, "spoke"),
    ]


@pytest.mark.parametrize("rate", [22_050, 44_100, 96_000])
def test_the_rate_of_a_recording_does_not_matter(stage: Stage, tmp_path: Path, rate: int) -> None:
    import soxr

    samples = soxr.resample(take(ALTO, Note(1), Note(2)), RATE, rate)
    stage.play(recorded(tmp_path / "take.wav", samples, rate))
    assert outcomes(stage) == [(1, "spoke"), (2, "spoke")]


@pytest.mark.parametrize(("horn", "fingering"), [("soprano", "D4"), ("tenor", "B3"), ("baritone", "A3")])
def test_other_horns_and_fingerings_are_practised_alike(
    stage: Stage, tmp_path: Path, horn: str, fingering: str
) -> None:
    settings = checked({"horn": horn, "fingering": fingering}, "test")
    notes = [Note(partial) for partial in range(1, 7)]
    stage.play(recorded(tmp_path / "take.wav", take(settings, *notes)), settings=settings)
    assert outcomes(stage) == [(partial, "spoke") for partial in range(1, 7)]


def test_presses_repeat_and_skip(stage: Stage, tmp_path: Path) -> None:
    """Two fundamentals: after the first the player asks for it again, after the second skips partial 2."""
    source = recorded(tmp_path / "take.wav", take(ALTO, Note(1), Note(1), Note(3)))
    presses = (Press(Button.OK, False, 5.5), Press(Button.UP, False, 12.0))
    stage.play(source, presses=presses)
    assert outcomes(stage) == [(1, "spoke"), (1, "spoke"), (3, "spoke")]


def test_leaving_ends_the_session_and_keeps_what_was_played(stage: Stage, tmp_path: Path) -> None:
    source = recorded(tmp_path / "take.wav", take(ALTO, Note(1), Note(2), Note(3)))
    done = stage.play(source, presses=(Press(Button.BACK, True, 6.0),))
    assert ended(done).phase is Phase.OVER
    assert outcomes(stage) == [(1, "spoke")]


def test_a_session_in_which_nothing_sounds_leaves_no_trace(stage: Stage, tmp_path: Path) -> None:
    done = stage.play(recorded(tmp_path / "quiet.wav", np.zeros(30 * RATE, np.float32)))
    assert ended(done).attempts == ()
    assert not stage.logged() if (tmp_path / "log.sqlite").exists() else True
    assert done.notes != ()


def test_what_was_played_before_a_bad_sample_is_kept(stage: Stage, tmp_path: Path) -> None:
    samples = take(ALTO, Note(1), Note(2))
    samples[-RATE] = np.nan
    soundfile.write(tmp_path / "torn.wav", samples, RATE, subtype="FLOAT")
    done = stage.play(str(tmp_path / "torn.wav"))
    assert outcomes(stage) == [(1, "spoke"), (2, "spoke")]
    (fault,) = done.faults
    assert isinstance(fault, SoundFault)


def test_a_note_with_a_gap_in_it_is_not_scored_across_the_gap(stage: Stage) -> None:
    """Samples are lost in the middle of a crack: what is told is only what was heard after them."""
    samples = take(ALTO, Note(1, crack=(2, 0.5), seconds=2.0))
    middle = round(3.4 * RATE)
    microphone = ScriptedMicrophone(samples, live=False, gaps={middle: RATE // 10})
    stage.play("alsa:scripted", opened=lambda word, clock: microphone)
    (session,) = stage.logged()
    (attempt,) = session.attempts
    assert attempt.tone is not None
    assert attempt.tone.attack is None
    assert attempt.tone.start >= 3.4
    assert attempt.tone.speak_ms is None


def test_a_microphone_that_goes_away_is_waited_for_and_the_screen_says_so(stage: Stage) -> None:
    samples = take(ALTO, Note(1, seconds=0.8), pause=0.4)
    microphone = Paced(ScriptedMicrophone(samples, fails_to_open=1), FixedDate())
    microphone.live = True  # so that the program waits for it as for a sound card
    done = stage.play("alsa:scripted", opened=lambda word, clock: microphone)
    troubles = [box.trouble for box in stage.boxes]
    assert "there is no microphone the scripted microphone: plug it in." in troubles
    assert troubles[-1] == ""
    assert [attempt.outcome for attempt in ended(done).attempts] == [Outcome.SPOKE]
