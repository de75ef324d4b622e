"""The judge judged, with invented answers of which we know what they are worth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Tone
from bench.clip import Clip, Onset, Sounding
from bench.delays import OwnDelay, own_delay, shifted
from bench.judge import Mark, marks
from bench.listeners import Answer, ends_s, split_mask
from bench.peers import places
from listening import series_of

SERIES = series_of("tenor", "Bb3")
HOPS = 300
EARLY = OwnDelay(np.empty(0), np.empty(0))


def clip(*soundings: Sounding, cents: float = 0.0) -> Clip:
    """A clip whose sound is not listened to; its frequency is `cents` above the pure place of each partial."""
    made = Clip("made", "clean", "tuning", SERIES, np.zeros(HOPS * 256, np.float32), soundings, np.zeros(HOPS))
    pure = np.array([SERIES.pure_hz(n) if n > 0 else np.nan for n in made.partials()])
    return replace(made, hz=pure * 2.0 ** (cents / 1200.0))


def answer(of: Clip, hops_late: int = 0, cents: float = 0.0) -> Answer:
    """All right, but late."""
    partial = np.roll(np.maximum(of.partials(), 0), hops_late)
    return Answer(np.roll(of.hz, hops_late) * 2.0 ** (cents / 1200.0), partial, np.zeros(HOPS, np.int64))


def marked(of: Clip, by: Answer, own: OwnDelay = EARLY, look_ahead_s: float = 0.0) -> list[Mark]:
    return marks(of, by, "someone", own, look_ahead_s)


NOTE = clip(Sounding(0.2, 1.2, 3))


def test_who_is_right_everywhere_has_no_fault() -> None:
    (mark,) = marked(NOTE, answer(NOTE))
    assert (mark.wrong, mark.null) == (0, 0)
    assert mark.right == pytest.approx((1.2 - 0.2 - 0.13) / HOP_SECONDS, abs=1)
    assert max(mark.cents) == 0.0
    assert mark.delay_s is not None
    assert 0.0 <= mark.delay_s <= HOP_SECONDS


def test_an_octave_off_is_wrong_all_the_time_and_never_steady() -> None:
    right = answer(NOTE)
    (mark,) = marked(NOTE, replace(right, hz=2 * right.hz, partial=2 * right.partial))
    assert (mark.right, mark.null, mark.cents) == (0, 0, ())
    assert mark.wrong > 100
    assert mark.delay_s is not None
    assert np.isnan(mark.delay_s)


def test_silence_is_null_and_not_wrong() -> None:
    (mark,) = marked(NOTE, replace(answer(NOTE), partial=np.zeros(HOPS, np.int64)))
    assert (mark.right, mark.wrong) == (0, 0)
    assert mark.null > 100


@pytest.mark.parametrize("late", [1, 7, 15])
def test_the_delay_is_what_it_is_and_look_ahead_is_added(late: int) -> None:
    (prompt,) = marked(NOTE, answer(NOTE))
    (mark,) = marked(NOTE, answer(NOTE, late), look_ahead_s=0.1)
    assert mark.delay_s == pytest.approx((prompt.delay_s or 0.0) + late * HOP_SECONDS + 0.1)


def test_a_right_partial_that_leaves_within_100_ms_does_not_end_the_delay() -> None:
    right = answer(NOTE)
    first = int(np.flatnonzero(right.partial)[0])
    right.partial[first + 10] = 6
    (mark,) = marked(NOTE, right)
    assert mark.delay_s == pytest.approx(11.5 * HOP_SECONDS, abs=HOP_SECONDS)


def test_what_is_wrong_only_in_the_attack_and_the_release_is_not_charged() -> None:
    right = answer(NOTE)
    sounds = np.flatnonzero(right.partial)
    right.partial[sounds[:18]] = 6
    right.partial[sounds[-5:]] = 1
    (mark,) = marked(NOTE, right)
    assert (mark.wrong, mark.null) == (0, 0)


def test_cents_are_judged_by_the_hops_with_the_right_partial() -> None:
    said = answer(NOTE, cents=-1.5)
    said.partial[::2] = 0
    said.hz[::2] *= 3.0
    (mark,) = marked(NOTE, said)
    assert mark.cents == pytest.approx([1.5] * mark.right)


def test_a_tracker_that_lags_behind_a_vibrato_is_right_when_its_own_delay_is_taken_off() -> None:
    ends = ends_s(HOPS)
    sways = replace(NOTE, vibrato=True, hz=NOTE.hz * 2.0 ** (20.0 / 1200.0 * np.sin(2 * np.pi * 5 * ends)))
    said = replace(answer(sways), hz=shifted(sways.hz, 0.020))
    (charged,) = marked(sways, said)
    (spared,) = marked(sways, said, OwnDelay(np.array([100.0]), np.array([0.020])))
    assert np.median(charged.cents) > 5.0
    assert np.median(spared.cents) < 0.01
    assert charged.delay_s == spared.delay_s


class Lagging:
    """Says the truth, late by a known time, and somewhat sharp."""

    name, look_ahead_s, whole_file = "lagging", 0.0, False

    def listen(self, clip: Clip) -> Answer:
        """Whatever the clip."""
        hz = shifted(clip.hz, 0.0234) * 1.0001
        return Answer(hz, clip.partials(), np.zeros(len(hz), np.int64))


def test_the_own_delay_of_a_listener_is_measured_whatever_its_constant_error() -> None:
    own = own_delay(Lagging())
    assert own.seconds == pytest.approx([0.0234] * len(own.seconds), abs=0.001)


def test_on_no_partial_null_is_right_and_any_partial_wrong() -> None:
    between = clip(Sounding(0.2, 1.2, None))
    said = answer(between)
    said.partial[150] = 4
    (mark,) = marked(between, said)
    assert (mark.wrong, mark.null, mark.delay_s, mark.cents) == (1, 0, None, ())
    assert mark.right > 100


def test_a_split_is_found_with_its_partials_or_with_others() -> None:
    split = clip(Sounding(0.2, 1.2, None, (2, 3)))
    exact = replace(answer(split), split=np.full(HOPS, split_mask((2, 3))))
    other = replace(answer(split), split=np.full(HOPS, split_mask((2, 5))))
    assert [(m.called_split, m.exactly) for m in marked(split, exact)] == [(1.0, 1.0)]
    assert [(m.called_split, m.exactly) for m in marked(split, other)] == [(1.0, 0.0)]


def test_a_split_that_is_called_one_steady_pitch_is_seen() -> None:
    split = clip(Sounding(0.2, 1.2, None, (2, 3)))
    hz = np.full(HOPS, SERIES.fundamental_hz)
    steady = Answer(hz, np.ones(HOPS, np.int64), np.zeros(HOPS, np.int64))
    assert marked(split, steady)[0].steady_pitch == 1.0
    hz[::2] *= 1.03
    assert marked(split, steady)[0].steady_pitch < 0.6


Path = tuple[tuple[int | None, float], ...]
CRACKED = clip(Sounding(0.2, 0.3, 2), Sounding(0.3, 1.2, 3))


@pytest.mark.parametrize(("path", "found"), [(((2, 0.1), (3, 0.9)), 1), (((None, 0.1), (3, 0.9)), 0)])
def test_a_crack_is_found_when_a_tone_has_passed_over_it(path: Path, found: int) -> None:
    tone = Tone(0.2, 1.2, 3, None, None, None, None, None, path, 0.0, -20.0)
    first, last = marked(CRACKED, replace(answer(CRACKED), tones=(tone,)))
    assert (first.cracks, last.cracks, last.cracks_found) == (0, 1, found)
    assert (first.begins, last.begins) == (True, False)


@pytest.mark.parametrize(
    ("path", "called"), [(((2, 0.1), (3, 0.9)), True), (((2, 0.03), (None, 0.2), (3, 0.9)), False)]
)
def test_a_note_of_one_partial_is_called_cracked_when_another_stood_in_its_path(path: Path, called: bool) -> None:
    tone = Tone(0.2, 1.2, 3, None, None, None, None, None, path, 0.0, -20.0)
    (mark,) = marked(NOTE, replace(answer(NOTE), tones=(tone,)))
    assert mark.called_cracked is called
    assert [mark.called_cracked for mark in marked(CRACKED, answer(CRACKED))] == [None, None]


def test_where_no_note_sounds_null_is_right_and_any_partial_wrong() -> None:
    nothing = clip()
    said = answer(nothing)
    said.partial[100:110] = 2
    (mark,) = marked(nothing, said)
    assert (mark.partial, mark.wrong, mark.null, mark.delay_s, mark.called_cracked) == (None, 10, 0, None, None)
    assert mark.right > 250


def test_two_short_tongued_notes_are_no_crack() -> None:
    tongued = replace(CRACKED, onsets=(Onset(0.2, "tongued"), Onset(0.3, "tongued")))
    assert [mark.cracks for mark in marked(tongued, answer(CRACKED))] == [0, 0]


def test_a_general_tracker_gets_the_partial_within_80_cents() -> None:
    pure = SERIES.pure_hz(4)
    hz = np.array([pure, pure * 2 ** (79 / 1200), pure * 2 ** (81 / 1200), 0.0, np.nan, pure / 2])
    assert places(hz, SERIES).tolist() == [4, 4, 0, 0, 0, 2]
