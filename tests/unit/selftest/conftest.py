"""A box of mock pins."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from gpiozero.pins.mock import MockFactory

from jig import Jig


@pytest.fixture
def factory() -> Iterator[MockFactory]:
    made = MockFactory()
    yield made
    made.reset()


@pytest.fixture
def jig(factory: MockFactory) -> Iterator[Jig]:
    made = Jig(factory)
    yield made
    made.close()
