"""What the replay tests share."""

from __future__ import annotations

from pathlib import Path

import pytest

from stage import Stage


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    """A stage of its own."""
    return Stage(tmp_path)
