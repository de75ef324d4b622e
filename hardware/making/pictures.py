"""Pictures of a PDF's pages: small enough to be committed, large enough to read every letter."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from PIL import Image

from making.kicad import PATIENCE, KicadFault


def pictures(of: Path, folder: Path, names: Sequence[str], dots: int = 135) -> None:
    """Write each page of a PDF as sheet-NAME.png, so many dots an inch, in few colours to stay small."""
    folder.mkdir(parents=True, exist_ok=True)
    for page, name in enumerate(names, 1):
        words = ["pdftoppm", "-r", str(dots), "-f", str(page), "-l", str(page)]
        into = folder / f"sheet-{name}"
        words += ["-png", "-singlefile", str(of), str(into)]
        try:
            subprocess.run(words, check=True, capture_output=True, timeout=PATIENCE)
        except (OSError, subprocess.SubprocessError) as wrong:
            raise KicadFault(f"the picture of {name} could not be made with pdftoppm: {wrong}") from wrong
        with Image.open(into.with_suffix(".png")) as picture:
            few = picture.convert("RGB").quantize(32, dither=Image.Dither.NONE)
        few.save(into.with_suffix(".png"), optimize=True)
