"""The one door to soundfile (libsndfile), which reads recordings and writes clips."""

from __future__ import annotations

from typing import Any


def library() -> Any:
    """The module `soundfile`.

    Raises
    ------
    ImportError, OSError : when it is not installed, or lacks what it needs.
    """
    import soundfile

    return soundfile
