"""A release: one ordinary ZIP file from which a box takes another version of the program.

In it lie ``airladder/`` (the package), ``release.toml`` (`stated`), ``SHA256SUMS`` (as ``sha256sum -c`` reads it, of
every other file) and, where the owner signs, ``release.sig`` (`signing`, of ``SHA256SUMS``).

Conventions
-----------
Files are stored, not compressed: the same tree gives the same bytes, whatever zlib is at hand. Their time is that of
``SOURCE_DATE_EPOCH`` (reproducible-builds.org), or 1980, the earliest of ZIP. A release that somebody packed anew,
compressed and with folders, is taken too. All of it is checked before any of it is written; sentences begin small,
for they stand behind the name of the file.

Source: PKWARE, "APPNOTE.TXT - .ZIP File Format Specification" 6.3.10, for the record at the end and the modes.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import airladder
from airladder.appliance import signing, stated
from airladder.appliance.stated import Stated
from airladder.drive.names import told
from airladder.drive.putting import put
from airladder.faults import BadInput

PACKAGE = "airladder/"
SUMS, STATED, SIGNATURE = "SHA256SUMS", "release.toml", "release.sig"

MOST_FILE, MOST_TOGETHER, MOST_FILES = 4 << 20, 24 << 20, 2000
"""Bytes of one file and of all, unpacked, and how many: ten times what there is."""

_MOST_LISTED = 512 << 10  # bytes of the list at the end
_END = struct.Struct("<4s4H2IH")
_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9._-]{0,63}(/[A-Za-z0-9_][A-Za-z0-9._-]{0,63}){0,7}", re.ASCII)
_SUM = re.compile(r"([0-9a-f]{64})  ([!-~]+)", re.ASCII)
_AGAIN = "copy the file again, or fetch it anew."
_OF_THE_LIBRARY = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError, OSError)
"""What `zipfile` raises: bad marks and sums, ways of packing it does not know, passwords, places before the start."""


def make(out: Path, *, package: Path | None = None, key: Path | None = None) -> Path:
    """Make the release of a package; where it lies.

    Parameters
    ----------
    out : the folder in which ``airladder-VERSION.zip`` is put
    package : the folder of the package; that of this program unless told otherwise
    key : the owner's secret key, where it is to be signed

    Raises
    ------
    BadInput : when it cannot be made.
    OSError : when it cannot be written.
    """
    files = stated.files_of(package or Path(airladder.__file__).parent)
    version, form = stated.of_package(files)
    inside = {f"{PACKAGE}{name}": content for name, content in files.items()}
    inside[STATED] = Stated(version, form, stated.PYTHON, stated.needed()).text().encode()
    listed = "".join(f"{_sum(content)}  {name}\n" for name, content in sorted(inside.items()))
    inside[SUMS] = listed.encode()
    if key is not None:
        inside[SIGNATURE] = signing.sign(key, inside[SUMS])
    content = packed(inside)
    checked(content)
    put(out / f"airladder-{version}.zip", content)
    return out / f"airladder-{version}.zip"


def packed(files: Mapping[str, bytes]) -> bytes:
    """A ZIP file of these, always the same."""
    when = _moment()
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as target:
        for name, content in sorted(files.items()):
            entry = zipfile.ZipInfo(name, when)
            entry.create_system = 3  # Unix: whose modes these are
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            target.writestr(entry, content)
    return made.getvalue()


def _moment() -> tuple[int, int, int, int, int, int]:
    said = os.environ.get("SOURCE_DATE_EPOCH", "")
    when = datetime.fromtimestamp(int(said), UTC) if said.isascii() and said.isdecimal() else None
    if when is None or not 1980 <= when.year <= 2107:
        return (1980, 1, 1, 0, 0, 0)
    return (when.year, when.month, when.day, when.hour, when.minute, when.second)


def checked(content: bytes, key: Path | None = None) -> tuple[Stated, dict[str, bytes]]:
    """What a release says of itself and its files by name, after all was found as it should be.

    Parameters
    ----------
    content : the ZIP file; whoever calls has looked at its size
    key : the owner's key, where signatures are demanded

    Raises
    ------
    BadInput : says what is wrong with it.
    """
    files = _unpacked(content)
    for name in (SUMS, STATED):
        if name not in files:
            raise BadInput(f"it has no {name}; wanted a release made by `airladder update make`.")
    sums = files.pop(SUMS)
    signature = files.pop(SIGNATURE, None)
    if key is not None:
        signing.check(key, sums, signature)
    _check_sums(sums, files)
    said = stated.read(files[STATED].decode("utf-8", "replace"))
    own = stated.of_package({n.removeprefix(PACKAGE): c for n, c in files.items() if n.startswith(PACKAGE)})
    if own != (said.version, said.log_form):
        raise BadInput(
            f"its release.toml says version {said.version} with log form {said.log_form}, and the program in it"
            f" {own[0]} with {own[1]}; make the release anew."
        )
    return said, {**files, SUMS: sums}


def _check_sums(sums: bytes, files: Mapping[str, bytes]) -> None:
    listed: dict[str, str] = {}
    for line in sums.decode("ascii", "replace").splitlines():
        found = _SUM.fullmatch(line)
        if found is None or found[2] in listed:
            raise BadInput(f"its {SUMS} has a line that is none of sha256sum's, or twice the same file; {_AGAIN}")
        listed[found[2]] = found[1]
    if missing := sorted(set(listed) - set(files)):
        raise BadInput(f"{told(missing[0])} is listed in its {SUMS} and is not in it; {_AGAIN}")
    if unlisted := sorted(set(files) - set(listed)):
        raise BadInput(f"{told(unlisted[0])} is in it and not listed in its {SUMS}; {_AGAIN}")
    for name, content in files.items():
        if _sum(content) != listed[name]:
            raise BadInput(f"{told(name)} in it has another checksum than its {SUMS} says; {_AGAIN}")


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _unpacked(content: bytes) -> dict[str, bytes]:
    """All files in memory: their sizes are added up before any is unpacked, and none unpacks to more than it says."""
    _check_end(content)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as source:
            entries = [entry for entry in source.infolist() if not _is_folder(entry)]
            _check_entries(entries)
            return {entry.filename: source.read(entry) for entry in entries}
    except BadInput:
        raise
    except (
        zipfile.BadZipFile,
        zlib.error,
        NotImplementedError,
        RuntimeError,
        EOFError,
        ValueError,
        OSError,
    ) as error:
        # of the library's: bad marks and sums, ways of packing it does not know, passwords, places before the start
        raise BadInput(f"it is damaged ({told(str(error))}); {_AGAIN}") from None


def _check_end(content: bytes) -> None:
    """Whether it ends as a ZIP file does, with a list of bounded size: the library would read one of any size."""
    if not content.startswith(b"PK\x03\x04"):
        raise BadInput(f"it is no ZIP file; {_AGAIN}")
    at = len(content) - _END.size
    if at < 0 or content[at : at + 4] != b"PK\x05\x06":
        raise BadInput(f"it has no end, as if it had been cut off; {_AGAIN}")
    _, _, _, _, count, size, _, _ = _END.unpack_from(content, at)
    if count > MOST_FILES or size > _MOST_LISTED or content[max(0, at - 20) : at].startswith(b"PK\x06\x07"):
        raise BadInput(f"it lists more than {MOST_FILES} files; wanted a release made by `airladder update make`.")


def _is_folder(entry: zipfile.ZipInfo) -> bool:
    return entry.is_dir() and not entry.file_size and _NAME.fullmatch(entry.filename[:-1]) is not None


def _check_entries(entries: list[zipfile.ZipInfo]) -> None:
    together = 0
    known: set[str] = set()
    for entry in entries:
        name = entry.filename
        ours = name in (SUMS, STATED, SIGNATURE) or (name.startswith(PACKAGE) and "__pycache__" not in name)
        if not ours or _NAME.fullmatch(name) is None:
            raise BadInput(f"'{told(name)}' in it is no name of a release's file; {_AGAIN}")
        if stat.S_IFMT(entry.external_attr >> 16) not in (0, stat.S_IFREG):
            raise BadInput(f"{told(name)} in it is a link or no ordinary file; pack the files themselves.")
        if name.casefold() in known:
            raise BadInput(f"{told(name)} is in it twice; {_AGAIN}")
        known.add(name.casefold())
        together += entry.file_size
        if entry.file_size > MOST_FILE or together > MOST_TOGETHER:
            raise BadInput(
                f"{told(name)} in it would unpack to more than a release may have ({MOST_FILE >> 20} MiB a file,"
                f" {MOST_TOGETHER >> 20} MiB together); {_AGAIN}"
            )
    for name in known:
        above = name.rpartition("/")[0]
        while above:
            if above in known:
                raise BadInput(f"'{told(above)}' in it is a file and a folder; {_AGAIN}")
            above = above.rpartition("/")[0]
