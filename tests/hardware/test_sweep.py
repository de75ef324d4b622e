"""Every part and every pin of the circuit is missed by a rule: each is left out, opened and joined to another net.

The table of faults tells that each rule sees something; this tells that nothing is seen by none.
"""

from __future__ import annotations

import pytest

from hardware.breaking import Case, Change, move, unchanged, without
from hardware.rules.every import BOUGHT, RULES, breaches

# The bill would see each part that is missing, so it is left out here.
ELECTRICAL = {name: rule for name, rule in RULES.items() if name not in BOUGHT}
UNMISSED = {
    "DS1": "the other display row stands in for it",
    "DS2": "an option that does nothing but stand in",
    "R2": "an option; where it is built is looked at",
    "TP3": "ground has a second pad",
    "TP15": "ground has a second pad",
}
"""Parts that may be left out and no rule is broken, and why."""


@pytest.fixture(scope="module")
def whole() -> Case:
    """What lies in the repository."""
    return unchanged()


@pytest.fixture(scope="module")
def before(whole: Case) -> set[str]:
    """What the rules say of it."""
    return set(breaches(whole.built(), ELECTRICAL))


def test_every_part_is_missed_when_it_is_left_out(whole: Case, before: set[str]) -> None:
    assert {ref for ref in whole.circuit.items if not _seen(without(ref), whole, before)} == set(UNMISSED)


@pytest.mark.parametrize("to", [None, "GND", "3V3"])
def test_every_pin_is_missed_when_it_is_open_or_on_another_net(to: str | None, whole: Case, before: set[str]) -> None:
    unseen = {
        f"{ref}.{pin}"
        for ref, item in whole.circuit.items.items()
        for pin, net in item.pins.items()
        if net != to and not _seen(_on(ref, pin, to), whole, before)
    }
    assert unseen - _doubled(whole) - {"TP3.1", "TP15.1"} == set()


def _on(ref: str, pin: str, to: str | None) -> Change:
    return move(ref, **{f"p{pin}" if pin.isdigit() else pin: to})


def _seen(change: Change, whole: Case, before: set[str]) -> bool:
    return bool(set(breaches(change(whole).built(), ELECTRICAL)) - before)


def _doubled(whole: Case) -> set[str]:
    """Pins of a protection that has another protecting pin on the same net: one of the two is enough."""
    return {
        f"{ref}.{pin}"
        for ref, item in whole.circuit.items.items()
        for pin in item.part.esd
        if any(other != pin and item.pins.get(other) == item.pins.get(pin) for other in item.part.esd)
    }
