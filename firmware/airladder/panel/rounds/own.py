"""The page of the box itself."""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.panel import page_words
from airladder.panel.canvas import Canvas
from airladder.panel.rounds import sheet


def draw(canvas: Canvas, box: Box) -> None:
    """How it is."""
    vitals = box.vitals
    sheet.heading(canvas, page_words.OWN, vitals.version)
    lines = [
        page_words.charge(vitals),
        page_words.supply(vitals.weak_supply),
        page_words.warmth(vitals.celsius),
        page_words.disk(vitals.free_mb),
    ]
    sheet.rows(canvas, lines)
