"""The project's file: the design rules and the classes of nets; all else in it stays as it is."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

# Width of the tracks of each class, how narrow they may get beside a pad, and the nets; millimetres. 0.8 mm of 35 um
# copper carries 2 A for a rise of about 20 K (IPC-2221, outer layer); the cell gives 1.1 A at most (power.py).
CLASSES: Mapping[str, tuple[float, float, tuple[str, ...]]] = {
    "power": (0.8, 0.32, ("5V", "BAT", "CELL", "GND", "VBUS", "VBUS_IN")),
    "supply": (0.5, 0.2, ("3V3", "3V3A")),
}
WIDTH = 0.25
# What a cheap two-layer board house makes without a question (common practice), millimetres.
CLEARANCE, NARROWEST, EDGE, VIA, VIA_HOLE = 0.2, 0.2, 0.5, 0.6, 0.3


# The two things that KiCad's usual rules would refuse here, and nothing more.
_UNDER = " || ".join(f"B.Reference == '{letter}*'" for letter in ("C", "R", "D", "F", "Q", "U"))
_EXCEPTIONS = f"""(version 1)
# The modules stand on sockets 8.5 mm high: small parts lie under them. Connectors, switches and other modules do not.
(rule "small parts lie under modules"
  (severity ignore)
  (condition "A.Reference == 'A*' && ({_UNDER})")
  (constraint courtyard_clearance (min 0mm)))
# The bodies of these stand over the edge, and the print of their outlines with them.
(rule "connectors stand over the edge"
  (severity ignore)
  (condition "A.Layer == 'Edge.Cuts' && (B.memberOfFootprint('J*') || B.memberOfFootprint('SW5'))")
  (constraint silk_clearance (min 0mm)))
"""


def width_of(net: str) -> float:
    """How wide the tracks of a net are where they have room, millimetres."""
    return next((width for width, _, nets in CLASSES.values() if net in nets), WIDTH)


def neck_of(net: str) -> float:
    """How wide they are where they have none, beside a pad, millimetres."""
    return next((neck for _, neck, nets in CLASSES.values() if net in nets), NARROWEST)


def write_project(path: Path) -> None:
    """Put the rules into a project's file; it is made when it is not there."""
    told: dict[str, Any] = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    told.setdefault("meta", {"filename": path.name, "version": 3})
    told["board"] = {"design_settings": {"rules": _rules()}}
    told["net_settings"] = {
        "classes": [_class("Default", WIDTH), *(_class(name, width) for name, (width, _, _) in CLASSES.items())],
        "meta": {"version": 4},
        "netclass_patterns": [
            {"netclass": name, "pattern": net} for name, (_, _, nets) in CLASSES.items() for net in nets
        ],
    }
    path.write_text(json.dumps(told, indent=2, sort_keys=True) + "\n", encoding="utf-8")
    path.with_suffix(".kicad_dru").write_text(_EXCEPTIONS, encoding="utf-8")


def _class(name: str, width: float) -> dict[str, object]:
    return {
        "name": name,
        "priority": 2147483647 if name == "Default" else 0,
        "clearance": CLEARANCE,
        "track_width": width,
        "via_diameter": VIA,
        "via_drill": VIA_HOLE,
        "microvia_diameter": 0.3,
        "microvia_drill": 0.1,
        "diff_pair_gap": 0.25,
        "diff_pair_via_gap": 0.25,
        "diff_pair_width": 0.2,
        "bus_width": 12,
        "line_style": 0,
        "wire_width": 6,
        "pcb_color": "rgba(0, 0, 0, 0.000)",
        "schematic_color": "rgba(0, 0, 0, 0.000)",
    }


def _rules() -> dict[str, float]:
    return {
        "min_clearance": CLEARANCE,
        "min_track_width": NARROWEST,
        "min_connection": 0.12,
        "min_copper_edge_clearance": EDGE,
        "min_hole_clearance": 0.25,
        "min_hole_to_hole": 0.25,
        "min_through_hole_diameter": VIA_HOLE,
        "min_via_diameter": VIA,
        "min_via_annular_width": 0.13,
        "min_resolved_spokes": 1,
        "min_silk_clearance": 0.0,
        "min_text_height": 0.8,
        "min_text_thickness": 0.1,
        "solder_mask_to_copper_clearance": 0.0,
        "use_height_for_length_calcs": True,
    }
