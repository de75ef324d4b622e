"""The whole box round a practice: first run, plan, practice, back to the plan, good night; settings and log kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest

from additive.note import Note
from airladder.app.order import Done, Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings, load
from airladder.devices.keys import NoKeys
from airladder.devices.paced import Paced
from airladder.devices.scripted import ScriptedMicrophone
from airladder.devices.speaker import RecordedSpeaker, Speaker
from airladder.hearing.block import RATE, Samples
from airladder.journal.log import Reader
from airladder.pages.box import Box
from airladder.pages.page import Page
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase
from stage import FixedDate, KeptPictures, ended, take

WALK = (Page.SETUP, Page.CAUTIONS, Page.LEVEL)
HORN = "tenor"


class Evening:
    """One evening with the box: what is heard, what is pressed, and all that came of it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.boxes: list[Box] = []
        self.display = KeptPictures()
        self.speaker: RecordedSpeaker | None = None
        self.fails_to_sound = 0

    def spent(self, samples: Samples, *presses: Press, first: tuple[Page, ...] = ()) -> Done:
        """Let it pass, at the speed of life."""
        microphone = Paced(ScriptedMicrophone(samples), FixedDate())
        microphone.live = True
        settings = replace(Settings(), log_folder=self.folder)
        order = Order(
            settings,
            None,
            "alsa:scripted",
            settings.log,
            presses,
            first=first,
            settings_file=self.folder / "settings.toml",
        )
        outside = Outside(
            self.display,
            lambda post: NoKeys(),
            self.boxes.append,
            FixedDate(),
            lambda word, clock: microphone,
            self._speaker,
        )
        return practise(order, outside)

    def _speaker(self, on_fault: Callable[[str], None]) -> Speaker:
        self.speaker = RecordedSpeaker(FixedDate(), on_fault, fails_to_sound=self.fails_to_sound)
        return self.speaker

    @property
    def pages(self) -> list[Page]:
        """The pages in the order in which they were seen."""
        return [page for page, _ in groupby(box.page for box in self.boxes)]


@pytest.fixture
def evening(tmp_path: Path) -> Evening:
    return Evening(tmp_path)


def ok(t: float) -> Press:
    return Press(Button.OK, False, t)


def quiet(seconds: float) -> Samples:
    return np.zeros(round(seconds * RATE), np.float32)


def test_a_first_run_leads_from_the_horn_to_good_night_and_keeps_what_was_chosen(evening: Evening) -> None:
    presses = [Press(Button.UP, False, 0.2), *(ok(0.3 + 0.1 * n) for n in range(7)), Press(Button.BACK, True, 2.0)]
    evening.spent(quiet(2.5), *presses, first=WALK)
    assert evening.pages == [Page.WAITING, *WALK, Page.TODAY, Page.NIGHT]
    kept = load(evening.folder / "settings.toml")
    assert kept.horn.name == HORN
    assert kept.choices == evening.boxes[-1].choices


def test_the_plan_is_made_practised_kept_and_made_anew(evening: Evening) -> None:
    low = Note(1, seconds=0.8)
    done = evening.spent(
        take(Settings(), low, pause=2.0), ok(1.2), Press(Button.BACK, True, 4.2), Press(Button.BACK, True, 4.7)
    )
    assert evening.pages == [Page.WAITING, Page.TODAY, Page.PRACTICE, Page.TODAY, Page.NIGHT]
    assert len(ended(done).attempts) == 1
    with Reader(evening.folder / "log.sqlite") as log:
        (session,) = log.sessions()
    assert (session.tries, session.head.started) == (1, FixedDate().wall())
    plans = {id(box.glance) for box in evening.boxes if box.glance}
    assert len(plans) == 2
    assert evening.boxes[-1].glance is not None
    assert len(evening.boxes[-1].glance.days) == 1


def test_free_playing_and_other_routines_are_reached_and_left(evening: Evening) -> None:
    more, back = Press(Button.BACK, False, 0.0), Press(Button.BACK, False, 0.0)
    free, others = Press(Button.DOWN, False, 0.0), Press(Button.UP, False, 0.0)
    hand = [more, free, back, more, others, ok(0.0), Press(Button.BACK, True, 0.0), Press(Button.BACK, True, 0.0)]
    evening.spent(quiet(2.8), *(replace(press, t=1.0 + 0.15 * n) for n, press in enumerate(hand)))
    assert evening.pages[1:] == [
        Page.TODAY,
        Page.MORE,
        Page.PRACTICE,
        Page.TODAY,
        Page.MORE,
        Page.ROUTINES,
        Page.PRACTICE,
        Page.TODAY,
        Page.NIGHT,
    ]
    with Reader(evening.folder / "log.sqlite") as log:
        assert list(log.sessions()) == []  # nothing was sounded, so nothing is kept


def test_the_wanted_pitch_is_sounded_when_asked_for_and_is_no_try(evening: Evening) -> None:
    """What the loudspeaker sounds comes back into the microphone here, as loud as the player."""
    sounded = take(Settings(), Note(1, seconds=1.7), pause=1.55)  # begins as the press is made, at 1.5 s
    done = evening.spent(sounded, ok(1.0), ok(1.5), Press(Button.BACK, True, 4.5))
    assert evening.speaker is not None
    (asked,) = [word for word in evening.speaker.asked if word.hz]
    assert asked.hz == pytest.approx(Settings().series.tempered_hz(1))
    assert ended(done).attempts == ()
    assert {box.session.phase for box in evening.boxes if box.session} <= {Phase.WANTED, Phase.OVER}


def test_an_output_that_fails_costs_the_practice_nothing(evening: Evening, caplog: pytest.LogCaptureFixture) -> None:
    evening.fails_to_sound = 1
    done = evening.spent(
        take(Settings(), Note(1, seconds=0.8), pause=2.6), ok(1.0), ok(1.4), Press(Button.BACK, True, 5.0)
    )
    assert "has been unplugged" in caplog.text
    assert evening.boxes[-1].output is False
    assert [attempt.outcome for attempt in ended(done).attempts] == [Outcome.SPOKE]
