"""The machine on which figures were taken, in a line."""

from __future__ import annotations

import platform
from importlib.metadata import version
from pathlib import Path

_PACKAGES = ("numpy", "aubio", "librosa", "praat-parselmouth", "swift-f0", "mir_eval")


def machine() -> str:
    """Processor, Python and the versions of everyone who listens."""
    versions = ", ".join(f"{package} {version(package)}" for package in _PACKAGES)
    return f"{_processor()}; {platform.system()} {platform.machine()}; Python {platform.python_version()}; {versions}"


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor()
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.processor()
