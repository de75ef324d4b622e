"""The bill of materials: every part that the circuit wants, grouped, and what stands in extras.toml besides.

Conventions
-----------
Prices in euro a piece, guesses of November 2026. Copper-only parts are left out: nobody buys them. A part of which
some pieces belong to an option has a line for each option.
"""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE, Circuit, Item, Part, load, load_parts
from making.into import folder_asked_for
from making.values import in_full

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
UNLESS = "not fitted unless: "

_HEAD = """# Bill of materials

Made by `python -m making.bom` from circuit.toml, parts.toml and extras.toml; [bom.csv](bom.csv) has the same lines
with all columns. Prices are guesses of November 2026, without carriage: they show where the money goes, no more. The
last column is the price of all pieces of its line. Generic parts are generic on purpose: whoever meets the key spec
will do.
With the option *wires* the board X1 and the strips X2 to X5 are not needed.

RoHS is asked of each part's seller. The kit and what you build from it bear no CE mark, for nobody has tested the
whole; whoever sells built ones must see to that, under the rules of the place.

| Ref | Qty | What | MPN or spec | Option | EUR |
|---|---|---|---|---|---|
"""


@dataclass(frozen=True)
class Line:
    """One line of the list.

    Parameters
    ----------
    refs : references, in natural order; of an extra, its own name
    quantity : pieces, or sets of an extra
    option : the option that it belongs to; empty when it is always bought
    instead_of : the reference that it stands in for
    price : euro a piece
    """

    refs: tuple[str, ...]
    quantity: int
    description: str
    maker: str
    mpn: str
    spec: str
    alternative: str
    datasheet: str
    option: str
    instead_of: str
    price: float
    rohs: str
    search: str

    @property
    def option_text(self) -> str:
        """What the column says."""
        if not self.option:
            return ""
        return f"{UNLESS}{self.option}" + (f" (then not {self.instead_of})" if self.instead_of else "")

    def row(self) -> tuple[str, ...]:
        """The cells, in the order of COLUMNS."""
        return (
            " ".join(self.refs),
            str(self.quantity),
            self.description,
            self.maker,
            self.mpn,
            self.spec,
            self.alternative,
            self.datasheet,
            self.option_text,
            f"{self.price:.2f}",
            self.rohs,
            self.search,
        )


def lines(circuit: Circuit, folder: Path = HARDWARE) -> list[Line]:
    """The parts in the order of parts.toml, then the extras.

    Parameters
    ----------
    circuit : what is soldered
    folder : where parts.toml and extras.toml are
    """
    with (folder / "extras.toml").open("rb") as file:
        told = tomllib.load(file)
    groups: dict[tuple[str, str], list[Item]] = {}
    for item in circuit.items.values():
        if not item.part.copper:
            groups.setdefault((item.part.key, item.option), []).append(item)
    order = list(load_parts(folder))
    sorted_groups = sorted(groups.items(), key=lambda group: (order.index(group[0][0]), group[0][1]))
    return [_of_circuit(items, told["rohs"]) for _, items in sorted_groups] + [_extra(one) for one in told["extra"]]


def natural(ref: str) -> tuple[str, int]:
    """R2 stands before R10."""
    letters = ref.rstrip("0123456789")
    return letters, int(ref[len(letters) :] or 0)


def total(some: Iterable[Line]) -> float:
    """The price of all pieces, euro."""
    return round(sum(line.price * line.quantity for line in some), 2)


def as_csv(some: Sequence[Line]) -> str:
    """The list as a table for programs."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(line.row() for line in some)
    return out.getvalue()


def as_page(some: Sequence[Line]) -> str:
    """The list as a table for people, with its sums."""
    rows = [
        f"| {' '.join(line.refs)} | {line.quantity} | {line.description} | {_bought(line)} | {line.option_text} |"
        f" {line.price * line.quantity:.2f} |"
        for line in some
    ]
    sums = [f"Always bought: {total(line for line in some if not line.option):.2f} EUR, a guess."]
    for option in sorted({line.option for line in some if line.option}):
        sums.append(f"Option *{option}*: {total(line for line in some if line.option == option):.2f} EUR more.")
    return _HEAD + "\n".join(rows) + "\n\n" + "\n".join(f"- {text}" for text in sums) + "\n"


def _bought(line: Line) -> str:
    return line.mpn if line.maker in ("any", "any board house") else f"{line.maker} {line.mpn}"


def _of_circuit(items: Sequence[Item], rohs: dict[str, str]) -> Line:
    part = items[0].part
    sort = "module" if part.symbol.startswith("box:") else "part"
    size, amount = _size(part), _amount(part)
    passive = part.mpn == "generic"
    return Line(
        refs=tuple(sorted((item.ref for item in items), key=natural)),
        quantity=len(items),
        description=f"{part.description}, {amount}" if passive else part.description,
        maker=part.maker,
        mpn=f"generic: {amount}, {part.spec}, {size}" if passive else part.mpn,
        spec=part.spec,
        alternative=part.alternative,
        datasheet=f"spec: {part.spec}" if part.datasheet == "spec" else part.datasheet,
        option=items[0].option,
        instead_of=part.instead_of,
        price=part.price,
        rohs=rohs.get(part.key, rohs[sort]),
        search=" ".join([part.search, amount] + [size] * (size not in part.search)) if passive else part.search,
    )


def _size(part: Part) -> str:
    """The size that the footprint's name tells, like 0805; empty where it tells none."""
    found = re.search(r"_(\d{4})_\d{4}Metric", part.footprint)
    return found[1] if found else ""


def _amount(part: Part) -> str:
    unit = {"Device:C": "F", "Device:R": "ohm"}.get(part.symbol)
    return part.value if unit is None else in_full(part.value, unit)


def _extra(table: dict[str, Any]) -> Line:
    told = {"option": "", "instead_of": ""} | {name: value for name, value in table.items() if name != "strip"}
    return Line(refs=(told.pop("ref"),), **told)


def main() -> None:
    """Write bom.csv and bom.md."""
    made, all_lines = folder_asked_for(main.__doc__), lines(load())
    (made / "bom.csv").write_text(as_csv(all_lines), "utf-8")
    (made / "bom.md").write_text(as_page(all_lines), "utf-8")


if __name__ == "__main__":
    main()
