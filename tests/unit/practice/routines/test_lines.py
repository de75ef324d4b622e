"""Where things stand in a TOML file, held against `tomllib` (the same places) and against texts with known lines."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass, field
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from airladder.practice.routines.lines import DEEPEST, Place, lines_of

SAMPLE = '''# a comment with = and [[step]]
version = 1
"name" = "a # in = text"  # and behind it
about = """
two
lines, and ""two"" quotes \\"""
"""""
head.tail."dotted key" = 3

[[step]]
exercise = "rising"
partials = [  # [
  2,
  3,  # three
]

[[step]]
  fingering = ["Bb3", 'C#4']
  inline = { one = 1, "two" = [1, {deep = 2}], three.four = 5 }
  when = 1979-05-27 07:32:00.5
[step.below]
a = \'\'\'x
'' y\'\'\'
b = 1.5
'''


def test_each_place_of_a_sample_has_its_line() -> None:
    assert lines_of(SAMPLE) == {
        ("version",): 2,
        ("name",): 3,
        ("about",): 4,
        ("head",): 8,
        ("head", "tail"): 8,
        ("head", "tail", "dotted key"): 8,
        ("step",): 10,
        ("step", 0): 10,
        ("step", 0, "exercise"): 11,
        ("step", 0, "partials"): 12,
        ("step", 0, "partials", 0): 13,
        ("step", 0, "partials", 1): 14,
        ("step", 1): 17,
        ("step", 1, "fingering"): 18,
        ("step", 1, "fingering", 0): 18,
        ("step", 1, "fingering", 1): 18,
        ("step", 1, "inline"): 19,
        ("step", 1, "inline", "one"): 19,
        ("step", 1, "inline", "two"): 19,
        ("step", 1, "inline", "three"): 19,
        ("step", 1, "when"): 20,
        ("step", 1, "below"): 21,
        ("step", 1, "below", "a"): 22,
        ("step", 1, "below", "b"): 24,
    }


def test_steps_written_as_inline_tables_have_their_lines() -> None:
    text = 'step = [\n  { exercise = "rest" },\n  { exercise = "free" },\n]\n'
    lines = lines_of(text)
    assert (lines["step", 0], lines["step", 1, "exercise"]) == (2, 3)


def test_windows_line_ends_count_once() -> None:
    assert lines_of('a = 1\r\n\r\nb = """\r\n"""\r\nc = 2\r\n') == {("a",): 1, ("b",): 3, ("c",): 5}


def test_quotes_before_the_end_of_a_long_text_belong_to_it() -> None:
    text = """a = \"\"\"x\"\"\"\"  # " [\nb = '''x'''''  # ' {\nc = 3\n"""
    assert lines_of(text) == {("a",): 1, ("b",): 2, ("c",): 3}


def test_a_key_of_many_dots_costs_nothing() -> None:
    lines = lines_of("a." * 400 + "a = 1\nb = 2\n")
    assert max(len(place) for place in lines) == DEEPEST
    assert lines["b",] == 2


@dataclass
class Written:
    """A text under way, and where each place stands in it as it is written."""

    text: str = ""
    lines: dict[Place, int] = field(default_factory=dict)

    def note(self, place: Place) -> None:
        """The place begins here."""
        if len(place) <= DEEPEST:
            self.lines.setdefault(place, self.text.count("\n") + 1)


words = st.text(st.sampled_from("ab#=[]{},.'\"\\é \n"), max_size=5)
spaces = st.sampled_from(["", " ", "\t", "  "])
between = st.sampled_from(["", " ", "\n", " # ], [[ \" ''' \n", "\n\n"])
scalars = st.one_of(st.integers(), st.booleans(), st.floats(allow_nan=False, allow_infinity=False), st.dates(), words)


def spelled(draw: st.DrawFn, value: Any) -> str:
    """One of the ways in which TOML can write a scalar."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            ways = [json.dumps(value), '"""\n' + value.replace("\\", "\\\\").replace('"', '\\"') + '"""']
            if "'" not in value:
                ways.append(f"'''\n{value}'''")
                ways += [] if "\n" in value else [f"'{value}'"]
            return draw(st.sampled_from(ways))
        case _:
            return str(value)


def put_key(draw: st.DrawFn, out: Written, base: Place, key: str) -> Place:
    """Write a key as it is, quoted, or with a second word after a dot."""
    place = (*base, key)
    out.note(place)
    plain = key.isascii() and key.isalnum()
    out.text += draw(st.sampled_from([json.dumps(key), key] if plain else [json.dumps(key)]))
    if draw(st.integers(0, 3)) == 0:
        place = (*place, draw(st.sampled_from(["x", "y z", "2"])))
        out.note(place)
        out.text += draw(spaces) + "." + draw(spaces) + json.dumps(place[-1])
    out.text += draw(spaces) + "=" + draw(spaces)
    return place


def put_value(draw: st.DrawFn, out: Written, place: Place, depth: int) -> None:
    out.note(place)
    match draw(st.integers(0, 3)) if depth else 0:
        case 1:
            out.text += "["
            for index in range(count := draw(st.integers(0, 3))):
                out.text += draw(between)
                put_value(draw, out, (*place, index), depth - 1)
                out.text += draw(between) + ("," if index + 1 < count or draw(st.booleans()) else "")
            out.text += draw(between) + "]"
        case 2:
            keys = draw(st.lists(words, max_size=3, unique=True))
            out.text += "{"
            for index, key in enumerate(keys):
                out.text += "," * (index > 0) + draw(spaces)
                put_value(draw, out, put_key(draw, out, place, key), depth - 1)
                out.text += draw(spaces)
            out.text += "}"
        case _:
            out.text += spelled(draw, draw(scalars))


def put_keys(draw: st.DrawFn, out: Written, base: Place) -> None:
    for key in draw(st.lists(words, max_size=3, unique=True)):
        out.text += draw(spaces)
        put_value(draw, out, put_key(draw, out, base, key), 2)
        out.text += draw(st.sampled_from(["\n", " # = [[x]] '''\n", "\n\n", " \t\n"]))


@st.composite
def documents(draw: st.DrawFn) -> Written:
    """A whole file: keys, then tables, some of them one of many, some with a table inside."""
    out = Written()
    put_keys(draw, out, ())
    taken = {place[0] for place in out.lines}
    for name in draw(st.lists(words.filter(lambda word: word not in taken), max_size=3, unique=True)):
        many = draw(st.integers(0, 3))
        for index in range(max(1, many)):
            out.note((name,))
            place: Place = (name, index) if many else (name,)
            out.note(place)
            head = draw(spaces) + json.dumps(name) + draw(spaces)
            out.text += f"[[{head}]]\n" if many else f"[{head}] # ]\n"
            put_keys(draw, out, place)
            if draw(st.booleans()) and (inner := (*place, "in ner")) not in out.lines:
                out.note(inner)
                out.text += f'[{json.dumps(name)}."in ner"]\n'
                put_keys(draw, out, inner)
    return out


def places_in(value: Any, place: Place = ()) -> set[Place]:
    """Every place in what `tomllib` has read."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found = {place} if place and len(place) <= DEEPEST else set()
    return found.union(*(places_in(part, (*place, key)) for key, part in inner))


@given(documents())
def test_every_place_of_any_file_has_the_line_on_which_it_was_written(out: Written) -> None:
    data = tomllib.loads(out.text)
    lines = lines_of(out.text)
    assert set(lines) == places_in(data)
    assert lines == out.lines
