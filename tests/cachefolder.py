"""Where the tests keep what was slow to make: tests/.cache, or wherever AIRLADDER_TEST_CACHE says."""

from __future__ import annotations

import os
from pathlib import Path

CACHE = Path(os.environ.get("AIRLADDER_TEST_CACHE") or Path(__file__).parent / ".cache").absolute()
