"""What goes to a board house, and pictures: `python -m making.fabrication` writes made/fab, the solid and pictures.

Gerbers with KiCad's usual file names and their job file, the drill files with a map, and lists of the parts' places:
airladder-smd.csv of the parts that a machine places, airladder-all.csv of all. The origin is the left lower corner.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from PIL import Image

from making import kicad
from making.into import folder_asked_for

LAYERS = ("F.Cu", "B.Cu", "F.Paste", "B.Paste", "F.Silkscreen", "B.Silkscreen", "F.Mask", "B.Mask", "Edge.Cuts")
_VIEWS = {
    "front": ("--side", "top", "--zoom", "1.2"),
    "back": ("--side", "bottom", "--zoom", "1.2"),
    "angle": ("--side", "bottom", "--rotate", "-40,0,20", "--zoom", "1.0"),
}
_COLOURS = 96


def fabricate(board: Path, folder: Path) -> None:
    """Write all that a board house wants into a folder, which is emptied before.

    Raises
    ------
    KicadFault
        KiCad is missing, or a call of it failed.
    """
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    origin = "--use-drill-file-origin"
    kicad.run(("pcb", "export", "gerbers", origin, "--layers", ",".join(LAYERS), "-o", f"{folder}/", board))
    drill = ("--drill-origin", "plot", "--excellon-separate-th", "--generate-map", "--map-format", "pdf")
    kicad.run(("pcb", "export", "drill", *drill, "-o", f"{folder}/", board))
    for name, words in (("smd", ("--smd-only",)), ("all", ())):
        into = folder / f"{board.stem}-{name}.csv"
        kicad.run(("pcb", "export", "pos", "--format", "csv", "--units", "mm", *words, origin, "-o", into, board))


def solid(board: Path, into: Path) -> None:
    """Write the board and all bodies on it as one STEP file; the left upper corner is the origin."""
    words = ("--force", "--min-distance", "0.01mm", "--drill-origin", "-o", into, board)
    kicad.run(("pcb", "export", "step", *words))


def pictures(board: Path, folder: Path) -> None:
    """Draw the board with its parts from the front, from the back, and aslant, in few colours."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, words in _VIEWS.items():
        into = folder / f"board-{name}.png"
        size = ("-w", "1600", "-h", "1150", "--quality", "basic", "--background", "opaque")
        kicad.run(("pcb", "render", *size, *words, "-o", into, board))
        with Image.open(into) as picture:
            few = picture.convert("RGB").quantize(_COLOURS, dither=Image.Dither.NONE)
        few.save(into, optimize=True)


def main() -> None:
    """Write all of it for the board that is made."""
    folder = folder_asked_for(main.__doc__)
    board = folder / "airladder.kicad_pcb"
    fabricate(board, folder / "fab")
    solid(board, folder / "airladder.step")
    pictures(board, folder / "pictures")


if __name__ == "__main__":
    main()
