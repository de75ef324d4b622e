"""Single values in the settings file: what else stands in it stays as its owner wrote it."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.config import Settings, load
from airladder.config_file import write_values
from airladder.faults import BadInput
from airladder.pages.choices import Choices, Item, Place, turned

OWN = """# my horn
horn = "tenor"   # the old one
log_folder = "/tmp/x"

[aims]
minutes = 7.0    # more is too much
"""


def values(choices: Choices) -> dict[str, object]:
    return {"horn": choices.horn, "fingering": choices.fingering, "a4": choices.a4, "place": choices.place}


def test_a_file_that_is_not_there_is_made_and_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / "new" / "settings.toml"
    choices = turned(turned(Choices(place=Place.STAND), Item.HORN, 1), Item.A4, 2)
    write_values(values(choices), path)
    assert load(path).choices == choices


def test_comments_tables_and_other_keys_stay(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(OWN)
    write_values({"horn": Settings().horn, "a4": 442.0}, path)
    expected = OWN.replace('horn = "tenor"   # the old one', 'horn = "alto"').replace("[aims]", "a4 = 442\n[aims]")
    assert path.read_text() == expected


@given(a4=st.integers(430, 450), ends=st.booleans())
def test_a_last_line_without_an_end_is_not_run_into(
    tmp_path_factory: pytest.TempPathFactory, a4: int, ends: bool
) -> None:
    path = tmp_path_factory.mktemp("settings") / "settings.toml"
    path.write_text('horn = "alto"' + ("\n" if ends else ""))
    write_values({"a4": float(a4)}, path)
    assert tomllib.loads(path.read_text()) == {"horn": "alto", "a4": a4}


def test_what_would_change_more_than_was_meant_is_refused_and_the_file_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    text = '"horn" = "tenor"\n'
    path.write_text(text)
    with pytest.raises(BadInput, match="without changing more"):
        write_values({"horn": Settings().horn}, path)
    assert path.read_text() == text
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").mkdir()
    with pytest.raises(BadInput, match=r"^What was chosen cannot be kept in .*; it holds until"):
        write_values({"a4": 442.0}, tmp_path / "settings.toml")


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    real = tmp_path / "real.toml"
    real.write_text("a4 = 440\n")
    link = tmp_path / "settings.toml"
    link.symlink_to(real)
    write_values({"a4": 441.0}, link)
    assert link.is_symlink()
    assert real.read_text() == "a4 = 441\n"
