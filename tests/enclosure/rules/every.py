"""All rules by their names."""

from __future__ import annotations

from enclosure.case import Rule
from enclosure.rules import belt, forces, form, grip, inside, joints, outside, player, stand

RULES: dict[str, Rule] = {
    "whole": form.whole,
    "walls": form.walls,
    "panels": form.panels,
    "bed": form.bed,
    "hangs": form.hangs,
    "room": inside.room,
    "board room": inside.board_room,
    "overlaps": inside.overlaps,
    "holds": inside.holds,
    "cell": inside.cell,
    "shelf": inside.shelf,
    "screws": joints.screws,
    "snaps": joints.snaps,
    "assembly": joints.assembly,
    "plugs": outside.plugs,
    "knob": outside.knob,
    "vents": outside.vents,
    "sound": outside.sound,
    "cable": outside.cable,
    "window": player.window,
    "no gap": player.no_gap,
    "keys": player.keys,
    "told apart": player.told_apart,
    "eyes": player.eyes,
    "grip": grip.grip,
    "spring": forces.spring,
    "tubes": forces.tubes,
    "tips": stand.tips,
    "grooves": stand.grooves,
    "belt": belt.belt,
}
