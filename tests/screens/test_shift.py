"""The picture moves by a pixel against burn-in: no lit pixel is lost, and no place is favoured."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from airladder.panel import gallery
from airladder.panel.canvas import SAFE_HEIGHT, SAFE_WIDTH
from airladder.panel.shift import PLACES, SECONDS, place_at, shifted


def lit(picture: Image.Image) -> set[tuple[int, int]]:
    """The lit pixels."""
    width, height = picture.size
    return {(x, y) for x in range(width) for y in range(height) if picture.getpixel((x, y))}


@pytest.mark.parametrize("name", gallery.samples())
def test_every_screen_leaves_the_last_column_and_row_dark(name: str) -> None:
    box = gallery.picture(gallery.samples()[name]).getbbox()
    assert box is None or (box[2] <= SAFE_WIDTH and box[3] <= SAFE_HEIGHT)


@pytest.mark.parametrize("name", gallery.samples())
def test_a_moved_screen_keeps_every_lit_pixel_and_moved_back_is_the_same(name: str) -> None:
    picture = gallery.picture(gallery.samples()[name])
    for place, (right, down) in enumerate(PLACES):
        moved = shifted(picture, place)
        assert (moved.mode, moved.size) == ("1", (128, 64))
        assert {(x - right, y - down) for x, y in lit(moved)} == lit(picture)


def test_the_picture_that_is_moved_stays_as_it_was() -> None:
    picture = gallery.picture(gallery.samples()["wanted"])
    before = picture.tobytes()
    assert shifted(picture, 2).tobytes() != before
    assert picture.tobytes() == before


def test_the_places_are_the_corners_of_a_pixel_and_each_step_is_one_pixel() -> None:
    assert set(PLACES) == {(0, 0), (1, 0), (0, 1), (1, 1)}
    round_about = [*PLACES, PLACES[0]]
    assert {abs(a - c) + abs(b - d) for (a, b), (c, d) in pairwise(round_about)} == {1}


def test_each_place_stands_equally_long() -> None:
    """Looked at every second of forty minutes, which is five times round."""
    seen = Counter(place_at(float(t)) for t in range(40 * 60))
    assert seen == dict.fromkeys(range(len(PLACES)), 40 * 60 // 4)


@given(st.floats(0, 1e7))
def test_a_place_stands_for_two_minutes_and_then_the_next_one_is_due(t: float) -> None:
    assert SECONDS == 120.0
    begun = t // 120.0 * 120.0
    assert place_at(t) == place_at(begun + 119.9)
    assert place_at(begun + 120.0) == (place_at(t) + 1) % 4
