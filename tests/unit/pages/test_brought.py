"""What a drive or a stick brought: it is said wherever the player is, and the plan is made anew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.pages.effects import Look
from airladder.pages.events import Brought
from airladder.pages.page import Page
from boxes import PAGES, done, on

SAID = ("A routine came in: mine.", "routines/x.toml: it is no text.")


@pytest.mark.parametrize("page", [page for page in PAGES if page is not Page.NIGHT])
def test_it_is_said_and_the_log_is_looked_into_again(page: Page) -> None:
    box, effects = done(on(page), Brought(SAID))
    assert box.page is page
    assert box.troubles["drive"] == " ".join(SAID)
    assert effects == [Look(box.choices)]


def test_in_a_practice_the_practice_knows_it_too() -> None:
    box, _ = done(on(Page.PRACTICE), Brought(SAID))
    assert box.session is not None
    assert dict(box.session.troubles)["drive"] == " ".join(SAID)


def test_when_all_is_well_again_nothing_is_said_any_more() -> None:
    box, _ = done(on(Page.TODAY), Brought(SAID), Brought(()))
    assert "drive" not in box.troubles


def test_before_the_first_look_none_is_wished_for() -> None:
    assert done(replace(on(Page.TODAY), glance=None), Brought(SAID))[1] == []
