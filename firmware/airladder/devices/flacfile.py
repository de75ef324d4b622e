"""A stretch of sound as the bytes of a FLAC file (RFC 9639), 24 bits, with tags."""

from __future__ import annotations

import os
from collections.abc import Mapping

from airladder.devices.sndfile import library
from airladder.faults import SoundFault
from airladder.hearing.block import RATE, Samples

TAGS = frozenset({"title", "album", "tracknumber", "comment"})
"""The tags that libsndfile writes into FLAC and that are of use here."""


def flac(samples: Samples, tags: Mapping[str, str]) -> bytes:
    """The whole file.

    Parameters
    ----------
    samples : shape (n,), float32 at 48 kHz; what is beyond [-1, 1] is cut off there
    tags : by name, of `TAGS`

    Raises
    ------
    SoundFault : when soundfile is not installed.
    """
    try:
        soundfile = library()
    except (ImportError, OSError) as missing:
        raise SoundFault(
            f"Clips are written with the Python package soundfile, which cannot be used here ({missing});"
            " install it with: pip install soundfile"
        ) from missing
    # A nameless file in memory, and no BytesIO: for that soundfile makes callbacks, memory that is written and then
    # run, which the service of the box may not have (systemd.exec(5), MemoryDenyWriteExecute).
    with os.fdopen(os.memfd_create("clip"), "rb") as out:
        with soundfile.SoundFile(out.fileno(), "w", RATE, 1, "PCM_24", format="FLAC", closefd=False) as file:
            for name in sorted(TAGS & tags.keys()):
                setattr(file, name, tags[name])
            file.write(samples)
        out.seek(0)
        return out.read()
