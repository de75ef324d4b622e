"""Files that are no routines at all: each is refused in one sentence, and nothing large is ever read."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest

from airladder.practice.routines.opening import MOST_BYTES
from airladder.practice.routines.reading import read
from unit.practice.routines.players import HEAD, Write, faults_of, player

STEP = '[[step]]\nexercise = "rising"\n'


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "mine.toml is empty; wanted a routine, that is version, name, about and its steps."),
        (b" \n\t\n", "mine.toml is empty; wanted a routine, that is version, name, about and its steps."),
        (b"a = 1\n\xff\xfe", "mine.toml is no text in UTF-8 (line 2); save it as plain text in UTF-8."),
        (
            b"\x00\x01\x02",
            'mine.toml is no TOML: line 1, column 1: invalid statement; wanted lines like: exercise = "rising".',
        ),
        (
            b"version = 1\nname = five\n",
            'mine.toml is no TOML: line 2, column 8: invalid value; wanted lines like: exercise = "rising".',
        ),
        (
            b'name = "five',
            'mine.toml is no TOML: end of document: unterminated string; wanted lines like: exercise = "rising".',
        ),
        (
            b"a = " + b"[\n" * 20_000,
            "mine.toml has lists or tables nested too deep to be read; a routine needs none.",
        ),
        (
            b"a = " + b"[{a=" * 240,
            "mine.toml has lists or tables nested too deep to be read; a routine needs none.",
        ),
        (
            b"a = 1\n" + b"a." * 600 + b"a = 1\n",
            "Line 2 of mine.toml has more than 1000 characters; break it into shorter ones.",
        ),
        (b"# " + b"\n" * MOST_BYTES, "mine.toml is larger than 64 KiB; wanted a routine, a page or two of text."),
    ],
)
def test_what_is_no_routine_is_refused_in_a_sentence(write: Write, content: bytes, sentence: str) -> None:
    assert faults_of(write(content)) == [sentence]


def test_what_is_no_file_is_refused_in_a_sentence(tmp_path: Path) -> None:
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    assert faults_of(folder) == ["folder.toml is a folder; wanted a routine file, name.toml."]
    assert faults_of(tmp_path / "none.toml") == [
        "The routine file none.toml cannot be read (No such file or directory); name another."
    ]
    assert faults_of(tmp_path / ("x" * 300)) == [
        f"The routine file {'x' * 300} cannot be read (File name too long); name another."
    ]
    assert faults_of(tmp_path / "a\0b") == [
        "The routine file a\0b cannot be read (embedded null byte); name another."
    ]
    assert faults_of(Path("/dev/zero")) == ["zero is no ordinary file; wanted a routine file, name.toml."]


def test_of_a_huge_file_no_more_is_read_than_a_routine_may_have(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(100 * 2**20)  # a hole: it takes no room on the disk
    tracemalloc.start()
    assert faults_of(path) == ["huge.toml is larger than 64 KiB; wanted a routine, a page or two of text."]
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 2**20


def test_a_file_of_just_the_largest_size_is_read(write: Write) -> None:
    text = HEAD + STEP
    assert read(write(text + "#\n" * ((MOST_BYTES - len(text)) // 2)), player()).name == "mine"


def test_a_mark_at_the_beginning_that_some_editors_leave_is_no_fault(write: Write) -> None:
    assert read(write(b"\xef\xbb\xbf" + (HEAD + STEP).encode()), player()).name == "mine"


def test_windows_line_ends_are_no_fault_and_lines_are_counted_right(write: Write) -> None:
    assert faults_of(write((HEAD + STEP + "tries = 0\n").replace("\n", "\r\n"))) == [
        "mine.toml has 1 fault:",
        "line 6: tries: 0 is out of range; wanted a whole number from 1 to 10.",
    ]


@pytest.mark.parametrize(
    ("head", "sentences"),
    [
        (
            "",
            [
                "version: is missing; wanted a line like: version = 1.",
                'name: is missing; wanted a line like: name = "my warm-up".',
                'about: is missing; wanted a line like: about = "before class".',
            ],
        ),
        (
            "version = 3\nfoo = 1\nminutes = 0\n[[step]]\nnew = 1\n",
            [
                (
                    "line 1: version: written for version 3; this program knows 1: update it, or write the file"
                    " in the form of version 1."
                )
            ],
        ),
        (
            'version = true\nname = 3\nabout = ""\n',
            [
                "line 1: version: true is no version; wanted: version = 1.",
                "line 2: name: 3 is no text; wanted words in quotes.",
                "line 3: about: '' is no text; wanted words in quotes.",
            ],
        ),
        (
            f'version = 0\nname = "a name of many characters"\nabout = "{"x" * 121}"\n',
            [
                "line 1: version: 0 is no version; wanted: version = 1.",
                "line 2: name: 'a name of many characters' has 25 characters; there is room for 20.",
                f"line 3: about: '{'x' * 37}…' has 121 characters; there is room for 120.",
            ],
        ),
        (
            'version = 1.0\nname = "a\\nb"\nabout = "\\u0007"\n',
            [
                "line 1: version: 1.0 is no version; wanted: version = 1.",
                "line 2: name: 'a\\nb' has characters that cannot be shown; wanted one line of plain text.",
                "line 3: about: '\\x07' has characters that cannot be shown; wanted one line of plain text.",
            ],
        ),
        (
            HEAD + "minutes = 61\n",
            ["line 4: minutes: 61 is out of range; wanted a number from 0.5 to 60 minutes."],
        ),
        (
            HEAD + "minutes = nan\nabot = 1\n",
            [
                "line 4: minutes: nan is out of range; wanted a number from 0.5 to 60 minutes.",
                "line 5: abot: no such key; did you mean about? Known: version, name, about, minutes, step.",
            ],
        ),
    ],
)
def test_each_fault_of_the_head_is_told(write: Write, head: str, sentences: list[str]) -> None:
    count = "1 fault" if len(sentences) == 1 else f"{len(sentences)} faults"
    assert faults_of(write(head + STEP)) == [f"mine.toml has {count}:", *sentences]


TOO_MANY = "more than 200 exercises, includes and fingerings counted out; make the routine shorter."
NO_STEP = 'step: no step; wanted at least one: a line [[step]], and below it exercise = "rising".'


@pytest.mark.parametrize(
    ("steps", "sentences"),
    [
        ("", [NO_STEP]),
        ("step = []\n", [f"line 4: {NO_STEP}"]),
        ("step = 3\n", ["line 4: step: 3 is no list of steps; begin each with [[step]], in two brackets."]),
        (
            "[step]\nexercise = 'rising'\n",
            ["line 4: step: a table is no list of steps; begin each with [[step]], in two brackets."],
        ),
        ("step = [\n3]\n", ["line 5: step: 3 is no table; wanted a step that begins with [[step]]."]),
        (
            "[[steps]]\n",
            [NO_STEP, "line 4: steps: no such key; did you mean step? Known: version, name, about, minutes, step."],
        ),
        (
            "[[step]]\n",
            [
                (
                    "line 4: step: has neither 'exercise' nor 'routine'; wanted one of them,"
                    ' like exercise = "rising" or routine = "backstage".'
                )
            ],
        ),
        (
            "[[step]]\nexercise = 'rest'\nroutine = 'taste'\n",
            [
                (
                    "line 4: step: has both 'exercise' and 'routine'; wanted one of them,"
                    ' like exercise = "rising" or routine = "backstage".'
                )
            ],
        ),
        (
            "[[step]]\nexercise = 'rest'\n" * 201,
            [f"line 4: step: {TOO_MANY}"],
        ),
        (
            "[[step]]\nexercise = 'rising'\nfingering = 'short'\n" * 40,
            [f"line 88: step: {TOO_MANY}"],
        ),
        (
            "[[step]]\nexercise = 'free'\nseconds = 600\n" * 7,
            ["step: day 1 takes about 70 minutes; wanted at most 60."],
        ),
        (
            "[[step]]\nexercise = 'rest'\n" + "[[step]]\nexercise = 'free'\nseconds = 600\ndays = 2\n" * 7,
            ["step: day 2 takes about 70 minutes; wanted at most 60."],
        ),
        (
            "[[step]]\nexercise = 'rest'\ndays = [1, 4]\n",
            [
                "days: nothing is played on day 2; give it a step, or count the days without it.",
                "days: nothing is played on day 3; give it a step, or count the days without it.",
            ],
        ),
    ],
)
def test_each_fault_of_the_steps_as_a_whole_is_told(write: Write, steps: str, sentences: list[str]) -> None:
    count = "1 fault" if len(sentences) == 1 else f"{len(sentences)} faults"
    assert faults_of(write(HEAD + steps)) == [f"mine.toml has {count}:", *sentences]
