"""The circuit keeps every rule: as KiCad exports it, and in every way it may be fitted out."""

from __future__ import annotations

import pytest

from airladder.devices.pins import pin_map
from hardware.rules.built import Built, described, with_nets
from hardware.rules.every import BOUGHT, RULES, breaches, builds
from making.circuit import HARDWARE, load
from making.netlist import Netlist, read

DESCRIBED = described(load(), pin_map())
OPTIONS = builds(DESCRIBED)


@pytest.fixture(scope="module")
def netlist() -> Netlist:
    """What KiCad exported."""
    path = HARDWARE / "made/netlist.xml"
    assert path.exists(), "hardware/made/netlist.xml is not there; make it with hardware/build"
    return read(path)


@pytest.fixture(scope="module")
def exported(netlist: Netlist) -> Built:
    """The parts on the nets that KiCad exported."""
    return with_nets(load(), netlist.nets, pin_map())


@pytest.mark.parametrize("name", RULES)
def test_the_netlist_keeps_the_rule(name: str, exported: Built) -> None:
    assert list(RULES[name](exported)) == []


@pytest.mark.parametrize("option", OPTIONS)
def test_the_rules_are_kept_with_only_that_option(option: str, exported: Built) -> None:
    fitted = builds(exported)[option]
    assert breaches(fitted, {name: rule for name, rule in RULES.items() if name not in BOUGHT}) == []


def test_kicad_exports_the_nets_of_the_description(netlist: Netlist) -> None:
    """The faults are put into the description, so it must be what lies in made/, also where there is no KiCad."""
    assert netlist.nets == DESCRIBED.nets


def test_kicad_exports_the_parts_of_the_description(netlist: Netlist) -> None:
    """The rules read values from the description: they must be those of the drawing."""
    wanted = {ref: (item.part.value, not item.option) for ref, item in DESCRIBED.items.items()}
    assert {ref: (part.value, part.fitted) for ref, part in netlist.parts.items()} == wanted
