"""Settings of a drive and those that are there, put together."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.config import Settings, shown
from airladder.drive.merging import BOX_ONLY, changed, for_the_drive, merged, without_box_only
from airladder.faults import BadInput

IN_FORCE = shown(Settings())
PLAIN = (
    st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
    | st.lists(st.integers(0, 9), max_size=3)
)
KEYS = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
TABLES = st.dictionaries(KEYS, PLAIN | st.dictionaries(KEYS, PLAIN, max_size=3), max_size=5)


def test_what_stands_on_the_drive_as_it_is_in_force_is_no_wish() -> None:
    assert changed(IN_FORCE, IN_FORCE) == {}
    assert changed(for_the_drive(IN_FORCE), IN_FORCE) == {}


def test_only_what_differs_is_a_wish_of_a_table_too() -> None:
    text = IN_FORCE.replace("a4 = 440", "a4 = 442").replace("[aims]\n", "[aims]\nnew = 1\n")
    assert changed(text, IN_FORCE) == {"a4": 442, "aims": {"new": 1}}


def test_what_the_player_left_as_it_was_is_no_wish_though_it_was_set_on_the_box_since() -> None:
    before = 'horn = "alto"\na4 = 440\n[aims]\nminutes = 20\nmost = 3\n'
    text = before.replace("440", "442").replace("most = 3", "most = 4")
    in_force = before.replace("alto", "tenor").replace("20", "25")
    assert changed(text, in_force, before) == {"a4": 442, "aims": {"most": 4}}
    assert changed(text, in_force, "no TOML") == changed(text, in_force)


def test_yes_is_not_one() -> None:
    assert changed("a = true", "a = 1") == {"a": True}


def test_the_drive_does_not_show_what_it_may_not_change() -> None:
    keys = tomllib.loads(for_the_drive(IN_FORCE))
    assert not set(BOX_ONLY) & set(keys)
    assert set(keys) | set(BOX_ONLY) == set(tomllib.loads(IN_FORCE))


def test_what_belongs_to_the_box_is_refused_each_in_a_sentence() -> None:
    kept, refused = without_box_only({"log_folder": "/tmp", "horn": "tenor", "microphone": "x"})
    assert kept == {"horn": "tenor"}
    assert refused == [
        "log_folder: a drive may not change it; it is set on the box itself.",
        "microphone: a drive may not change it; it is set on the box itself.",
    ]


def test_tables_are_put_together_key_by_key() -> None:
    old = 'horn = "alto" # mine\n[aims]\nminutes = 20\nmost = 3\n'
    assert tomllib.loads(merged(old, {"a4": 442, "aims": {"minutes": 25}})) == {
        "horn": "alto",
        "a4": 442,
        "aims": {"minutes": 25, "most": 3},
    }


@given(TABLES, TABLES)
def test_what_is_written_is_read_back_as_it_was(old: dict[str, Any], wanted: dict[str, Any]) -> None:
    first = merged("", old)
    assert tomllib.loads(first) == old
    assert tomllib.loads(merged(first, wanted)).keys() == {**old, **wanted}.keys()


@pytest.mark.parametrize("value", [{"a": {"b": {"c": 1}}}, tomllib.loads("a = 2026-05-04"), {"a": [{"b": 1}]}])
def test_what_no_setting_can_be_is_refused(value: dict[str, Any]) -> None:
    with pytest.raises(BadInput, match="a value is neither a number"):
        merged("", value)
