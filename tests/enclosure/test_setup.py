"""What gets the slicer: it says what is missing to whoever may not install, and is quiet where all is there."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from barecomputer import bare, program, run

ENCLOSURE = Path(__file__).parents[2] / "enclosure"
SETUP = ENCLOSURE / "setup"


@pytest.fixture
def here(tmp_path: Path) -> Path:
    return bare(tmp_path, "sh", "date", "rm", "tail", "dirname")


def test_who_may_not_install_gets_the_lines_to_type(here: Path) -> None:
    program(here, "id", "echo 1000")
    program(here, "apt-get", "echo must not be called")
    ended = run(here, SETUP)
    assert ended.returncode == 3
    assert "apt-get install --no-install-recommends prusa-slicer" in ended.stderr
    assert "must not be called" not in ended.stdout + ended.stderr


def test_root_gets_it_installed(here: Path) -> None:
    program(here, "id", "echo 0")
    made = here / "prusa-slicer"
    install = f'echo "#!/bin/sh" >{made}; {shutil.which("chmod")} 755 {made}'
    program(here, "apt-get", f"case $* in *install*) {install} ;; esac")
    ended = run(here, SETUP)
    assert ended.returncode == 0, ended.stderr
    assert "ready" in ended.stdout


def test_an_installation_that_fails_shows_its_last_words(here: Path) -> None:
    program(here, "id", "echo 0")
    program(here, "apt-get", "echo no room on the disk; exit 100")
    ended = run(here, SETUP)
    assert ended.returncode == 1
    assert "no room on the disk" in ended.stderr
    assert "could not install prusa-slicer" in ended.stderr


def test_where_it_is_nothing_is_done(here: Path) -> None:
    program(here, "prusa-slicer", "")
    assert (run(here, SETUP).returncode, run(here, SETUP).stdout) == (0, "")


@pytest.mark.parametrize("words", [("--int", "x"), ("--into",)])
def test_a_wrong_word_for_build_is_a_sentence(words: tuple[str, ...], here: Path) -> None:
    ended = run(here, ENCLOSURE / "build", *words)
    assert ended.returncode == 2
    assert ended.stderr.startswith("build: ")
