"""What the tests of the enclosure need: PrusaSlicer, without which they fail, unless they may be left out."""

from __future__ import annotations

import os
from shutil import which

import pytest

from casing.slicing import PROGRAM


@pytest.fixture(scope="session")
def slicer() -> None:
    """A test that asks for it needs the slicer."""
    if which(PROGRAM) is None:
        sentence = f"{PROGRAM} is missing; get it by: sh enclosure/setup"
        if os.environ.get("AIRLADDER_MAY_SKIP") == "1":
            pytest.skip(sentence)
        pytest.fail(f"{sentence} (or set AIRLADDER_MAY_SKIP=1 to leave such tests out)")
