"""The computer itself: what it is, what runs on it, and whether all that the program needs is there."""

from __future__ import annotations

import platform
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path

from airladder import __version__
from airladder.selftest.result import Result, failed, well

NEEDED = {"numpy": "numpy", "aubio": "aubio", "pillow": "PIL", "mido": "mido"}
ON_BOARD = {
    "luma.oled": "luma.oled",
    "gpiozero": "gpiozero",
    "lgpio": "lgpio",
    "smbus2": "smbus2",
    "pyalsaaudio": "alsaaudio",
}
"""What only the box needs; both by the name of the package, with the module that is imported."""

_MODEL = "proc/device-tree/model"
_THROTTLED = "sys/devices/platform/soc/soc:firmware/get_throttled"
_GOVERNOR = "sys/devices/system/cpu/cpu0/cpufreq/scaling_governor"


def model(root: Path = Path("/")) -> str:
    """What the board calls itself; empty where it is no such board (device trees end their texts with a NUL)."""
    return _text(root / _MODEL)


def is_board(root: Path = Path("/")) -> bool:
    """Whether this is a board that the box is built of."""
    return "Raspberry Pi" in model(root)


def service_runs(root: Path = Path("/")) -> bool:
    """Whether the service has processes now (its group, cgroups(7), holds their numbers)."""
    return _text(root / "sys/fs/cgroup/system.slice/airladder.service/cgroup.procs") != ""


def check(root: Path = Path("/"), version_of: Callable[[str], str] = version) -> Result:
    """Look at it.

    Parameters
    ----------
    root : of the file system
    version_of : of an installed package
    """
    on_board = is_board(root)
    wanted = NEEDED | (ON_BOARD if on_board else {})
    found = {package: _version(package, module, version_of) for package, module in (NEEDED | ON_BOARD).items()}
    total, free = (_memory(root, key) for key in ("MemTotal", "MemAvailable"))
    figures = {
        "airladder": __version__,
        "python": platform.python_version(),
        **found,
        "kernel": platform.release(),
        "model": model(root) or None,
        "memory_mib": total,
        "memory_free_mib": free,
        "governor": _text(root / _GOVERNOR) or None,
        "throttled": _text(root / _THROTTLED) or None,
    }
    absent = [package for package in wanted if found[package] is None]
    if absent:
        return failed(f"Not installed here: {', '.join(absent)}; run firmware/install again.", **figures)
    what = figures["model"] or f"An ordinary computer ({platform.machine()}), no box"
    return well(f"{what}, Linux {figures['kernel']}, Airladder {__version__}.", **figures)


def _version(package: str, module: str, version_of: Callable[[str], str]) -> str | None:
    """None when it is not there; a distribution may ship the module without saying its version."""
    try:
        return version_of(package)
    except PackageNotFoundError:
        return "unknown" if _is_there(module) else None


def _is_there(module: str) -> bool:
    try:
        return find_spec(module) is not None
    except ModuleNotFoundError:  # the package around it
        return False


def _memory(root: Path, key: str) -> int | None:
    """MiB of an entry of /proc/meminfo, proc_meminfo(5)."""
    for line in _text(root / "proc/meminfo").splitlines():
        name, _, rest = line.partition(":")
        if name == key:
            return int(rest.split()[0]) // 1024
    return None


def _text(path: Path) -> str:
    try:
        return path.read_text(errors="replace").strip("\0\n ")
    except OSError:
        return ""
