"""The level at the microphone, and where it should be while a low note is played loudly.

The zones are our own: they leave the Ear what it needs at the soft end, and at the other room for a louder day, so
that no peak comes near -3 dB. At the bell a note is some 12 dB louder than on the stand (from memory). Untested on
hardware.

Conventions
-----------
dB re full scale, peaks; two pixels a dB.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from airladder.pages.box import Box
from airladder.pages.choices import Place
from airladder.pages.meter import SILENT_DBFS
from airladder.panel import fonts, page_words, words
from airladder.panel.canvas import SAFE_WIDTH, Align, Canvas
from airladder.panel.rounds import sheet

ZONES: Mapping[Place, tuple[float, float]] = {Place.BELL: (-24.0, -6.0), Place.STAND: (-36.0, -10.0)}
"""Peaks of a loud low note, from and to."""

PLAYS_DB = 12.0
"""So far above the room somebody plays."""

_LOWEST = -60.0
_LEFT, _RIGHT = 3, 123
_ZONE_Y, _TOP, _RAIL_Y, _SCALE_Y, _HINT_Y = 20, 24, 32, 34, 43
_NUMBERS: tuple[tuple[int, Align], ...] = ((-60, "left"), (-30, "centre"), (0, "right"))


def draw(canvas: Canvas, box: Box) -> None:
    """A word, the newest peak, the bar with its zone, and what to do."""
    word = verdict(box)
    sheet.heading(canvas, word)
    heard = math.isfinite(box.meter.t)
    peak = page_words.level(max(SILENT_DBFS, min(0.0, box.meter.peak_dbfs))) if heard else words.UNKNOWN
    canvas.text((SAFE_WIDTH, 0), peak, fonts.large(), align="right")
    for text, y in ((page_words.PEAK, 1), (page_words.DBFS, 9)):
        canvas.text((SAFE_WIDTH - 39, y), text, fonts.small(), align="right")
    _bar(canvas, box)
    for number, align in _NUMBERS:
        canvas.text((_x(number), _SCALE_Y), page_words.level(number), fonts.small(), align=align)
    canvas.text((1, _HINT_Y), _hint(box, word), fonts.small())
    if heard and word == page_words.GOOD:
        room = page_words.room(max(SILENT_DBFS, min(0.0, box.meter.room_dbfs)))
        canvas.text((SAFE_WIDTH, _HINT_Y), room, fonts.small(), align="right")


def verdict(box: Box) -> str:
    """What is to be said of the newest peak."""
    low, high = ZONES[box.choices.place]
    peak = box.meter.peak_dbfs
    if peak < box.meter.room_dbfs + PLAYS_DB:
        return page_words.PLAY_NOW
    return page_words.TOO_SOFT if peak < low else page_words.TOO_LOUD if peak > high else page_words.GOOD


def _hint(box: Box, word: str) -> str:
    return page_words.LEVEL_HINTS.get(word) or page_words.play_loud(box.choices.fingering)


def _bar(canvas: Canvas, box: Box) -> None:
    """The bar lies on a rail; the zone is a second rail above it; the peak stands apart."""
    low, high = (_x(end) for end in ZONES[box.choices.place])
    canvas.claim("the meter", (_LEFT - 1, _ZONE_Y, _RIGHT + 1, _RAIL_Y + 1))
    canvas.bar((_LEFT - 1, _RAIL_Y, _RIGHT + 1, _RAIL_Y + 1))
    canvas.bar((low, _ZONE_Y, high, _ZONE_Y + 2))
    for x in (low, high - 1):
        canvas.bar((x, _ZONE_Y, x + 1, _RAIL_Y))
    canvas.bar((_LEFT, _TOP, _x(box.meter.dbfs), _RAIL_Y - 1))
    peak = _x(box.meter.peak_dbfs)
    if peak > _LEFT + 3:
        canvas.bar((peak - 4, _TOP, peak - 3, _RAIL_Y - 1), lit=False)
        canvas.bar((peak - 3, _TOP, peak, _RAIL_Y - 1))


def _x(dbfs: float) -> int:
    share = (min(0.0, max(_LOWEST, dbfs)) - _LOWEST) / -_LOWEST
    return round(_LEFT + share * (_RIGHT - _LEFT))
