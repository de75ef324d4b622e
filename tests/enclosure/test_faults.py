"""Every rule passes the box that is right, finds the faults that are put in for it, and has one."""

from __future__ import annotations

from pathlib import Path

import pytest

from casing.variants import VARIANTS, Variant
from enclosure.case import Case, case
from enclosure.chosen import ALL, chosen
from enclosure.clip_forces import HEAVIEST
from enclosure.faults import FAULTS
from enclosure.rules.every import RULES
from said import Sentences

CHECKED = (
    VARIANTS
    if ALL
    else (
        Variant("1.3", cell=True, carrier=True),
        Variant("1.3", cell=False, carrier=False),
        Variant("0.96", cell=False, carrier=True),
        Variant("2.42", cell=True, carrier=False),
    )
)
"""Every part is in one of them, and lid and base meet board and tray; the acceptance looks at all boxes."""


SENTENCES = Sentences(sorted((Path(__file__).parent / "rules").glob("*.py")))


@pytest.fixture(scope="module")
def right() -> Case:
    return case(Variant())


SAME_EVERYWHERE = {"grip", "spring", "tubes"}
"""The clip is the same for all; it is tried, which takes a while, on the heaviest box alone."""


@pytest.mark.parametrize(
    ("name", "variant"),
    [(name, v) for v in CHECKED for name in RULES if v == HEAVIEST or name not in SAME_EVERYWHERE],
    ids=lambda of: of if isinstance(of, str) else of.name,
)
def test_the_box_keeps_the_rule(name: str, variant: Variant) -> None:
    assert list(RULES[name](case(variant))) == []


@pytest.mark.parametrize("story", chosen(FAULTS))
def test_the_fault_is_found_by_its_rule(story: str, right: Case) -> None:
    name, change = FAULTS[story]
    assert SENTENCES.heard(RULES[name](change(right))), f"{name} does not see that {story}"


@pytest.mark.skipif(not ALL, reason="`sh tests/acceptance/run enclosure` puts every fault in")
def test_every_sentence_of_the_rules_is_brought_out_by_a_fault() -> None:
    assert SENTENCES.unsaid() == []


def test_every_choice_is_looked_at() -> None:
    for choices in ([v.display for v in CHECKED], [v.cell for v in CHECKED], [v.carrier for v in CHECKED]):
        assert set(choices) in ({"0.96", "1.3", "2.42"}, {True, False})


def test_enough_faults_are_put_in() -> None:
    assert len(chosen(FAULTS)) >= 25


def test_every_rule_has_a_fault_that_it_finds() -> None:
    assert {name for name, _ in FAULTS.values()} == set(RULES)
