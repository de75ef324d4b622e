"""A small root for firmware/install to put its files into, and the command that does it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
VERSION = f"python3.{sys.version_info.minor}"
CONFIG = "# mine\n[pi4]\narm_boost=1\n"
CMDLINE = "console=tty1 root=PARTUUID=0000-02 rootwait\n"
Install = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The real install and its files, with a small program in the place of the real one: it is compiled so often."""
    top = tmp_path_factory.mktemp("checkout")
    shutil.copytree(ROOT / "firmware/system", top / "firmware/system")
    shutil.copytree(ROOT / "hardware", top / "hardware", ignore=lambda _, names: {*names} - {"pins.toml"})
    for name in ("firmware/install", "pyproject.toml"):
        shutil.copy(ROOT / name, top / name)
    package = top / "firmware/airladder"
    (package / "devices/__pycache__").mkdir(parents=True)
    (package / "devices/__pycache__/stale.pyc").write_text("stale")
    for name in ("__init__.py", "faults.py", "devices/__init__.py"):
        (package / name).write_text(f"WORD = '{name}'\n\n\ndef word() -> str:\n    return WORD\n")
    (package / "devices/pins.toml").symlink_to("../../../hardware/pins.toml")
    return top


@pytest.fixture(scope="session")
def install(checkout: Path) -> Install:
    """Runs firmware/install with words; it must end with `code`."""

    def run(*words: str | Path, code: int = 0, of: Path = checkout) -> subprocess.CompletedProcess[str]:
        return run_install(of, *words, code=code)

    return run


def run_install(checkout: Path, *words: str | Path, code: int = 0) -> subprocess.CompletedProcess[str]:
    """As root, or as who looks like it."""
    as_root = [] if os.geteuid() == 0 else ["unshare", "--map-root-user", "--map-auto"]
    command = [*as_root, "sh", str(checkout / "firmware/install"), *map(str, words)]
    # On no account is the computer of the tests made the trainer, were it a Raspberry Pi.
    safe = {**os.environ, "AIRLADDER_MODEL": "/nowhere/model"}
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=safe)
    assert done.returncode == code, done.stdout + done.stderr
    return done


@pytest.fixture(scope="session")
def wheels(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one small wheel."""
    folder = tmp_path_factory.mktemp("wheels")
    with zipfile.ZipFile(folder / "invented-1-py3-none-any.whl", "w") as wheel:
        wheel.writestr("invented.py", "WORD = 'invented'\n")
    return folder


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What of a Raspberry Pi's root the install looks at."""
    root = tmp_path_factory.mktemp("bare")
    files = {
        "etc/passwd": "root:x:0:0:root:/root:/bin/sh\n",
        "etc/group": "root:x:0:\naudio:x:29:\n",
        "etc/shadow": "",
        "etc/gshadow": "",
        "etc/asound.conf": "# the owner's\n",
        "etc/systemd/system/multi-user.target.wants/theirs.service": "",
        "boot/firmware/config.txt": CONFIG,
        "boot/firmware/cmdline.txt": CMDLINE,
    }
    for name, text in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    (root / "boot/firmware/overlays").mkdir()
    (root / "usr/bin").mkdir(parents=True)
    (root / "usr/bin/python3").symlink_to(VERSION)
    return root


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory, install: Install, bare: Path, wheels: Path) -> Path:
    """The bare root with everything in it; only to be looked at."""
    root = tmp_path_factory.mktemp("whole") / "root"
    shutil.copytree(bare, root, symlinks=True)
    install("--into", root, "--wheels", wheels)
    return root


@pytest.fixture
def tree(tmp_path: Path, whole: Path) -> Path:
    """The same, to be changed."""
    shutil.copytree(whole, tmp_path / "tree", symlinks=True)
    return tmp_path / "tree"


def listing(root: Path) -> dict[str, object]:
    """Every file with its mode and content; all but what systemd-sysusers keeps of the users before.

    The line of the kernel is never made shorter: blanks at its end are nothing.
    """
    return {
        path.relative_to(root).as_posix(): (
            f"{path.lstat().st_mode:o}",
            path.readlink().as_posix()
            if path.is_symlink()
            else path.read_bytes().rstrip()
            if path.is_file()
            else b"",
        )
        for path in sorted(root.rglob("*"))
        if path.name not in {"passwd-", "group-", "shadow-", "gshadow-", ".pwd.lock"}
    }
