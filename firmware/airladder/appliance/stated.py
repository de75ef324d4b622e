"""What a release says of itself in ``release.toml``, and whether this box can run it.

Conventions
-----------
Version numbers are two to four numbers with dots between them, like ``0.2.0``, perhaps with ``a1``, ``b1`` or ``rc1``
behind (a part of PEP 440): they become names of folders. ``[libraries.all]`` are needed on every box,
``[libraries.aarch64]`` only on a computer of that kind, as ``uname -m`` says it.
"""

from __future__ import annotations

import platform
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from airladder.drive.bounded import values
from airladder.drive.names import told
from airladder.faults import BadInput

EVERYWHERE = "all"
PYTHON = "3.11"
"""The least that this program runs with; ``requires-python`` of the project says the same, and a test holds them."""

_VERSION = re.compile(r"(0|[1-9]\d{0,3})(\.(0|[1-9]\d{0,3})){1,3}((a|b|rc)\d{1,3})?", re.ASCII)
_NUMBERS = re.compile(r"\d+(\.\d+)*", re.ASCII)
_LIBRARY = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,60}", re.ASCII)
_NEED = re.compile(r"([A-Za-z0-9._-]+)>=([0-9.]+)")
_OWN_NUMBER = re.compile(r'^__version__ = "([^"\n]*)"$', re.MULTILINE)
_STEP = re.compile(r"\d{4}_\w+\.sql", re.ASCII)


@dataclass(frozen=True)
class Stated:
    """What a release says of itself.

    Attributes
    ----------
    version : its number
    log_form : the number of the form of the log that it writes
    python : the least Python it needs
    libraries : the least of each library it needs, by kind of computer (`EVERYWHERE` for all) and name
    """

    version: str
    log_form: int
    python: str = PYTHON
    libraries: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def text(self) -> str:
        """As ``release.toml``."""
        lines = [f'version = "{self.version}"', f"log_form = {self.log_form}", f'python = "{self.python}"']
        for kind, needs in sorted(self.libraries.items()):
            lines += ["", f"[libraries.{kind}]", *(f'"{name}" = "{least}"' for name, least in sorted(needs.items()))]
        return "\n".join(lines) + "\n"


def is_version(word: str) -> bool:
    """Whether it is a version number that may name a folder."""
    return _VERSION.fullmatch(word) is not None


def checked_version(word: object) -> str:
    """The version number.

    Raises
    ------
    BadInput : when it is none.
    """
    if not isinstance(word, str) or not is_version(word):
        found = told(word) if isinstance(word, str) else "nothing like it"
        raise BadInput(f"its version is '{found}'; wanted a number like 0.2.0: fetch another file.")
    return word


def read(text: str) -> Stated:
    """What ``release.toml`` says; keys that we do not know are left alone.

    Raises
    ------
    BadInput : when it makes no sense.
    """
    try:
        said = values(text)
    except BadInput as fault:
        raise BadInput(f"its release.toml cannot be read: {fault}") from None
    form, python, libraries = said.get("log_form"), said.get("python"), said.get("libraries", {})
    if (
        not isinstance(form, int)
        or form is True
        or form < 1
        or not _is_number(python)
        or not isinstance(libraries, dict)
    ):
        raise BadInput('its release.toml lacks log_form = 4, python = "3.11" or the like; make the release anew.')
    for needs in libraries.values():
        if not isinstance(needs, dict) or not all(_LIBRARY.fullmatch(n) and _is_number(v) for n, v in needs.items()):
            raise BadInput('its release.toml names libraries wrongly; wanted lines like numpy = "1.26".')
    return Stated(checked_version(said.get("version")), form, str(python), libraries)


def of_package(files: Mapping[str, bytes]) -> tuple[str, int]:
    """The version and the form of the log that a package itself has, out of its files by their path in it.

    Raises
    ------
    BadInput : when it names no version.
    """
    found = _OWN_NUMBER.search(files.get("__init__.py", b"").decode("utf-8", "replace"))
    steps = [n for n in files if n.startswith("journal/schema/") and _STEP.fullmatch(n.split("/", 2)[2])]
    return checked_version(found and found[1]), len(steps)


def needed(requirements: list[str] | None = None) -> dict[str, dict[str, str]]:
    """The libraries of a box, as the installed project says (``pyproject.toml``: core and ``board``).

    Raises
    ------
    BadInput : when the project is not installed here.
    """
    from importlib import metadata  # late: no start needs it, and it brings an e-mail parser

    if requirements is None:
        try:
            requirements = metadata.requires("airladder") or []
        except metadata.PackageNotFoundError:
            raise BadInput(
                "What the program needs is not known here; make the release where `sh firmware/setup` has been run."
            ) from None
    libraries: dict[str, dict[str, str]] = {EVERYWHERE: {}}
    for requirement in requirements:
        need, _, marker = requirement.partition(";")
        extra = re.search(r"""extra == ['"](\w+)""", marker)
        if extra and extra[1] != "board":
            continue
        found = _NEED.fullmatch(need.strip())
        if found is None:
            raise BadInput(f"pyproject.toml asks for '{need.strip()}'; wanted a name and a least version: name>=1.0.")
        machine = re.search(r"""platform_machine == ['"](\w+)""", marker)
        libraries.setdefault(machine[1] if machine else EVERYWHERE, {})[found[1]] = found[2]
    return libraries


def installed_version(library: str) -> str | None:
    """The version of a library here; None where it is not."""
    from importlib import metadata

    try:
        return metadata.version(library)
    except metadata.PackageNotFoundError:
        return None


def check_runs_here(
    stated: Stated,
    installed: Callable[[str], str | None] = installed_version,
    python: tuple[int, ...] = sys.version_info[:3],
    machine: str = platform.machine(),
) -> None:
    """Whether a box has what a release needs.

    Raises
    ------
    BadInput : when it has not; updates bring no libraries.
    """
    if python < _numbers(stated.python):
        here = ".".join(map(str, python))
        raise BadInput(f"it needs Python {stated.python}, and this box has {here}; install anew from the card.")
    for kind in (EVERYWHERE, machine):
        for name, least in stated.libraries.get(kind, {}).items():
            has = installed(name)
            if has is None or _numbers(has) < _numbers(least):
                here = f"has {told(has)}" if has else "has none"
                raise BadInput(f"it needs {name} {least}, and this box {here}; install anew from the card.")


def _is_number(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= 20 and _NUMBERS.fullmatch(value) is not None


def _numbers(version: str) -> tuple[int, ...]:
    """Its numbers, without zeros at the end: 1.26 and 1.26.0 are the same. Letters behind them are not looked at."""
    found = _NUMBERS.match(version)
    numbers = [int(part) for part in found[0].split(".")] if found else []
    while numbers and not numbers[-1]:
        numbers.pop()
    return tuple(numbers)


def files_of(package: Path) -> dict[str, bytes]:
    """All files of a package by their path in it, links read through; what Python and editors leave is left out."""
    found = (path for path in package.rglob("*") if path.is_file())
    relative = ((path.relative_to(package), path) for path in found)
    return {
        inside.as_posix(): path.read_bytes()
        for inside, path in sorted(relative)
        if not any(part.startswith(".") or part == "__pycache__" for part in inside.parts)
    }
