"""What PRINTING.md says of the clip is what its solids give, and what a pencil gives for a simple spring."""

from __future__ import annotations

import re

import pytest

from casing.figures import ENCLOSURE
from enclosure.case import Case, case
from enclosure.clip_forces import HEAVIEST, Forces, Hung, depth, on_tube, table
from enclosure.clip_view import Clip, clip_of
from enclosure.rules.forces import SAFE

WORDS = " ".join((ENCLOSURE / "PRINTING.md").read_text("utf-8").split())


@pytest.fixture(scope="module")
def box() -> Case:
    return case(HEAVIEST)


@pytest.fixture(scope="module")
def clip(box: Case) -> Clip:
    return clip_of(box)


def said(pattern: str) -> tuple[float, ...]:
    found = re.search(pattern, WORDS)
    assert found is not None, f"PRINTING.md does not say {pattern}"
    return tuple(float(number) for number in found.groups())


def test_the_hand_pushes_and_reaches_as_printing_says(box: Case, clip: Clip) -> None:
    rest, stop = Forces(clip, clip.rest), Forces(clip, clip.stop)
    assert said(r"(\d+) N at first, (\d+) N at the stop") == (round(rest.hand), round(stop.hand))
    assert said(r"reaches round it, up to (\d+) mm") == (round(rest.reach + depth(box)),)


def test_a_tube_is_held_twice_over_as_printing_says(box: Case, clip: Clip) -> None:
    assert "holds a tube twice over at least" in WORDS
    assert SAFE == 2.0
    held = [on_tube(clip, h, h.axis, Hung.of(box)) for h in clip.tubes if h.axis is not None]
    assert len(held) == 5
    assert min(min(on.slipping, on.tipping) for on in held) >= SAFE


def test_the_lips_and_tubes_are_those_that_printing_says(box: Case) -> None:
    (deep,) = said(r"that are (\d+) mm deep at least")
    assert said(r"grips lips of (\d+) to (\d+) mm") == box.parts.pair("stand.lip_thick")
    assert said(r"upright tubes of (\d+) to (\d+) mm") == box.parts.pair("stand.tube")
    assert deep == box.parts.mm("stand.lip_deep")


def test_the_spring_as_it_is_built_pushes_by_its_rate_and_arm(box: Case, clip: Clip) -> None:
    """Upright: 30 - 21.5 mm at 4 N/mm, 13 mm before the axle; the hand is 42 - 4 - 13 mm before it."""
    built = Forces(clip, 0.0)
    assert built.long == pytest.approx(21.5)
    assert built.short == pytest.approx(21.5)
    assert built.torque == pytest.approx(8.5 * 4.0 * 13.0)
    assert built.hand == pytest.approx(built.torque / 25.0)


def test_the_table_has_a_line_for_each_pose_and_thing(box: Case) -> None:
    heading, poses, lips, tubes = 1, 2, 5, 5
    assert len(table(box)) == heading + poses + lips + tubes + tubes
