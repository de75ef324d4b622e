"""What the replay tests share."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from stage import Stage


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    """A stage of its own."""
    return Stage(tmp_path)
