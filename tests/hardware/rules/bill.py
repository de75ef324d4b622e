"""The bill of materials: everything on the board that is bought is on it, with every column filled in."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator

from hardware.rules.built import Built

COLUMNS = (
    "Ref",
    "Qty",
    "Description",
    "Manufacturer",
    "MPN",
    "Key spec",
    "Alternative",
    "Datasheet",
    "Option",
    "Price EUR (2026-11, a guess)",
    "RoHS/CE note",
    "Search term",
)
ALWAYS = "Option"
"""The one column that may be empty: the part is always fitted then. An extra, which is soldered nowhere, may have no
data sheet either."""
UNLESS = "not fitted unless: "


def complete(built: Built) -> Iterator[str]:
    """Every line has every column; a part without a maker says what it must be, and a price says when it was."""
    if built.bill is None:
        yield "made/bom.csv: is not there; wanted it, made by hardware/build"
        return
    table = csv.DictReader(built.bill.splitlines())
    if tuple(table.fieldnames or ()) != COLUMNS:
        yield f"made/bom.csv: has the columns {table.fieldnames}; wanted {list(COLUMNS)}"
        return
    for line in table:
        where = f"made/bom.csv, {line['Ref']}"
        for column in COLUMNS:
            if column != ALWAYS and not (line[column] or "").strip():
                yield f"{where}: has no {column}; wanted it"
        if not re.fullmatch(r"\d+\.\d\d", line["Price EUR (2026-11, a guess)"] or ""):
            yield f"{where}: costs '{line['Price EUR (2026-11, a guess)']}'; wanted euro and cents"
        if _soldered(line["Ref"]):
            if not (line["Datasheet"] or "").startswith(("https://", "spec: ", "as ")):
                yield f"{where}: has '{line['Datasheet']}' for a data sheet; wanted a link or spec: ..."
            if line["MPN"] == "generic":
                yield f"{where}: is generic; wanted a number, or generic: and what it must be"


def same_parts(built: Built) -> Iterator[str]:
    """The bill has each part of the netlist that is bought, once, in the right number and under its option."""
    if built.bill is None:
        return  # complete tells
    bought = {ref for ref, item in built.items.items() if not item.part.copper}
    found: Counter[str] = Counter()
    for line in csv.DictReader(built.bill.splitlines()):
        refs = _soldered(line.get("Ref") or "")
        found.update(refs)
        if refs and line.get("Qty") != str(len(refs)):
            yield f"made/bom.csv, {line.get('Ref')}: says {line.get('Qty')} pieces; wanted {len(refs)}"
        for item in (built.items[ref] for ref in refs if ref in built.items):
            said = (line.get("Option") or "").removeprefix(UNLESS).partition(" (")[0]
            if said != item.option:
                yield f"made/bom.csv, {item.ref}: is of option '{said}'; wanted '{item.option}'"
    if twice := sorted(ref for ref, times in found.items() if times > 1):
        yield f"made/bom.csv: has {twice} more than once; wanted each part once"
    if missing := sorted(bought - set(found)):
        yield f"made/bom.csv: lacks {missing}; wanted every part of the netlist that is bought"
    if extra := sorted(set(found) - bought):
        yield f"made/bom.csv: has {extra}, which the netlist has not; wanted the same parts"


def _soldered(refs: str) -> list[str]:
    """The references of a line that stand in the netlist; X1 and so on are what is bought besides."""
    return [ref for ref in re.findall(r"[A-Z]+\d+", refs) if not re.fullmatch(r"X\d+", ref)]
