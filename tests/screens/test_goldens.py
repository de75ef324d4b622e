"""Every sample screen is, pixel for pixel, the one that was looked at and agreed."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageChops

from airladder.panel import gallery
from airladder.panel.charting import chart
from airladder.panel.mapping import examples, explore

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "firmware" / "pictures"


@pytest.mark.parametrize("name", gallery.samples())
def test_the_screen_is_drawn_as_agreed(name: str, golden: Path, redraw: bool) -> None:
    drawn = gallery.picture(gallery.samples()[name])
    path = golden / f"{name}.png"
    if redraw:
        drawn.save(path, optimize=True)
        pytest.fail(f"{path.name} was drawn anew: look at it, then run again without --redraw")
    agreed = Image.open(path)
    assert (agreed.mode, agreed.size) == (drawn.mode, drawn.size) == ("1", (128, 64))
    assert ImageChops.logical_xor(agreed, drawn).getbbox() is None, f"{name} is drawn differently in this box"


def test_no_agreed_picture_is_without_its_sample(golden: Path) -> None:
    assert {path.stem for path in golden.glob("*.png")} == set(gallery.samples())


def test_no_two_samples_look_the_same() -> None:
    pictures = {name: gallery.picture(sample).tobytes() for name, sample in gallery.samples().items()}
    assert len(set(pictures.values())) == len(pictures)


def test_the_enlarged_picture_keeps_every_pixel() -> None:
    small = gallery.picture(gallery.samples()["sounding-sharp"])
    big = gallery.enlarged(small, scale=5, margin=20)
    assert big.size == (128 * 5 + 40, 64 * 5 + 40)
    middles = big.crop((20, 20, 20 + 640, 20 + 320)).resize((128, 64), Image.Resampling.NEAREST)
    assert middles.point(lambda value: value > 100 and 255, "1").tobytes() == small.tobytes()


def test_the_gallery_writes_one_file_a_sample(tmp_path: Path) -> None:
    written = gallery.write(tmp_path / "new")
    assert [path.stem for path in written] == [*gallery.samples(), gallery.ALL, gallery.MAP]
    assert all(path.stat().st_size > 0 for path in written)


REPORT = "report"  # a browser's picture of the report of invented practice; the fonts of a computer make it another
SINGLE = sorted(path for path in PICTURES.glob("*.png") if path.stem not in (gallery.ALL, REPORT))


@pytest.mark.parametrize("path", SINGLE, ids=lambda path: path.stem)
def test_the_pictures_of_the_readme_are_the_real_screens(path: Path) -> None:
    shown = Image.open(path).convert("RGB")
    drawn = gallery.enlarged(gallery.picture(gallery.samples()[path.stem])).convert("RGB")
    assert ImageChops.difference(shown, drawn).getbbox() is None, "draw it anew: airladder screens --out DIR"


def test_the_sheet_of_all_screens_is_the_real_one() -> None:
    shown = Image.open(PICTURES / f"{gallery.ALL}.png").convert("L")
    assert ImageChops.difference(shown, gallery.together()).getbbox() is None, "draw it anew: airladder screens"


def test_the_map_shows_what_the_presses_do_and_stands_in_the_notes_for_developers() -> None:
    drawn = (PICTURES / f"{gallery.MAP}.svg").read_text(encoding="utf-8")
    assert drawn == chart(explore(*examples())), "draw it anew: airladder screens --out DIR"
    assert f"firmware/pictures/{gallery.MAP}.svg" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_readme_shows_every_one_of_its_pictures() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert PICTURES.is_dir()
    for path in PICTURES.glob("*.png"):
        assert f"firmware/pictures/{path.name}" in readme
