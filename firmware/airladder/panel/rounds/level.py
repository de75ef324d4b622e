"""The level at the microphone, and where it should be while a low note is played loudly.

The zones are our own: they leave the Ear what it needs at the soft end, and room for a louder day at the other.
Untested on hardware.

Conventions
-----------
dB re full scale, peaks; two pixels a dB.
"""

from __future__ import annotations

from collections.abc import Mapping

from airladder.pages.box import Box
from airladder.pages.choices import Place
from airladder.panel import fonts, page_words
from airladder.panel.canvas import Align, Canvas
from airladder.panel.rounds import sheet

ZONES: Mapping[Place, tuple[float, float]] = {Place.BELL: (-24.0, -6.0), Place.STAND: (-36.0, -10.0)}
"""Peaks of a loud low note, from and to."""

PLAYS_DB = 12.0
"""So far above the room somebody plays."""

_LOWEST = -60.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 3, 123, 18, 27
_NUMBERS: tuple[tuple[int, Align], ...] = ((-60, "left"), (-30, "centre"), (0, "right"))


def draw(canvas: Canvas, box: Box) -> None:
    """The meter, its zone, and a word."""
    zone, meter = ZONES[box.choices.place], box.meter
    sheet.heading(canvas, page_words.MICROPHONE)
    canvas.claim("the meter", (_LEFT - 1, _TOP - 3, _RIGHT + 1, _BOTTOM + 1))
    canvas.bar((_LEFT - 1, _BOTTOM, _RIGHT + 1, _BOTTOM + 1))
    canvas.bar((_x(zone[0]), _TOP - 3, _x(zone[1]), _TOP - 1))
    canvas.bar((_LEFT, _TOP, _x(meter.dbfs), _BOTTOM - 1))
    peak = _x(meter.peak_dbfs)
    canvas.bar((max(_LEFT, peak - 2), _TOP, max(_LEFT, peak), _BOTTOM - 1))
    for number, align in _NUMBERS:
        canvas.text((_x(number), _BOTTOM + 2), str(number).replace("-", "−"), fonts.small(), align=align)
    sheet.rows(canvas, [page_words.PLACES[box.choices.place] + ": " + _word(box), _hint(box)], 37)


def verdict(box: Box) -> str:
    """What is to be said of the newest peak; empty while nobody plays."""
    low, high = ZONES[box.choices.place]
    peak = box.meter.peak_dbfs
    if peak < box.meter.room_dbfs + PLAYS_DB:
        return ""
    return page_words.TOO_SOFT if peak < low else page_words.TOO_LOUD if peak > high else page_words.GOOD


def _word(box: Box) -> str:
    return page_words.GOOD if verdict(box) == page_words.GOOD else ""


def _hint(box: Box) -> str:
    said = verdict(box)
    return said if said not in ("", page_words.GOOD) else page_words.play_loud(box.choices.fingering)


def _x(dbfs: float) -> int:
    share = (min(0.0, max(_LOWEST, dbfs)) - _LOWEST) / -_LOWEST
    return round(_LEFT + share * (_RIGHT - _LEFT))
