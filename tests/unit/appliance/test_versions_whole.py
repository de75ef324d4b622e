"""The whole way of an update, with the program itself: made, put on a drive, taken, started, confirmed."""

from __future__ import annotations

import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

import airladder
from airladder import __version__
from airladder.app.handover import Handover, told
from airladder.appliance.release import make
from airladder.appliance.versions import Versions
from unit.appliance.test_start import START

ROOT = Path(airladder.__file__).parent
PROBE = "import airladder.cli, sys; print(airladder.__version__, airladder.__file__, sys.flags.safe_path)"


@dataclass(frozen=True)
class Box:
    """A box in a folder: the program as it is for a base, and a launcher that probes instead of practising."""

    top: Path

    @property
    def store(self) -> Path:
        """The versions on the data partition."""
        return self.top / "airladder" / "versions"

    def versions(self, running: str = __version__) -> Versions:
        """The store as the running version sees it."""
        return Versions(
            self.store, self.store.with_name("log.sqlite"), running=running, runtime=self.top, key=self.top / "no.pub"
        )

    def takes(self, release: Path) -> list[str]:
        """Put a release on the drive as a computer does; what the player is told when it was taken."""
        versions, settings = self.versions(), self.top / "settings.toml"
        settings.write_text(f'log_folder = "{self.store.parent}"\n')
        log = self.store.with_name("log.sqlite")
        handover = Handover(log, settings, lambda content, again: versions.take(content, again=again))
        image = handover.blank()
        subprocess.run(["mcopy", "-i", f"{image}@@1M", str(release), f"::/{release.name}"], check=True)
        accepted, _ = handover.take()
        return list(told(accepted))

    def starts(self, folder: Path) -> subprocess.CompletedProcess[str]:
        """Start in a folder; the version that came up, and where it lies."""
        python = self.top / "python"
        python.write_text(f"#!/bin/sh\nexec {sys.executable} -c '{PROBE}'\n")
        python.chmod(0o755)
        places = {"BASE": str(self.top / "base"), "PYTHON": str(python), "VERSIONS": str(self.store)}
        env = {"PATH": "/usr/bin:/bin", **{f"AIRLADDER_{name}": place for name, place in places.items()}}
        return subprocess.run(["sh", str(START)], env=env, cwd=folder, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def newer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program under another number."""
    folder = tmp_path_factory.mktemp("newer")
    shutil.copytree(ROOT, folder / "airladder", ignore=shutil.ignore_patterns("__pycache__"))
    init = folder / "airladder" / "__init__.py"
    init.write_text(init.read_text().replace(__version__, "99.1.0"))
    return folder / "airladder"


@pytest.fixture
def box(tmp_path: Path) -> Box:
    """With this program as its base."""
    (tmp_path / "base").mkdir()
    (tmp_path / "base" / "airladder").symlink_to(ROOT)
    return Box(tmp_path)


def test_an_update_comes_over_the_drive_and_runs(box: Box, newer: Path, tmp_path: Path) -> None:
    here = tmp_path / "a folder" / "airladder"  # a package that lies about must not be taken for ours
    here.mkdir(parents=True)
    (here / "__init__.py").write_text("raise SystemExit('the wrong one')\n")
    assert box.starts(here.parent).stdout == f"{__version__} {box.top}/base/airladder/__init__.py True\n"
    assert box.takes(make(tmp_path, package=newer)) == ["Version 99.1.0 came in; it runs from the next start."]
    assert box.starts(here.parent).stdout == f"99.1.0 {box.store}/99.1.0/airladder/__init__.py True\n"
    box.versions("99.1.0").confirm()
    for _ in range(4):
        assert box.starts(here.parent).stdout.startswith("99.1.0 ")
    assert box.versions("99.1.0").news() == "Version 99.1.0 runs now."


def test_an_update_that_does_not_even_import_is_followed_by_the_version_before(
    box: Box, newer: Path, tmp_path: Path
) -> None:
    spoilt = shutil.copytree(newer, tmp_path / "spoilt" / "airladder")
    (spoilt / "cli.py").write_text("import nowhere_to_be_found\n")
    box.takes(make(tmp_path, package=spoilt))
    for _ in range(3):
        assert "No module named 'nowhere_to_be_found'" in box.starts(tmp_path).stderr
    assert box.starts(tmp_path).stdout.startswith(f"{__version__} ")
    assert box.versions().news() == f"Version 99.1.0 did not come up; {__version__} runs again."
    assert not (box.store / "99.1.0").exists()


def test_the_release_of_the_running_program_is_nothing_to_do(box: Box, tmp_path: Path) -> None:
    sentence = f"airladder-{__version__}.zip: version {__version__} runs already; there is nothing to do."
    assert box.takes(make(tmp_path)) == [sentence]
