"""What gets KiCad: it says what is missing to whoever may not install, and is quiet where all is there."""

from __future__ import annotations

from pathlib import Path

import pytest

from barecomputer import bare, program, run

SETUP = Path(__file__).parents[2] / "hardware" / "setup"


@pytest.fixture
def here(tmp_path: Path) -> Path:
    return bare(tmp_path, "sh", "date", "rm", "sed", "tail", "awk", "cat", "dirname")


@pytest.mark.parametrize("version", ["", "6.0.11", "8.0.4-1", "nonsense"])
def test_who_may_not_install_gets_the_lines_to_type(here: Path, version: str) -> None:
    program(here, "id", "echo '1000'")
    program(here, "apt-get", "echo 'must not be called'")
    program(here, "apt-cache", "echo '  Candidate: 6.0.11+dfsg-1'")
    if version:
        program(here, "kicad-cli", f"echo '{version}'")
    ended = run(here, SETUP)
    assert ended.returncode == 3
    assert "KiCad 9 and its company are missing" in ended.stderr
    assert "apt-get install --no-install-recommends -t" in ended.stderr
    assert "backports first" in ended.stderr
    assert "must not be called" not in ended.stdout + ended.stderr


def test_where_the_packages_are_new_enough_no_other_source_is_asked_for(here: Path) -> None:
    program(here, "id", "echo '1000'")
    program(here, "apt-get", "echo ''")
    program(here, "apt-cache", "echo '  Candidate: 9.0.2+dfsg-1'")
    ended = run(here, SETUP)
    assert ended.returncode == 3
    assert "backports" not in ended.stderr
    assert "apt-get install --no-install-recommends kicad" in ended.stderr


def test_a_computer_without_debians_packages_is_told_the_same(here: Path) -> None:
    program(here, "id", "echo '0'")
    ended = run(here, SETUP)
    assert ended.returncode == 3
    assert "KiCad 9 and its company are missing" in ended.stderr
