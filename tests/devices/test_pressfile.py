"""Presses come back from a file as they were, and a wrong file is told with all its faults at once."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.devices.pressfile import read_presses
from airladder.faults import BadInput
from airladder.practice.presses import Button, Press

TIMES = st.lists(st.floats(0, 1e6), max_size=8).map(sorted)
FEW = [HealthCheck.function_scoped_fixture]


@settings(max_examples=30, suppress_health_check=FEW)
@given(times=TIMES, what=st.lists(st.tuples(st.sampled_from(Button), st.booleans()), min_size=8, max_size=8))
def test_what_was_written_comes_back(tmp_path: Path, times: list[float], what: list[tuple[Button, bool]]) -> None:
    presses = tuple(Press(button, long, t) for t, (button, long) in zip(times, what, strict=False))
    lines = [json.dumps({"t": p.t, "button": p.button.value, "long": p.long}) + "\n" for p in presses]
    (tmp_path / "p.jsonl").write_text("".join(lines))
    assert read_presses(tmp_path / "p.jsonl") == presses


@settings(max_examples=150, suppress_health_check=FEW)
@given(contents=st.one_of(st.binary(max_size=60), st.text('{}[]":,tbuonlg 0123e-\n', max_size=60).map(str.encode)))
def test_no_file_does_worse_than_one_sentence(tmp_path: Path, contents: bytes) -> None:
    (tmp_path / "p.jsonl").write_bytes(contents)
    with suppress(BadInput):
        assert bool(read_presses(tmp_path / "p.jsonl")) is bool(contents)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('{"t": 1, "button": "dwon", "long": false}', 'there is no button "dwon"; did you mean down? Known: back,'),
        ('{"t": 1, "button": 4, "long": false}', "there is no button 4; Known: back, down, up, ok, foot"),
        ('{"t": 1, "button": ["up"], "long": false}', 'there is no button ["up"]'),
        ('{"t": -1, "button": "up", "long": false}', "t is -1, not a number of seconds from 0 up"),
        ('{"t": NaN, "button": "up", "long": false}', "t is NaN, not a number"),
        ('{"t": 1e400, "button": "up", "long": false}', "t is Infinity, not a number"),
        ('{"t": true, "button": "up", "long": false}', "t is true, not a number"),
        ('{"t": "1", "button": "up", "long": false}', 't is "1", not a number'),
        ('{"t": null, "button": "up", "long": false}', "t is null, not a number"),
        ('{"t": 1, "button": "up", "long": 0}', "long is 0, not true or false"),
        ('{"t": 1, "button": "up"}', "long is missing"),
        ('{"t": 1, "t": 2, "button": "up", "long": true}', "t stands there 2 times"),
        ('{"t": 1, "butto": "up", "long": true}', "butto is not known; did you mean button? Known: t, button, long"),
        ('{"t": 1,', '{"t": 1, is not JSON'),
        ("", "an empty line is not JSON"),
        ("[1, 2]", "[1, 2] is not an object in braces"),
        ("3", "3 is not an object in braces"),
    ],
)
def test_each_fault_has_its_words_and_its_line(tmp_path: Path, line: str, fault: str) -> None:
    good = '{"t": 0.5, "button": "ok", "long": false}\n'
    (tmp_path / "p.jsonl").write_text(good + line + "\n" + good)
    with pytest.raises(BadInput) as told:
        read_presses(tmp_path / "p.jsonl")
    assert str(told.value).startswith(f"The presses in {tmp_path}/p.jsonl cannot be used: line 2: ")
    assert fault in str(told.value)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    (tmp_path / "p.jsonl").write_text('{"t": -1, "button": "x", "long": false}\n\n{"t": 1}')
    with pytest.raises(BadInput) as told:
        read_presses(tmp_path / "p.jsonl")
    assert re.findall(r"line \d", str(told.value)) == ["line 1", "line 1", "line 2", "line 3", "line 3"]


def test_time_that_goes_back_is_told(tmp_path: Path) -> None:
    lines = [f'{{"t": {t}, "button": "up", "long": false}}\n' for t in (1, 3, 2, 2, 1.5)]
    (tmp_path / "p.jsonl").write_text("".join(lines))
    with pytest.raises(
        BadInput, match=r"line 3: t goes back from 3\.0 to 2\.0; line 5: t goes back from 2\.0 to 1\.5$"
    ):
        read_presses(tmp_path / "p.jsonl")


def test_a_missing_file_and_one_that_is_no_text_are_told(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be read \(No such file or directory\); name another file\.$"):
        read_presses(tmp_path / "p.jsonl")
    (tmp_path / "p.jsonl").write_bytes(b"ab\xff")
    with pytest.raises(BadInput, match=r"are not UTF-8 text \(byte 2\); JSON Lines is wanted\.$"):
        read_presses(tmp_path / "p.jsonl")
