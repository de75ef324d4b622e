"""The clip as pictures show it: the lever where the rules turn it, the spring from seat to seat."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from build123d import CenterOf, GeomType, Location

from casing import figures
from casing.clip import clip_pieces
from casing.piece import Piece
from enclosure.case import case, skin
from enclosure.clip_forces import HEAVIEST, Forces
from enclosure.clip_view import Clip, clip_of
from enclosure.measure.turning import Place, turned

TURNS = (-15.0, 0.0, 20.0, 34.0)


@pytest.fixture(scope="module")
def clip() -> Clip:
    return clip_of(case(HEAVIEST))


def drawn(degrees: float) -> dict[str, Piece]:
    pieces = clip_pieces(figures.shell(), figures.clip(), figures.parts(), Location(), degrees)
    return {piece.name: piece for piece in pieces}


@pytest.mark.parametrize("degrees", TURNS)
def test_lever_and_pad_are_drawn_where_the_rules_turn_them(clip: Clip, degrees: float) -> None:
    pieces = drawn(degrees)
    for name, built in (("clip-lever", clip.lever), ("pad-lower", clip.lower)):
        here, wanted = skin(pieces[name]), turned(built, clip.axle, degrees)
        assert np.abs(here.low - wanted.low).max() < 0.02
        assert np.abs(here.high - wanted.high).max() < 0.02


@pytest.mark.parametrize("degrees", TURNS)
def test_the_spring_is_drawn_from_seat_to_seat(clip: Clip, degrees: float) -> None:
    spring, (top, bottom) = drawn(degrees)["clip-spring"], clip.spring
    seat = bottom.turned(clip.axle, degrees)
    middle = spring.shape.center(CenterOf.MASS)
    assert Place(middle.Z, middle.Y).to(Place((top.z + seat.z) / 2, (top.y + seat.y) / 2)) < 1e-6
    radius = figures.parts().mm("spring.across") / 2
    assert spring.shape.volume == pytest.approx(pi * radius**2 * Forces(clip, degrees).long)
    ends = [face.center() for face in spring.shape.faces().filter_by(GeomType.PLANE)]
    assert len(ends) == 2
    for end in (top, seat):
        assert min(Place(each.Z, each.Y).to(end) for each in ends) < 1e-6
