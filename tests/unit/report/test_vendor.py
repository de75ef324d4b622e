"""The libraries by other hands are those that their makers published, and their licences go with them."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from airladder import report

FOLDER = Path(report.__file__).parent / "vendor"
LISTED = re.compile(r"^\| `(\S+)` \| .*? \| (\S+) \| ISC \(\[(\S+)\]\(\S+\)\) \| `([0-9a-f]{64})` \|$", re.MULTILINE)


def test_each_file_is_the_published_one() -> None:
    """The checksums are those of the files in the archives of the npm registry, as README.md names them."""
    listed = {name: checksum for name, _, _, checksum in LISTED.findall((FOLDER / "README.md").read_text())}
    assert {path.name for path in FOLDER.glob("*.js")} == set(listed)
    for name, checksum in listed.items():
        assert hashlib.sha256((FOLDER / name).read_bytes()).hexdigest() == checksum


def test_each_has_its_licence_and_says_its_version() -> None:
    for name, version, licence, _ in LISTED.findall((FOLDER / "README.md").read_text()):
        assert f" v{version} " in (FOLDER / name).read_text(encoding="utf-8").partition("\n")[0]
        assert "Permission to use, copy, modify, and/or distribute" in (FOLDER / licence).read_text()
