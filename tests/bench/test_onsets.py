"""The scores of attacks, with invented ones of which we know what they are worth."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.hearing.events import Attack
from bench.clip import Clip, Onset
from bench.onsets import Found, f_measure, false_a_minute, found, matched, offset_s, starts
from listening import series_of


def one(true: tuple[float, ...], said: tuple[float, ...]) -> Found:
    return Found("someone", "clean", "tuning", 30.0, true, said)


def test_all_found_in_time_is_one_and_half_of_them_is_two_thirds() -> None:
    assert f_measure([one((1.0, 2.0), (1.009, 1.995))], 0.010) == 1.0
    assert f_measure([one((1.0, 2.0), (1.009,))], 0.010) == pytest.approx(2 / 3)
    assert f_measure([one((1.0, 2.0), (1.011, 2.0))], 0.010) == 0.5


def test_onsets_of_one_clip_do_not_serve_another() -> None:
    assert f_measure([one((1.0,), ()), one((), (1.0,))], 0.05) == 0.0


def test_one_onset_found_twice_is_one_hit_and_one_false() -> None:
    assert f_measure([one((1.0,), (1.0, 1.01))], 0.05) == pytest.approx(2 / 3)
    assert false_a_minute([one((1.0,), (1.0, 1.01))]) == 2.0


def test_no_sound_and_no_onset_have_no_score() -> None:
    assert np.isnan(f_measure([one((), (1.0,))], 0.05))
    assert np.isnan(false_a_minute([]))


def test_the_offset_is_the_median_lateness() -> None:
    late = [one((1.0, 2.0, 3.0), (1.02, 2.02, 3.09))]
    assert offset_s(late) == pytest.approx(0.02)


def test_the_places_of_a_match_are_those_of_the_lists_as_given() -> None:
    assert matched([1.0, 2.0], [2.01, 0.99], 0.05) == [(0, 1), (1, 0)]


def test_an_attack_is_compared_with_the_true_one_that_it_is_near() -> None:
    onsets = (Onset(0.2, "air", 80.0), Onset(0.8, "tongued", 12.0))
    clip = Clip(
        "made", "clean", "tuning", series_of("alto", "Bb3"), np.zeros(48000, np.float32), (), np.empty(0), onsets
    )
    (start,) = starts(clip, [Attack(0.81, 0.85, "unsure", 20.0, 0.6)])
    assert (start.true, start.said, start.true_rise_ms) == ("tongued", "unsure", 12.0)
    assert start.late_s == pytest.approx(0.01)
    assert start.known_after_s == pytest.approx(0.05)
    assert found(clip, "ours", [0.81]).true == (0.2, 0.8)


def test_the_sound_of_the_room_that_sets_in_is_no_false_attack() -> None:
    quiet = np.zeros(48000, np.float32)
    clip = Clip("made", "pink", "tuning", series_of("alto", "Bb3"), quiet, (), np.empty(0), (Onset(0.5, "tongued"),))
    assert found(clip, "ours", [0.51, 0.02, 0.12]).said == (0.12, 0.51)
