"""Which device has which sessions, over the whole studio."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from airladder.studio.shape import held

if TYPE_CHECKING:
    import pyarrow as pa


class Owners:
    """The keys of all sessions, read when they are first asked for: some 16 bytes each.

    Parameters
    ----------
    studio : the folder of all
    """

    def __init__(self, studio: Path) -> None:
        self._studio = studio
        self._keys: dict[str, pa.Array] | None = None

    def others(self, device: str, keys: Sequence[str]) -> list[str]:
        """The devices other than this one that have any of these sessions."""
        import pyarrow as pa
        import pyarrow.compute as pc

        wanted = pa.array(keys, pa.string())
        return [
            other
            for other, held in sorted(self._held().items())
            if other != device and pc.any(pc.is_in(held, value_set=wanted)).as_py()
        ]

    def add(self, device: str, keys: Sequence[str]) -> None:
        """A device has these sessions now."""
        import pyarrow as pa

        self._held()[device] = pa.array(keys, pa.string())

    def _held(self) -> dict[str, pa.Array]:
        if self._keys is None:
            self._keys = {}
            for path in sorted(self._studio.glob("sessions/device=*/sessions.parquet")):
                device = path.parent.name.removeprefix("device=")
                self._keys[device] = held(path)["key"].combine_chunks()
        return self._keys
