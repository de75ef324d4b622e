"""What a player sees, plugs and presses, on toys whose answers are known."""

from __future__ import annotations

from math import asin, radians, sin, tan

import numpy as np
import pytest
from build123d import Box, Cylinder, Pos, Rot, Shape, Sphere, fillet
from hypothesis import given, settings
from hypothesis import strategies as st

from casing.mesh import mesh_of
from enclosure.measure.rays import Caster
from enclosure.measure.reach import Finger, blocked, swept
from enclosure.measure.sight import Field, Layer, hidden
from enclosure.measure.skin import Skin

# ---------------------------------------------------------------- sight
FIELD = Field((-10, -5, 0), (20, 0, 0), (0, 10, 0))
LAYERS = (Layer(0.9, 1.5), Layer(1.0, 1.0), Layer(1.0, 1.49))
AIR = 0.7
"""mm from the pane to the upper side of the frame below."""


def frame(room: float, x: float = 0.0, y: float = 0.0) -> Caster:
    """A frame round the field, its opening larger by room on each side and moved by x, y; its upper side at 3.6."""
    plate = Pos(0, 0, 3.35) * Box(80, 80, 0.5) - Pos(x, y, 3.35) * Box(20 + 2 * room, 10 + 2 * room, 0.5)
    return Caster(mesh_of(plate))


def needed(angle: float) -> float:
    """By how much light moves aside until it has passed the frame."""
    inside = sum(thick * tan(asin(sin(radians(angle)) / index)) for thick, index in LAYERS)
    return inside + AIR * tan(radians(angle))


@given(st.floats(5, 70))
@settings(max_examples=20, deadline=None)
def test_a_frame_hides_nothing_if_it_is_as_wide_as_snell_says(angle: float) -> None:
    right = frame(needed(angle) + 0.02)
    assert hidden([right], FIELD, LAYERS, angle, (5, 5)) == {"left": 0, "right": 0, "above": 0, "below": 0}
    small = hidden([frame(needed(angle) - 0.02)], FIELD, LAYERS, angle, (5, 5))
    assert small == {side: pytest.approx(0.2) for side in ("left", "right", "above", "below")}


def test_the_hidden_share_is_that_of_the_field_behind_the_edge() -> None:
    """The opening is moved to the right by 3: from the left 3 of 20 are hidden, the edge of the field too."""
    found = hidden([frame(needed(45), x=3.0)], FIELD, LAYERS, 45, (201, 11))
    assert found["left"] == pytest.approx(3 / 20, abs=0.006)
    assert found["right"] == 0
    found = hidden([frame(needed(45), y=-1.0)], FIELD, LAYERS, 45, (11, 101))
    assert found["above"] == pytest.approx(1 / 10, abs=0.011)
    assert found["below"] == 0


def test_without_glass_the_same_frame_hides_some() -> None:
    right = frame(needed(45) + 0.02)
    empty = [Layer(layer.thick, 1.0) for layer in LAYERS]
    assert min(hidden([right], FIELD, empty).values()) > 0.02


def test_what_stands_within_a_layer_hides_too() -> None:
    post = Caster(mesh_of(Pos(-10.2, 0, 1.4) * Box(0.2, 30, 0.9)))
    found = hidden([post], FIELD, LAYERS, 45, (41, 21))
    assert found["left"] > 0
    assert found["right"] == 0


def test_a_field_that_lies_on_its_side_is_seen_the_same() -> None:
    """The player looks along -x; left is where the field's first side comes from."""
    plate = Rot(0, 90, 0) * Pos(0, 0, 3.35) * Box(80, 80, 0.5) - Pos(3.35, 3, 0) * Box(
        9, 20 + 2 * needed(45), 10 + 2 * needed(45)
    )
    found = hidden([Caster(mesh_of(plate))], Field((0, -10, -5), (0, 20, 0), (0, 0, 10)), LAYERS, 45, (201, 11))
    assert found["left"] == pytest.approx(3 / 20, abs=0.006)
    assert found["right"] == 0


# ---------------------------------------------------------------- plugs
def wall_with(hole: Shape) -> Skin:
    return Skin.of(Pos(10, 0, 0) * Box(3, 40, 40) - hole)


def along_x(radius: float, long: float, at: float, y: float = 0.0) -> Shape:
    return Pos(at + long / 2, y, 0) * Rot(0, 90, 0) * Cylinder(radius, long)


GRIP = mesh_of(along_x(5, 30, 9))
OVERMOULD = mesh_of(fillet((Pos(24, 0, 0) * Box(30, 12, 6.5)).edges(), 1.5))


def test_a_swept_body_is_as_large_as_its_way_says() -> None:
    assert swept(mesh_of(Box(2, 3, 4)), (7, 0, 0)).volume == pytest.approx((2 + 7) * 12)
    assert swept(mesh_of(Box(2, 2, 2)), (3, 3, 0)).volume == pytest.approx(8 + 2 * 2 * 3 * 2)
    ball = mesh_of(Sphere(3), 0.002, 0.05)
    assert swept(ball, (0, 0, 10)).volume == pytest.approx(36 * np.pi + 90 * np.pi, rel=5e-3)


@pytest.mark.parametrize(
    ("hole", "faults"),
    [(along_x(5.3, 20, 0), 0), (along_x(4.9, 20, 0), 1), (along_x(5.3, 20, 0, y=0.5), 1), (along_x(0.01, 20, 30), 1)],
)
def test_a_plug_goes_through_a_hole_that_is_wide_enough(hole: Shape, faults: int) -> None:
    assert len(blocked([("plug", GRIP)], (1, 0, 0), [("wall", wall_with(hole))])) == faults


def test_a_plug_wants_room_round_it() -> None:
    wall = [("wall", wall_with(along_x(5.3, 20, 0)))]
    assert blocked([("plug", GRIP)], (2, 0, 0), wall, room=0.25) == []
    assert len(blocked([("plug", GRIP)], (2, 0, 0), wall, room=0.35)) == 1


def test_what_stands_in_the_way_outside_is_found() -> None:
    wall = ("wall", wall_with(along_x(5.3, 20, 0)))
    lug, aside = ("lug", Skin.of(Pos(70, 4, 0) * Box(2, 1, 1))), ("lug", Skin.of(Pos(70, 6, 0) * Box(2, 1, 1)))
    assert blocked([("plug", GRIP)], (1, 0, 0), [wall, aside]) == []
    (text,) = blocked([("plug", GRIP)], (1, 0, 0), [wall, lug])
    assert text.startswith("plug meets lug at (")


def test_a_soft_plug_goes_through_a_soft_hole() -> None:
    fits = fillet((Pos(10, 0, 0) * Box(20, 12.6, 7.1)).edges(), 1.5)
    assert blocked([("plug", OVERMOULD)], (1, 0, 0), [("wall", wall_with(fits))], room=0.1) == []
    sharp = Skin.of(Pos(10, 6, 3.25) * Box(3, 1, 1))  # its corner stands where the plug's would, were it not round
    assert len(blocked([("plug", mesh_of(Pos(24, 0, 0) * Box(30, 12, 6.5)))], (1, 0, 0), [("corner", sharp)])) == 1


def test_a_plug_that_sits_in_plastic_is_found() -> None:
    assert len(blocked([("plug", GRIP)], (1, 0, 0), [("block", Skin.of(Pos(24, 0, 0) * Box(60, 60, 60)))])) == 1


# ---------------------------------------------------------------- fingers
KNOB = ("knob", Skin.of(Pos(-1, 0, 0) * Box(4, 2, 2)))  # it ends at x = 1


def plate(hole: float, upto: float = 2.0) -> tuple[str, Skin]:
    """A wall whose outer side is at x = upto, with a round hole."""
    return "wall", Skin.of(Pos(upto - 1, 0, 0) * Box(2, 60, 60) - Rot(0, 90, 0) * Cylinder(hole / 2, 90))


BALL = Finger(12.0, (30, 0, 0), (-1, 0, 0))


def test_a_finger_stops_where_its_round_end_touches() -> None:
    assert BALL.travel(KNOB[1]) == pytest.approx(30 - 6 - 1, abs=2e-3)
    assert BALL.travel(plate(6)[1]) == pytest.approx(30 - 2 - np.sqrt(36 - 9), abs=0.02)
    assert BALL.travel(Skin.of(Pos(0, 9, 0) * Box(4, 4, 4))) == np.inf
    assert BALL.travel(Skin.of(Pos(0, 9, 0) * Box(4, 6.2, 4))) < 30
    assert BALL.travel(Skin.of(Pos(0, 0, 0) * Box(4, 4, 4)), most=20) == np.inf


def test_a_knob_that_is_sunk_wants_a_wide_hole() -> None:
    """A ball of 12 comes 1 mm deep into a hole of radius r if r2 = 36 - 25."""
    enough = 2 * np.sqrt(36 - 25)
    assert BALL.misses(KNOB, [plate(enough + 0.2)]) == []
    (text,) = BALL.misses(KNOB, [plate(enough - 0.2)])
    assert text.startswith("wall stops the finger 0.0")
    assert BALL.misses(KNOB, [plate(enough - 0.2, upto=0.9)]) == []
    assert len(BALL.misses(KNOB, [plate(enough + 0.2)], press=0.5)) == 1


def test_a_finger_that_meets_nothing_says_so() -> None:
    assert Finger(12.0, (30, 20, 0), (-1, 0, 0)).misses(KNOB, []) == ["the finger does not meet knob"]


def test_a_pad_wants_a_longer_hole_than_a_finger_s_end() -> None:
    pad = Finger(12.0, (30, 0, 0), (-1, 0, 0), pad=(0, 5, 0))
    slot = ("wall", Skin.of(Pos(1, 0, 0) * Box(2, 60, 60) - Box(90, 17, 7)))
    short = ("wall", Skin.of(Pos(1, 0, 0) * Box(2, 60, 60) - Box(90, 7, 7)))
    assert BALL.misses(KNOB, [short]) == []
    assert pad.misses(KNOB, [slot]) == []
    assert pad.travel(Skin.of(Pos(0, 9, 0) * Box(4, 4, 4))) == pytest.approx(30 - 2 - np.sqrt(36 - 4), abs=2e-3)
    assert len(pad.misses(KNOB, [short])) == 1
