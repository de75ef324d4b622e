"""Inside the virtual board: tells what the screen shows, whenever it shows something else.

A line is ``glass SECONDS BASE64``: the time of CLOCK_MONOTONIC, and 1024 bytes of picture, packed by zlib. It asks
the bus of `i2cbus` again and again; ``python3 watch.py FOLDER``.
"""

from __future__ import annotations

import base64
import contextlib
import json
import socket
import sys
import time
import zlib
from pathlib import Path

EVERY_S = 0.5
_BYTES = 1024


def main(folder: Path) -> None:
    """Runs until it is killed."""
    file, before = folder / "seen.pbm", b""
    while True:
        with contextlib.suppress(OSError):  # the bus is not there yet, or not any more
            if picture(folder, file) and (now := file.read_bytes()[-_BYTES:]) != before:
                before = now
                sys.stdout.write(f"glass {time.monotonic():.3f} {base64.b64encode(zlib.compress(now)).decode()}\n")
                sys.stdout.flush()
        time.sleep(EVERY_S)


def picture(folder: Path, file: Path) -> bool:
    """Have the bus write its screen's picture into the file; whether it could."""
    with socket.socket(socket.AF_UNIX) as wire:
        wire.connect(str(folder / "ask"))
        wire.sendall(f"picture {file}\n".encode())
        return "error" not in json.loads(wire.makefile("rb").readline())


if __name__ == "__main__":
    main(Path(sys.argv[1]))
