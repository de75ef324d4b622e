"""What goes to a board house is whole, and is of this board."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from hardware.gerber import GerberFault, read_drill, read_gerber
from making.copper import Board, load_board
from making.fabrication import LAYERS
from making.into import MADE
from making.layout import load_layout
from making.tracks import VIA, VIA_HOLE

FAB = MADE / "fab"
FUNCTIONS = {
    "F.Cu": "Copper,L1,Top",
    "B.Cu": "Copper,L2,Bot",
    "F.Paste": "Paste,Top",
    "B.Paste": "Paste,Bot",
    "F.Silkscreen": "Legend,Top",
    "B.Silkscreen": "Legend,Bot",
    "F.Mask": "Soldermask,Top",
    "B.Mask": "Soldermask,Bot",
    "Edge.Cuts": "Profile,NP",
}


@pytest.fixture(scope="module")
def board() -> Board:
    return load_board(MADE / "airladder.kicad_pcb")


def of(layer: str) -> Path:
    (path,) = FAB.glob(f"airladder-{layer.replace('.', '_')}.g*")
    return path


@pytest.mark.parametrize("layer", LAYERS)
def test_a_layer_is_whole_and_is_what_it_says(layer: str) -> None:
    assert read_gerber(of(layer)).function == FUNCTIONS[layer]


def test_the_profile_is_as_large_as_the_board() -> None:
    points = read_gerber(of("Edge.Cuts")).points
    width, height = load_layout().size
    assert (min(x for x, _ in points), max(x for x, _ in points)) == pytest.approx((0.0, width), abs=0.001)
    assert (min(y for _, y in points), max(y for _, y in points)) == pytest.approx((0.0, height), abs=0.001)


@pytest.mark.parametrize("layer", ["F.Cu", "B.Cu"])
def test_all_copper_lies_inside_the_profile(layer: str) -> None:
    width, height = load_layout().size
    points = read_gerber(of(layer)).points
    assert len(points) > 1000
    assert all(0.0 < x < width and 0.0 < y < height for x, y in points)


def test_every_pad_and_via_is_flashed_on_its_side(board: Board) -> None:
    vias = sum(track.layer == VIA for track in board.tracks)
    pads = [pad for part in board.parts.values() for pad in part.pads]
    assert read_gerber(of("F.Cu")).flashes >= vias + sum(pad.front for pad in pads)
    assert read_gerber(of("B.Mask")).flashes >= sum(pad.back for pad in pads) - 3  # the jumper's pads are drawn


def test_the_drill_files_have_every_hole_once(board: Board) -> None:
    pads = [pad for part in board.parts.values() for pad in part.pads if pad.hole]
    plated, bare = read_drill(FAB / "airladder-PTH.drl"), read_drill(FAB / "airladder-NPTH.drl")
    vias = Counter({VIA_HOLE: sum(track.layer == VIA for track in board.tracks)})
    assert bare == Counter(pad.hole for pad in pads if not pad.plated)
    assert sum(plated.values()) == sum(pad.plated for pad in pads) + vias.total()
    assert plated[VIA_HOLE] == vias[VIA_HOLE]
    assert min(plated) >= VIA_HOLE


def test_the_job_file_names_all_layers_and_the_revision() -> None:
    told = json.loads((FAB / "airladder-job.gbrjob").read_text(encoding="utf-8"))
    assert {one["Path"] for one in told["FilesAttributes"]} == {of(layer).name for layer in LAYERS}
    assert told["GeneralSpecs"]["LayerNumber"] == 2
    assert told["GeneralSpecs"]["ProjectId"]["Revision"] == "A"


def test_no_file_names_the_time_or_a_folder_of_the_machine() -> None:
    for path in FAB.iterdir():
        if path.suffix != ".pdf":
            text = path.read_text(encoding="utf-8")
            assert "/home" not in text
            assert all(day.startswith("2026-01-01") for day in _days(text)), path.name


def test_a_gerber_that_was_cut_short_is_refused(tmp_path: Path) -> None:
    short = tmp_path / "short.gbr"
    short.write_text(of("F.Mask").read_text(encoding="ascii")[:-20], encoding="ascii")
    with pytest.raises(GerberFault, match="end"):
        read_gerber(short)


def test_a_gerber_without_an_aperture_is_refused(tmp_path: Path) -> None:
    broken = tmp_path / "broken.gbr"
    lines = of("F.Mask").read_text(encoding="ascii").splitlines()
    gone = next(line for line in lines if line.startswith("%ADD10"))
    broken.write_text("\n".join(line for line in lines if line != gone), encoding="ascii")
    with pytest.raises(GerberFault, match="aperture 10"):
        read_gerber(broken)


def _days(text: str) -> list[str]:
    return [part[:10] for part in text.split("CreationDate")[1:] for part in [part.lstrip(',": ')]]
