"""Keeps what was slow to make, under a name that holds everything that it depends on."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

import cachefolder

Array = npt.NDArray[np.floating]

CACHE = cachefolder.CACHE / "bench"


def kept(what: str, make: Callable[[], Sequence[Array]]) -> list[Array]:
    """The arrays that `make` gives, made once for each `what`: words that name all parameters it depends on."""
    path = CACHE / f"{hashlib.sha256(what.encode()).hexdigest()[:24]}.npz"
    if not path.exists():
        _keep(path, make())
    with np.load(path) as arrays:
        return list(arrays.values())


def fraction_of(text: str) -> float:
    """A number in [0, 1) that looks random and depends on `text` alone."""
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big") / 2**48


def seed_of(text: str) -> int:
    """A seed that depends on `text` alone."""
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")


def _keep(path: Path, arrays: Sequence[Array]) -> None:
    """Written aside and renamed, so that runs side by side never see half a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as file:
        np.savez(file, *arrays)
    Path(file.name).replace(path)
