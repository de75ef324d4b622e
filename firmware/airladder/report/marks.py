"""The marks of the outcomes: one shape each, drawn once in a page and used wherever an outcome is told."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from airladder.practice.judge import Outcome
from airladder.report.words import OUTCOMES


@cache
def shipped(name: str) -> str:
    """A file of the page, as text."""
    return (files("airladder.report") / "page" / name).read_text(encoding="utf-8")


def marks() -> str:
    """The shapes themselves, to stand once in a page before they are used."""
    return shipped("marks.html")


def mark(outcome: Outcome) -> str:
    """The mark of an outcome, as it stands on the ladder, for the eye only."""
    return f'<svg viewBox="-8 -8 16 16" aria-hidden="true"><use href="#mark-{outcome.value}"/></svg>'


def legend() -> str:
    """What each mark means."""
    items = (f"<li>{mark(outcome)}{word}</li>" for outcome, word in OUTCOMES.items())
    return f'<ul class="marks">{"".join(items)}</ul>'
