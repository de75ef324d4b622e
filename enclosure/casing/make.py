"""Makes all of made/: `python -m casing.make --into FOLDER`, which is what `sh enclosure/build` runs."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from casing import exports, labels, look, sheets
from casing.assembly import pieces
from casing.coupon import coupon_pieces
from casing.figures import ENCLOSURE, FigureFault, parts, shell
from casing.lid import opening
from casing.piece import Piece
from casing.slicing import Sliced, SlicerFault, slice_part
from casing.variants import DISPLAYS, VARIANTS, Variant

DRAWN = (Variant("1.3"), Variant("2.42", carrier=False), Variant("2.42", cell=False))
"""Boxes with an exploded drawing and a section: with board, with modules, without a cell."""


def file_name(piece: Piece, variant: Variant) -> str:
    """The name of a part's file: what differs from box to box is in it."""
    ends = {
        "lid": f"-{variant.display}",
        "tray-front": f"-{variant.display}",
        "base": "-cell" if variant.cell else "-plain",
    }
    return piece.name + ends.get(piece.name, "")


@cache
def distinct() -> dict[str, Piece]:
    """Every printed part once, by the name of its file; the coupon too."""
    found = {file_name(p, v): p for v in VARIANTS for p in pieces(v) if p.printed}
    return dict(sorted(found.items())) | {p.name: p for p in coupon_pieces(shell(), parts())}


def hours(seconds: int) -> str:
    """As "3 h 05 min"; above an hour to five minutes, for the slicer is not always of one mind."""
    minutes = round(seconds / 60)
    minutes = minutes if minutes < 60 else 5 * round(minutes / 5)
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{minutes} min"


def table(sliced: dict[str, Sliced]) -> str:
    """The list of parts, and what each box takes."""
    lines = [
        "# What is printed",
        "",
        "Made by `sh enclosure/build`: PrusaSlicer with `slicer.ini` (PETG, 0.2 mm layers, four lines, 25 per cent",
        "inside), a printer that nobody has. *Held up* is the length of supports that the slicer would put under",
        "steep places and bridges if it were let, of all that it prints: short bridges, which need none.",
        "",
        "| part | size, mm | time | mass, g | held up |",
        "|---|---|---|---|---|",
    ]
    for name, s in sliced.items():
        size = " x ".join(f"{v:.0f}" for v in s.size)
        lines.append(f"| {name} | {size} | {hours(s.seconds)} | {s.grams:.1f} | {s.supports / s.length:.1%} |")
    lines += ["", "| box | time | mass, g |", "|---|---|---|"]
    for variant in VARIANTS:
        own = [sliced[file_name(p, variant)] for p in pieces(variant) if p.printed]
        lines.append(f"| {variant.name} | {hours(sum(s.seconds for s in own))} | {sum(s.grams for s in own):.0f} |")
    lines += ["", "| display | clear sheet, mm | thickness, mm |", "|---|---|---|"]
    for display in DISPLAYS:
        _, _, w, h = opening(shell(), parts(), Variant(display))
        ledge = 2 * shell().mm("window.ledge")
        lines.append(
            f'| {display} | {w + ledge:.1f} x {h + ledge:.1f} | {parts().mm(f"""display."{display}".pane"""):g} |'
        )
    return "\n".join(lines) + "\n"


def make(into: Path) -> Iterator[str]:
    """Makes everything; a word at each step."""
    for folder in ("parts", "drawings", "pictures"):
        (into / folder).mkdir(parents=True, exist_ok=True)
    yield "solids"
    every = distinct()
    yield f"{len(every)} parts as STEP and STL"
    for name, piece in every.items():
        exports.write_step(piece, into / "parts" / f"{name}.step")
        exports.write_stl(piece, into / "parts" / f"{name}.stl")
    yield f"{len(VARIANTS)} boxes as 3MF"
    for variant in VARIANTS:
        exports.write_3mf([p for p in pieces(variant) if p.printed], variant.name, into / f"{variant.name}.3mf")
    yield "drawings, labels"
    for variant in DRAWN:
        (into / "drawings" / f"apart-{variant.name}.svg").write_text(sheets.drawing(variant), "utf-8")
        (into / "drawings" / f"section-{variant.name}.svg").write_text(sheets.cut(variant), "utf-8")
    (into / "drawings" / "labels.svg").write_text(labels.sheet(), "utf-8")
    yield "pictures"
    for name, image in sheets.pictures().items():
        look.save(image, str(into / "pictures" / f"{name}.png"))
    yield "time and mass, by the slicer"
    with TemporaryDirectory() as folder:
        sliced = {name: slice_part(into / "parts" / f"{name}.stl", Path(folder)) for name in every}
    (into / "parts.md").write_text(table(sliced), "utf-8")


def main() -> int:
    """The command; its exit code."""
    reader = argparse.ArgumentParser(prog="casing.make", description=__doc__)
    reader.add_argument("--into", type=Path, default=ENCLOSURE / "made", metavar="FOLDER")
    into: Path = reader.parse_args().into
    started = time.monotonic()
    try:
        for word in make(into):
            sys.stdout.write(f"{time.monotonic() - started:4.0f} s  {word}\n")
            sys.stdout.flush()
    except (FigureFault, SlicerFault) as fault:
        sys.stderr.write(f"enclosure: {fault}\n")
        return 1
    sys.stdout.write(f"{time.monotonic() - started:4.0f} s  made: {into}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
