"""All rules by name, and the builds of the circuit that they judge."""

from __future__ import annotations

from inspect import isfunction, signature

from hardware.rules import beside, bill, boot, buses, header, off, piezo, protection, rails, sound, usb
from hardware.rules.built import Built, Rule

FAMILIES = (header, rails, buses, usb, protection, beside, off, sound, piezo, boot, bill)


def _rules() -> dict[str, Rule]:
    """Every public function of the families that takes the circuit and nothing else."""
    return {
        f"{family.__name__.rpartition('.')[2]}.{name}": rule
        for family in FAMILIES
        for name, rule in vars(family).items()
        if isfunction(rule)
        and rule.__module__ == family.__name__
        and not name.startswith("_")
        and signature(rule).return_annotation == "Iterator[str]"
    }


RULES = _rules()
BOUGHT = {name: rule for name, rule in RULES.items() if name.startswith("bill.")}
"""Those that judge what is bought, which is one list for all builds."""


def breaches(built: Built, rules: dict[str, Rule] = RULES) -> list[str]:
    """Every sentence of every rule, with the rule's name before it."""
    return [f"{name}: {sentence}" for name, rule in rules.items() for sentence in rule(built)]


def builds(built: Built) -> dict[str, Built]:
    """The circuit without an option, and with each option alone, by name."""
    options = sorted({item.option for item in built.items.values()} - {""})
    return {"no option": _with(built, ""), **{option: _with(built, option) for option in options}}


def _with(built: Built, option: str) -> Built:
    aside = {item.part.instead_of for item in built.items.values() if item.option == option}
    return built.keeping(lambda item: item.option in ("", option) and item.ref not in aside)
