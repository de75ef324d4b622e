"""The papers of the hardware: what they point at is there, and what they name is in the circuit."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path

import pytest

from making import sound_out
from making.circuit import HARDWARE, Circuit, load
from making.codec import levels

PAPERS = sorted([*HARDWARE.glob("*.md"), *HARDWARE.glob("made/*.md")])
_LINK = re.compile(r"\]\(([^)#:]+)\)")
_REF = re.compile(r"(?<![\w/-])(?:[ACDFJQRUX]|DS|FB|JP|MK|SW|TP)\d{1,2}(?![\w-])")


@pytest.fixture(scope="module", name="circuit")
def _circuit() -> Circuit:
    return load()


def dead_links(paper: Path, text: str) -> list[str]:
    return [link for link in _LINK.findall(text) if not (paper.parent / link).exists()]


def read(name: str) -> str:
    return (HARDWARE / name).read_text("utf-8")


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: str(paper.relative_to(HARDWARE)))
def test_what_a_paper_points_at_is_there(paper: Path) -> None:
    text = paper.read_text("utf-8")
    assert dead_links(paper, text) == []
    assert dead_links(paper, text + "[gone](gone.md)") == ["gone.md"]


@pytest.mark.parametrize("name", ["ASSEMBLY.md", "BRINGUP.md", "SAFETY.md"])
def test_a_paper_names_only_parts_that_are_there(name: str, circuit: Circuit) -> None:
    with (HARDWARE / "extras.toml").open("rb") as file:
        known = {extra["ref"] for extra in tomllib.load(file)["extra"]} | circuit.items.keys()
    named = set(_REF.findall(read(name)))
    assert named
    assert named - known == set()


def test_every_option_is_told(circuit: Circuit) -> None:
    with (HARDWARE / "extras.toml").open("rb") as file:
        options = {extra.get("option") for extra in tomllib.load(file)["extra"]}
    options |= {item.option for item in circuit.items.values()}
    for option in options - {None, ""}:
        assert f"| *{option}* |" in read("ASSEMBLY.md")
        assert f"| *{option}* |" in read("README.md")


def test_the_board_has_the_size_that_the_papers_tell() -> None:
    with (HARDWARE / "layout.toml").open("rb") as file:
        wide, high = tomllib.load(file)["board"]["size"]
    for name in ("README.md", "ASSEMBLY.md"):
        assert re.findall(r"(\d+) x (\d+) mm", read(name)) == [(f"{wide:.0f}", f"{high:.0f}")]


def test_the_phones_limits_are_those_that_are_reckoned(circuit: Circuit) -> None:
    text = read("SAFETY.md")
    most = [1000 * sound_out.SQUARE * sound_out.divided(circuit, ohms, worst=True) for ohms in (math.inf, 32.0)]
    told = re.search(r"at most (\d+) mV open and (\d+) mV at 32 ohm", text)
    assert told
    assert [float(number) for number in told.groups()] == [round(number) for number in most]
    assert f"up to {sound_out.spl(most[0] / 1000):.0f} dB" in text
    assert f"mixer takes off {-levels('bell').phones:.0f} dB" in " ".join(text.split())
    assert round(1 / sound_out.divided(circuit, math.inf)) == 9


def test_the_revision_that_is_made_stands_in_the_changes(circuit: Circuit) -> None:
    assert f"## Revision {circuit.revision}, {circuit.date}" in read("CHANGES.md")


def test_no_paper_is_longer_than_one_sitting() -> None:
    assert [paper.name for paper in HARDWARE.glob("*.md") if len(paper.read_text("utf-8").splitlines()) > 200] == []
