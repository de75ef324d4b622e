"""Which names of a stranger's files may become names on our disk."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.drive.names import is_by_the_way, routine_file, told
from airladder.faults import BadInput


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("five minutes.toml", "five minutes.toml"),
        ("FIVE.TOML", "FIVE.toml"),
        ("a\u0308.toml", "\u00e4.toml"),
        ("練習.toml", "練習.toml"),
        ("v1.2.toml", "v1.2.toml"),
        ("com10.toml", "com10.toml"),
        ("x" * 40 + ".toml", "x" * 40 + ".toml"),
    ],
)
def test_a_plain_name_is_kept_composed_and_with_its_ending_in_small_letters(name: str, kept: str) -> None:
    assert routine_file(name) == kept


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("x.txt", "it is no routine"),
        (".toml", "it is no routine"),
        ("", "it is no routine"),
        ("../x.toml", "signs that no file should have"),
        ("a\\b.toml", "signs that no file should have"),
        ("a\0b.toml", "signs that no file should have"),
        ("a\udcffb.toml", "signs that no file should have"),
        ("a\u202eb.toml", "signs that no file should have"),
        ("x" * 41 + ".toml", "its name is too long"),
        ("..x.toml", "begins with a dot or a space"),
        # Microsoft, "Naming Files, Paths, and Namespaces", lists them, the superscripts too
        ("CON.toml", "that of a device"),
        ("Nul.tar.toml", "that of a device"),
        ("aux .toml", "that of a device"),
        ("LPT9.toml", "that of a device"),
        ("com\u00b2.toml", "that of a device"),
    ],
)
def test_any_other_name_is_refused_in_a_sentence(name: str, why: str) -> None:
    with pytest.raises(BadInput, match=why):
        routine_file(name)


@given(st.text(st.characters(), max_size=60).map(lambda stem: f"{stem}.toml") | st.text(max_size=20))
def test_whatever_it_is_called_what_is_kept_stays_in_its_folder(name: str) -> None:
    try:
        kept = routine_file(name)
    except BadInput as fault:
        assert str(fault).endswith(".")  # noqa: PT017 -- either is right
        return
    assert kept == unicodedata.normalize("NFC", kept)
    assert kept.isprintable()
    assert not set(kept) & set('/\\:*?"<>|')
    assert not kept.startswith((".", " "))
    assert len(kept.encode()) <= 255
    assert routine_file(kept) == kept


@given(st.text(st.characters(), max_size=300))
def test_a_name_in_a_sentence_is_short_and_harmless(name: str) -> None:
    assert told(name).isprintable()
    assert len(told(name)) <= 45


def test_what_computers_leave_is_known_and_a_draft_is_not_among_it() -> None:
    assert all(map(is_by_the_way, (".DS_Store", "._x.toml", "~$x.toml", "Desktop.ini", "THUMBS.DB")))
    assert not any(map(is_by_the_way, ("x.toml", "~draft.toml", "thumbs.toml")))
