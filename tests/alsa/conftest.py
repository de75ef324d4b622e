"""An ALSA world of our own for each test: real alsa-lib and pyalsaaudio, none of this computer's settings."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.clock import Clock

Pcm = Callable[..., None]


class HastyClock(Clock):
    """The computer's clock, run faster, as the plug-in's air is by its setting `speed`."""

    def __init__(self, speed: int) -> None:
        self._speed = speed

    def monotonic(self) -> float:
        """Seconds, hastily."""
        return time.monotonic() * self._speed


@pytest.fixture
def hasty_clock() -> type[HastyClock]:
    return HastyClock


@pytest.fixture(scope="session")
def plugin(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plug-in faultymic, compiled."""
    missing = [] if shutil.which("gcc") else ["gcc"]
    missing += [] if Path("/usr/include/alsa/pcm_external.h").exists() else ["libasound2-dev"]
    if missing:
        reason = f"the tests of the ALSA microphone need {' and '.join(missing)}: apt-get install {' '.join(missing)}"
        if os.environ.get("AIRLADDER_MAY_SKIP") == "1":
            pytest.skip(reason)
        pytest.fail(f"{reason} (or set AIRLADDER_MAY_SKIP=1 to leave them out)")
    source = Path(__file__).parent / "faultymic.c"
    library = tmp_path_factory.mktemp("faultymic") / "libasound_module_pcm_faultymic.so"
    flags = ["-Wall", "-Wextra", "-Werror", "-O1", "-fPIC", "-shared", "-DPIC"]
    subprocess.run(["gcc", *flags, "-o", library, source, "-lasound"], check=True)
    return library


@pytest.fixture
def world(plugin: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Makes a text the whole of ALSA's configuration. alsa-lib looks at the variable at every call."""
    count = 0

    def make(text: str) -> None:
        nonlocal count
        count += 1
        path = tmp_path / f"asound{count}.conf"
        path.write_text(f'pcm_type.faultymic {{ lib "{plugin}" }}\n{text}')
        monkeypatch.setenv("ALSA_CONFIG_PATH", str(path))

    return make


@pytest.fixture
def air(tmp_path: Path) -> Callable[[npt.NDArray[np.generic]], Path]:
    """Writes samples as the air before the microphone; they stand in the file as they stand in the array."""

    def write(samples: npt.NDArray[np.generic]) -> Path:
        path = tmp_path / "air.raw"
        samples.tofile(path)
        return path

    return write


@pytest.fixture
def faulty(world: Callable[[str], None]) -> Pcm:
    """Makes `alsa:mic` the only device; keywords are the settings of faultymic."""

    def make(file: Path, **settings: int | str) -> None:
        words = " ".join(
            f'{key} "{value}"' if isinstance(value, str) else f"{key} {value}" for key, value in settings.items()
        )
        world(f'pcm.mic {{ type faultymic file "{file}" {words} hint.description "a microphone" }}')

    return make


@pytest.fixture(scope="session")
def library(plugin: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plug-in faultyspeaker, compiled; `plugin` has seen to the compiler."""
    made = tmp_path_factory.mktemp("faultyspeaker") / "libasound_module_pcm_faultyspeaker.so"
    flags = ["-Wall", "-Wextra", "-Werror", "-O1", "-fPIC", "-shared", "-DPIC"]
    subprocess.run(["gcc", *flags, "-o", made, Path(__file__).parent / "faultyspeaker.c", "-lasound"], check=True)
    return made


@pytest.fixture
def output(world: Callable[[str], None], library: Path, tmp_path: Path) -> Callable[..., Path]:
    """Makes `alsa:out` the only device; keywords are the settings of faultyspeaker. Gives the file it plays to."""

    def make(**settings: int | str) -> Path:
        path = tmp_path / "played.raw"
        words = " ".join(
            f'{key} "{value}"' if isinstance(value, str) else f"{key} {value}" for key, value in settings.items()
        )
        world(f"""pcm_type.faultyspeaker {{ lib "{library}" }}
            pcm.out {{ type faultyspeaker file "{path}" {words} hint.description "an output" }}""")
        return path

    return make
