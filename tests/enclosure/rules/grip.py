"""Rules of the clip: what its jaws take between them touches pads alone, and pads and halves keep off each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from enclosure.case import Case, skin
from enclosure.clip_view import Clip, Held, clip_of
from enclosure.measure import gaps
from enclosure.measure.kinds import words

SOFT = 0.8
"""So far plastic stays away from what the pads hold, mm."""
SLACK = 0.2
"""Least gap between the halves, which lie beside each other on the axle, mm: printed, they must turn."""
SINKS = 0.05
"""A pad that lies on its jaw is no further off, mm, and takes no more of its room, mm3."""
SPARE = 0.5
"""The lever opens so much further than it must, degrees."""


def _between(clip: Clip, held: Held) -> Iterator[str]:
    """What touches what with this thing in the jaws."""
    lever, lower = clip.open(held.turn)
    for part, plastic in (("lever", lever), ("saddle", clip.saddle)):
        if (near := gaps.least(plastic, held.skin, SOFT)) is not None:
            yield f"{held.name} comes within {near.size:.2f} mm of the {part}'s plastic, at {words(near.at)}"
    halves = {"lever": lever, "its pad": lower}, {"the saddle": clip.saddle, "the saddle's pad": clip.upper}
    for (mine, one), (theirs, other) in product(*(half.items() for half in halves)):
        if (near := gaps.least(one, other, SLACK)) is not None and near.size < SLACK - 1e-3:
            yield f"{held.name}: {mine} comes within {near.size:.2f} mm of {theirs}, at {words(near.at)}"


def grip(case: Case) -> Iterator[str]:
    """Lips and tubes are held by pads alone, which lie on the jaws; nothing of the two halves meets before."""
    clip = clip_of(case)
    for pad, jaw in (("pad-upper", "clip-saddle"), ("pad-lower", "clip-lever")):
        soft, hard = case.piece(pad), case.piece(jaw)
        if gaps.least(skin(soft), skin(hard), SINKS) is None or gaps.overlap(soft.shape, hard.shape) > SINKS:
            yield f"{pad} does not lie on {jaw}"
    for held in clip.held:
        if held.turn > clip.stop - SPARE:
            yield f"the clip does not open wide enough for {held.name}"
        elif held.turn < clip.rest:
            yield f"the clip does not close on {held.name}"
        else:
            yield from _between(clip, held)
