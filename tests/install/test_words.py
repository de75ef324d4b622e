"""What firmware/install says to wrong words, and where it cannot do its work."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from install.conftest import ROOT, Install


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["--unto"], 2, "there is no word '--unto'; known: --open, --anywhere, --wheels"),
        (["--into", "/nowhere"], 2, "--into wants a folder that is there; found '/nowhere'."),
        (["--wheels"], 2, "--wheels wants a folder that is there; found ''."),
        (["--into", "/"], 2, "--into wants a folder that is not this computer itself."),
        (["--forget-everything"], 2, "--forget-everything goes with --remove only."),
    ],
)
def test_a_wrong_word_is_one_sentence(install: Install, words: list[str], code: int, sentence: str) -> None:
    done = install(*words, code=code)
    assert done.stderr.startswith(f"install: {sentence}")
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_a_computer_that_is_no_raspberry_pi_is_not_made_the_trainer_by_mistake(install: Install) -> None:
    said = install(code=3).stderr
    assert said.startswith("install: this is no Raspberry Pi, and it would be made the trainer and nothing else.")
    assert not Path("/opt/airladder").exists()


def test_the_help_names_every_word(install: Install) -> None:
    said = install("--help").stdout
    for word in ("--open", "--wheels", "--into", "--packages", "--remove", "--forget-everything"):
        assert f"  {word}" in said or f"{word} " in said


def test_the_packages_for_an_image_are_names_a_line_each(install: Install) -> None:
    names = install("--packages").stdout.splitlines()
    assert {"python3", "systemd", "dosfstools"} <= set(names)
    assert all(name and name == name.strip() for name in names)


def test_who_is_not_root_is_told_the_exact_line(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "firmware/system", tmp_path / "firmware/system")
    shutil.copy(ROOT / "firmware/install", tmp_path / "firmware/install")
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_uid == os.geteuid() and folder != Path("/"):
            folder.chmod(folder.stat().st_mode | 0o055)
    script = str(tmp_path / "firmware/install")
    other = {"user": 65534, "group": 65534, "extra_groups": []} if os.geteuid() == 0 else {}
    done = subprocess.run(["sh", script], capture_output=True, text=True, check=False, **other)  # type: ignore[call-overload]
    assert (done.returncode, done.stderr) == (3, f"install: this must be root's. Type: sudo sh {script}\n")


def test_a_root_without_a_python_of_ours_is_one_sentence(
    install: Install, bare: Path, wheels: Path, tmp_path: Path
) -> None:
    root = tmp_path / "root"
    shutil.copytree(bare, root, symlinks=True)
    (root / "usr/bin/python3").unlink()
    (root / "usr/bin/python3").symlink_to("python3.9")
    said = install("--into", root, "--wheels", wheels, code=3).stderr
    assert said.startswith(f"install: the python3 of {root} is 'python3.9'; wanted is Python 3.11 to 3.13")
    assert said.count("\n") == 1


def test_an_image_without_wheels_is_told_which_are_wanted(install: Install, bare: Path, tmp_path: Path) -> None:
    root = tmp_path / "root"
    shutil.copytree(bare, root, symlinks=True)
    said = install("--into", root, code=2).stderr
    assert "--into wants --wheels too" in said
    assert "pyalsaaudio>=0.11" in said
    assert not (root / "opt/airladder/python").exists()


def test_two_at_a_time_are_one_too_many(install: Install, tree: Path, wheels: Path) -> None:
    with subprocess.Popen(["flock", str(tree / "opt/airladder"), "sh", "-c", "echo; read -r end"],
                          stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:  # fmt: skip
        assert other.stdout is not None
        other.stdout.readline()
        said = install("--into", tree, "--wheels", wheels, code=3).stderr
        other.communicate(b"\n")
    assert said == "install: another install is under way here; wait until it has ended.\n"
