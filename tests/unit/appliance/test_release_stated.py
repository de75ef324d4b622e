"""What a release says it needs is held against what this box has."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.appliance import stated
from airladder.appliance.stated import PYTHON, Stated, check_runs_here, is_version, needed, read
from airladder.faults import BadInput

NEEDS = Stated("0.2.0", 4, "3.11", {"all": {"numpy": "1.26"}, "aarch64": {"lgpio": "0.2.2"}})


def test_what_is_written_is_read_again() -> None:
    assert read(NEEDS.text()) == NEEDS
    assert tomllib.loads(NEEDS.text())["libraries"]["aarch64"] == {"lgpio": "0.2.2"}


def test_the_least_python_is_the_project_s() -> None:
    project = tomllib.loads((Path(__file__).parents[3] / "pyproject.toml").read_text())["project"]
    assert project["requires-python"] == f">={PYTHON}"
    wanted = project["dependencies"] + project["optional-dependencies"]["board"]
    assert sum(map(len, needed().values())) == len(wanted)


def runs(has: dict[str, str], python: tuple[int, ...] = (3, 11, 2), machine: str = "aarch64") -> None:
    check_runs_here(NEEDS, has.get, python, machine)


def test_a_box_with_all_of_it_runs_it() -> None:
    runs({"numpy": "1.26.0", "lgpio": "0.2.2.0"})
    runs({"numpy": "2.0.0rc1", "lgpio": "0.10"}, (3, 13, 0))
    runs({"numpy": "1.26"}, machine="x86_64")
    check_runs_here(Stated("0.2.0", 4, "3.11.0", {"all": {"numpy": "1.26.0"}}), {"numpy": "1.26"}.get, (3, 11))


@pytest.mark.parametrize(
    ("has", "python", "sentence"),
    [
        ({"numpy": "1.9.9", "lgpio": "1"}, (3, 11), "it needs numpy 1.26, and this box has 1.9.9; install anew from"),
        ({"numpy": "1.26"}, (3, 11), "it needs lgpio 0.2.2, and this box has none; install anew from the card."),
        ({"numpy": "2", "lgpio": "odd"}, (3, 11), "it needs lgpio 0.2.2, and this box has odd; install anew from"),
        ({"numpy": "2", "lgpio": "1"}, (3, 9, 2), "it needs Python 3.11, and this box has 3.9.2; install anew from"),
    ],
)
def test_a_box_that_lacks_something_is_told_what(has: dict[str, str], python: tuple[int, ...], sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        runs(has, python)
    assert str(caught.value).startswith(sentence)


def test_this_computer_has_what_this_program_needs() -> None:
    check_runs_here(Stated("0.2.0", 4, libraries={"all": needed(["numpy>=1.26"])["all"]}))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("version = ", "its release.toml cannot be read: it is no TOML"),
        ('version = "0.2.0"', "its release.toml lacks log_form = 4"),
        ('version = "0.2.0"\nlog_form = true\npython = "3.11"', "its release.toml lacks log_form = 4"),
        ('version = "0.2.0"\nlog_form = 0\npython = "3.11"', "its release.toml lacks log_form = 4"),
        ('version = "0.2.0"\nlog_form = 4\npython = 3.11', "its release.toml lacks log_form = 4"),
        ('log_form = 4\npython = "3.11"', "its version is 'nothing like it'"),
        ('version = "../x"\nlog_form = 4\npython = "3.11"', "its version is '../x'; wanted a number like 0.2.0"),
        (
            'version = "0.2.0"\nlog_form = 4\npython = "3.11"\nlibraries = {all = {x = 1}}',
            "its release.toml names libraries wrongly",
        ),
        ("a" * 70000, "its release.toml cannot be read: it has more than 64 KiB"),
    ],
)
def test_a_release_toml_that_makes_no_sense_is_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(text)
    assert str(caught.value).startswith(sentence)


@pytest.mark.parametrize("word", ["0.2", "0.2.0", "10.0.12", "0.2.0rc1", "1.2.3.4", "0.3.0a2"])
def test_version_numbers(word: str) -> None:
    assert is_version(word)


@pytest.mark.parametrize("word", ["", "1", "0.02", "0.2.", ".2", "0.2.0-1", "0..2", "v0.2", "0.2\n", "base", "0.2٣"])
def test_what_is_no_version_number(word: str) -> None:
    assert not is_version(word)


@given(st.from_regex(stated._VERSION, fullmatch=True))
def test_a_version_number_is_a_name_of_a_folder_that_the_launcher_takes(word: str) -> None:
    assert is_version(word)
    assert word[0] in "0123456789"
    assert set(word) <= set("0123456789.abrc")
    assert ".." not in word


@pytest.mark.parametrize("need", ["numpy==1.26", "numpy", "numpy>=1.26,<3"])
def test_a_need_of_another_form_makes_no_release(need: str) -> None:
    with pytest.raises(BadInput, match="wanted a name and a least version"):
        needed([need])
