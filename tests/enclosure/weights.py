"""What a box weighs, by the solids that are printed and by parts.toml for what is bought."""

from __future__ import annotations

from enclosure.case import Case
from enclosure.measure import mass
from enclosure.measure.mass import Load

CLIP, HOOK = ("clip", "pad"), ("belt",)
"""Beginnings of the names of their pieces."""


def balance(case: Case, *without: str) -> mass.Balance:
    """What all of it weighs, and its centre.

    Parameters
    ----------
    without : beginnings of the names of what is left out
    """
    density, grams = case.parts.mm("material.density"), case.parts.names("grams")
    loads: list[Load] = []
    for piece in case.pieces:
        key = next((k for k in grams if k != "source" and piece.name.replace(" ", "_").startswith(k)), None)
        if piece.name.startswith(without):
            continue
        if piece.printed:
            loads.append(Load.dense(piece.shape, density))
        elif piece.name in {"cell", "capsule"}:
            loads.append(Load(piece.shape, case.parts.mm(f"{piece.name}.grams")))
        elif piece.name == "display module":
            loads.append(Load(piece.shape, case.parts.mm(f'display."{case.variant.display}".grams')))
        elif key is not None:
            loads.append(Load(piece.shape, case.parts.mm(f"grams.{key}")))
    return mass.centre(loads)
