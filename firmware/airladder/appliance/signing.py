"""The owner's signature on a release: asked for only where the owner has put a key on the box.

The box is its owner's. Without a key of the owner's none is asked for: whoever holds the box can also take the card
out of it, so a key of ours would protect nobody, and would keep the owner from versions of their own. What comes
over the cable from a computer that is not trusted is another matter; for that an owner makes a key

    openssl genpkey -algorithm ed25519 -out update.key
    openssl pkey -in update.key -pubout -out update.pub

keeps `update.key`, and puts `update.pub` into /etc/airladder on the card. From then on only what that key signed is
taken. Ed25519 is RFC 8032; the tool is OpenSSL 3, which Debian's ca-certificates brings along and Raspberry Pi OS
Lite has for that (pi-gen, stage2; Debian's package lists): `-rawin` is in openssl-pkeyutl(1).
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

from airladder.faults import BadInput

OWNER_KEY = Path("/etc/airladder/update.pub")
_LONGEST_S = 30.0


def is_demanded(key: Path) -> bool:
    """Whether the owner wants signatures: a key that is there and cannot be looked at is one too."""
    try:
        key.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def check(key: Path, content: bytes, signature: bytes | None) -> None:
    """Check that the owner's key signed `content`.

    Raises
    ------
    BadInput : when it did not, or that cannot be found out.
    """
    if signature is None:
        raise BadInput(f"it has no release.sig, and {key} asks for one; sign it with the key that belongs to that.")
    with tempfile.TemporaryDirectory(prefix="airladder-") as made:
        signed, given = Path(made, "content"), Path(made, "signature")
        signed.write_bytes(content)
        given.write_bytes(signature)
        if not _openssl("-verify", "-pubin", "-inkey", str(key), "-in", str(signed), "-sigfile", str(given)):
            raise BadInput(f"its signature is not of the key {key}; fetch the file anew, or sign it with your key.")


def sign(key: Path, content: bytes) -> bytes:
    """The signature of the secret key in the file `key`.

    Raises
    ------
    BadInput : when it cannot be made.
    """
    with tempfile.TemporaryDirectory(prefix="airladder-") as made:
        signed, given = Path(made, "content"), Path(made, "signature")
        signed.write_bytes(content)
        if not _openssl("-sign", "-inkey", str(key), "-in", str(signed), "-out", str(given)):
            raise BadInput(f"{key} signs nothing; wanted a secret key of `openssl genpkey -algorithm ed25519`.")
        return given.read_bytes()


def _openssl(*words: str) -> bool:
    call = ["openssl", "pkeyutl", "-rawin", *words]
    try:
        done = subprocess.run(
            call, stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=_LONGEST_S
        )  # fmt: skip
    except FileNotFoundError:
        raise BadInput("it cannot be checked without openssl, which is not on this box; install openssl.") from None
    except subprocess.TimeoutExpired:
        raise BadInput(f"openssl had not ended after {_LONGEST_S:g} s; try again.") from None
    return done.returncode == 0
