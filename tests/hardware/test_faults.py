"""Every rule finds the faults that are put in for it, and every rule has one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hardware import faults_of_parts, faults_of_wires
from hardware.breaking import Case, unchanged
from hardware.faults_of_wires import PLANNED
from hardware.rules.every import RULES
from making import kicad as kicad_cli
from making import schematic
from making.netlist import read
from said import Sentences

FAULTS = faults_of_wires.FAULTS | faults_of_parts.FAULTS


@pytest.fixture(scope="module")
def whole() -> Case:
    """What lies in the repository."""
    return unchanged()


@pytest.mark.parametrize("story", FAULTS)
def test_the_fault_is_found_by_its_rule(story: str, whole: Case) -> None:
    name, change = FAULTS[story]
    broken = change(whole)
    assert broken != whole, "the fault changes nothing"
    before, after = list(RULES[name](whole.built())), list(RULES[name](broken.built()))
    assert set(after) - set(before), f"{name} does not see that {story}"


@pytest.mark.usefixtures("kicad")
@pytest.mark.parametrize("story", PLANNED)
def test_the_planned_fault_is_found_in_what_kicad_exports(story: str, whole: Case, tmp_path: Path) -> None:
    """The whole way: description, drawing, KiCad's netlist, rule."""
    name, change = PLANNED[story]
    broken = change(whole)
    kicad_cli.netlist(schematic.write(broken.circuit, tmp_path), tmp_path / "netlist.xml")
    exported = replace(broken.built(), nets=read(tmp_path / "netlist.xml").nets)
    assert set(RULES[name](exported)) - set(RULES[name](whole.built())), f"{name} does not see that {story}"


def test_every_rule_has_a_fault_that_it_finds() -> None:
    assert {name for name, _ in FAULTS.values()} == set(RULES)


def test_every_sentence_of_the_rules_is_brought_out_by_a_fault(whole: Case) -> None:
    sentences = Sentences(sorted((Path(__file__).parent / "rules").glob("*.py")))
    for name, change in FAULTS.values():
        sentences.heard(RULES[name](change(whole).built()))
    assert sentences.unsaid() == []
