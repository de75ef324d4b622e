"""What toys weigh, and how much plastic is round the holes of screws."""

from __future__ import annotations

import pytest
from build123d import Axis, Box, Cylinder, Pos, Shape, Sphere

from enclosure.measure import mass, material


def test_two_loads_balance_where_the_lever_says() -> None:
    light, heavy = mass.Load.dense(Box(10, 10, 10), 1.5), mass.Load(Pos(30, 10, 2) * Sphere(3), 4.5)
    found = mass.centre([light, heavy])
    assert found.grams == pytest.approx(6.0)
    assert found.centre == pytest.approx((22.5, 7.5, 1.5))
    both = Pos(-3, 0, 0) * Box(2, 2, 2) + Pos(3, 0, 0) * Box(4, 4, 4)
    assert mass.centre([mass.Load(both, 9.0)]).centre[0] == pytest.approx((8 * -3 + 64 * 3) / 72)
    with pytest.raises(ValueError, match="weighs nothing"):
        mass.centre([])


def boss() -> Shape:
    """20 x 20 x 10 with a blind hole of radius 1, 6 deep from above, 3 from its right side."""
    return Box(20, 20, 10) - Pos(7, 0, 2) * Cylinder(1, 6)


def test_the_ring_round_a_hole_is_plastic_or_not() -> None:
    down = (0.0, 0.0, -1.0)
    assert material.share(boss(), (7, 0, 5), down, 1.0, 2.5, 5.0) == pytest.approx(1.0)
    assert material.share(boss(), (7, 0, 5), down, 1.0, 4.0, 5.0) < 0.95
    assert material.share(boss(), (10, 6, 5), down, 1.0, 2.0, 5.0) == pytest.approx(0.5)
    assert material.share(boss(), (7, 0, 6), down, 1.0, 2.0, 4.0) == pytest.approx(0.75)
    assert material.share(boss(), (50, 0, 5), down, 1.0, 2.0, 5.0) == 0


def test_the_core_of_a_hole_is_free_as_deep_as_it_is() -> None:
    down = (0.0, 0.0, -2.0)
    assert material.share(boss(), (7, 0, 5), down, 0.0, 0.95, 6.0) == pytest.approx(0.0, abs=1e-9)
    assert material.share(boss(), (7, 0, 5), down, 0.0, 0.95, 8.0) == pytest.approx(0.25)
    side = boss().rotate(Axis.Y, 90)
    assert material.share(side, (5, 0, -7), (-1, 0, 0), 0.0, 0.95, 6.0) == pytest.approx(0.0, abs=1e-9)
