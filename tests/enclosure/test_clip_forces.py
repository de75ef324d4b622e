"""What PRINTING.md says of the clip is what its solids give, and what a pencil gives for a simple spring."""

from __future__ import annotations

import re
from dataclasses import replace
from math import radians

import pytest

from casing.figures import ENCLOSURE
from enclosure.case import Case, case, skin
from enclosure.clip_forces import HEAVIEST, Forces, Hung, depth, on_tube, table
from enclosure.clip_view import Clip, clip_of
from enclosure.measure.turning import Place
from enclosure.rules.forces import SAFE
from enclosure.weights import CLIP, HOOK, balance

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


@pytest.mark.parametrize("degrees", [-15.0, 0.0, 12.0, 30.0])
def test_the_torque_is_what_the_springs_energy_gains_with_the_turn(clip: Clip, degrees: float) -> None:
    """Virtual work: E = k x^2 / 2, M = dE / d angle: any handbook of statics."""
    small = 0.01
    energy = [0.5 * 4.0 * (30.0 - Forces(clip, degrees + way).long) ** 2 for way in (-small, small)]
    assert Forces(clip, degrees).torque == pytest.approx((energy[1] - energy[0]) / radians(2 * small), rel=1e-4)


def test_slipping_and_tipping_are_what_a_pencil_gives(clip: Clip) -> None:
    """Friction of 0.6 on both jaws against 2 N; pads 20 mm broad against 1 N that hangs 50 mm away."""
    held = clip.tubes[2]
    assert held.axis is not None
    on = on_tube(clip, held, held.axis, Hung(1.0, 2.0, Place(held.axis.z + 30.0, held.axis.y + 40.0)))
    assert on.slipping * 2.0 == pytest.approx((0.6 + 0.6) * on.push)
    assert on.tipping * 1.0 * 50.0 == pytest.approx(20.0 * on.push)


def test_what_hangs_is_as_far_out_as_its_middle_is_before_the_back(box: Case) -> None:
    hung, (_, _, z) = Hung.of(box), balance(box, *CLIP, *HOOK).centre
    assert hung.middle.y == pytest.approx(z - float(skin(box.piece("base")).low[2]))
    holder = balance(replace(box, pieces=tuple(p for p in box.pieces if p.name.startswith(CLIP))))
    assert (hung.whole - hung.box) / 9.81 * 1000 == pytest.approx(holder.grams)


def test_the_table_has_a_line_for_each_pose_and_thing(box: Case) -> None:
    heading, poses, lips, tubes = 1, 2, 5, 5
    assert len(table(box)) == heading + poses + lips + tubes + tubes
