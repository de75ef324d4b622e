"""The published schema, held against the checker: it takes whatever the checker takes.

What is wrong is refused by both where a schema can see it; what needs a horn (fingerings, top partials, usual
fingerings) or another file is beyond a schema.
"""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from airladder.faults import BadInput
from airladder.practice.exercise import Kind
from airladder.practice.routines import reading
from airladder.practice.routines.keys import KINDS, READERS, heeded
from airladder.practice.routines.library import SHIPPED
from airladder.practice.routines.reading import read
from unit.practice.routines.players import player

SCHEMA = json.loads(Path(reading.__file__).with_name("routine.schema.json").read_text("utf-8"))
CHECK = Draft202012Validator(SCHEMA)

GOOD: dict[str, Any] = {
    "fingering": "Bb3",
    "partials": [2, 3],
    "within_reach": True,
    "repeats": 2,
    "tries": 2,
    "start": "air",
    "hold": 2.5,
    "seconds": 30,
    "swell": True,
    "below": "octave",
    "guess": False,
    "band": 10,
    "every": 2,
    "hush": 0.5,
    "days": "1-3",
}


def as_toml(value: Any) -> str:
    """A value in TOML, tables in one line; JSON's texts, numbers and truths are TOML's too."""
    match value:
        case dict():
            return "{" + ", ".join(f"{json.dumps(key)} = {as_toml(part)}" for key, part in value.items()) + "}"
        case list():
            return "[" + ", ".join(as_toml(part) for part in value) + "]"
        case _:
            return json.dumps(value).replace("NaN", "nan").replace("Infinity", "inf")


def document(*steps: Any, **head: Any) -> dict[str, Any]:
    return {"version": 1, "name": "mine", "about": "Mine."} | head | {"step": list(steps)}


def is_taken(data: dict[str, Any], path: Path) -> bool:
    """Whether the checker takes a document."""
    path.write_text("".join(f"{json.dumps(key)} = {as_toml(value)}\n" for key, value in data.items()), "utf-8")
    try:
        read(path, player())
    except BadInput:
        return False
    return True


def test_it_is_a_schema_and_knows_the_keys_and_exercises_of_the_checker() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    step = SCHEMA["$defs"]["step"]["properties"]
    assert set(step) == set(READERS)
    assert step["exercise"]["enum"] == KINDS


@pytest.mark.parametrize("path", sorted(SHIPPED.glob("*.toml")), ids=lambda path: str(path.stem))
def test_every_shipped_routine_is_valid_by_it(path: Path) -> None:
    CHECK.validate(tomllib.loads(path.read_text("utf-8")))


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("key", GOOD)
def test_each_exercise_heeds_the_same_keys_in_both(tmp_path: Path, kind: Kind, key: str) -> None:
    keys = ["partials", "within_reach"] if key == "within_reach" else [key]
    data = document({"exercise": kind.value} | {one: GOOD[one] for one in keys})
    assert CHECK.is_valid(data) == is_taken(data, tmp_path / "mine.toml") == (key in heeded(kind))


@pytest.mark.parametrize("partials", [1, 12, [2, 12, 2], "2-6", " 02 - 06 ", "1-1", "reach", "top 1", "top 12"])
def test_partials_are_written_alike_for_both(tmp_path: Path, partials: Any) -> None:
    data = document({"exercise": "rising", "partials": partials})
    assert is_taken(data, tmp_path / "mine.toml")
    CHECK.validate(data)


RISING: dict[str, Any] = {"exercise": "rising"}
BAD_VALUES: dict[str, list[Any]] = {
    "partials": [0, 13, [], [True], [2.5], "all", "2..4", "top 13", True, [2] * 33],
    "tries": [0, 11, True, 1.5, "3", [1]],
    "repeats": [0, 21, True],
    "hold": [0, -1, 61, True, "2", float("inf")],
    "hush": [-0.1, 31, False],
    "band": [-1, 51],
    "every": [0, 11],
    "start": ["mixed", "blown", 3],
    "guess": ["yes", 1],
    "days": [0, 61, [], "monday", [True]],
    "fingering": [3, [], "H3", [3]],
    "trys": [3],
    "within_reach": [True],
}
BAD_KEYS: list[dict[str, Any]] = [
    *({key: value} for key, values in BAD_VALUES.items() for value in values),
    {"within_reach": True, "partials": "reach"},
    {"within_reach": "yes", "partials": [2]},
]


@pytest.mark.parametrize(
    "data",
    [
        {},
        document(),
        document(RISING, version=2),
        document(RISING, version=True),
        document(RISING, version="1"),
        document(RISING, name=""),
        document(RISING, name="x" * 21),
        document(RISING, name=3),
        document(RISING, name="a\nb"),
        document(RISING, about="x" * 121),
        document(RISING, minutes=0),
        document(RISING, minutes=61),
        document(RISING, minutes="5"),
        document(RISING, minutes=True),
        document(RISING, author="me"),
        {"version": 1, "name": "mine", "about": "Mine.", "step": RISING},
        {"version": 1, "name": "mine", "about": "Mine.", "steps": [RISING]},
        document(3),
        document({}),
        document({"exercise": "rising", "routine": "taste"}),
        document({"exercise": "risin"}),
        document({"routine": "../taste"}),
        document({"routine": "taste.toml"}),
        document({"routine": ""}),
        document({"routine": "taste", "tries": 2}),
        document(*[{"exercise": "rest"}] * 201),
        document({"exercise": "starts", "start": "any"}),
        *[document(RISING | bad) for bad in BAD_KEYS],
    ],
)
def test_what_is_wrong_is_refused_by_both(tmp_path: Path, data: dict[str, Any]) -> None:
    assert not is_taken(data, tmp_path / "mine.toml")
    assert not CHECK.is_valid(data)


whole = st.integers(-1, 22)
number = st.one_of(whole, st.floats(-1.0, 70.0), st.sampled_from([float("nan"), float("inf"), True]))
spans = st.builds("{}-{}".format, st.integers(0, 13), st.integers(0, 61))
odd_text = st.text(max_size=22)
values: dict[str, st.SearchStrategy[Any]] = {
    "exercise": st.sampled_from(KINDS),
    "routine": st.one_of(st.sampled_from(["taste", "Five Minutes", "BACKSTAGE", "first_week"]), odd_text),
    "fingering": st.one_of(
        *(st.sampled_from(["Bb3", " bb3 ", "A♯3", "long", "short", "D4"]), st.just(["C4", "f#4"]), odd_text)
    ),
    "partials": st.one_of(
        *(whole, st.lists(st.integers(1, 6), max_size=4), spans, st.sampled_from(["reach", "top 2", " 2 - 4 "])),
        odd_text,
    ),
    "within_reach": st.booleans(),
    "start": st.sampled_from(["any", "tongued", "air", "mixed"]),
    "below": st.one_of(st.just("octave"), st.lists(st.sampled_from(["octave", "fifth", "twelfth"]), max_size=3)),
    "days": st.one_of(whole, st.just("1-2"), st.just([1, 2]), spans),
    **dict.fromkeys(("repeats", "tries", "every"), whole),
    **dict.fromkeys(("hold", "seconds", "band", "hush"), number),
    **dict.fromkeys(("swell", "guess"), st.one_of(st.booleans(), whole)),
}
own = st.sampled_from(KINDS).flatmap(
    lambda kind: st.fixed_dictionaries(
        {"exercise": st.just(kind)}, optional={key: values[key] for key in heeded(Kind(kind))[1:]}
    )
)
few = st.sampled_from(KINDS).flatmap(
    lambda kind: st.sampled_from(heeded(Kind(kind))).flatmap(
        lambda key: st.fixed_dictionaries({key: values[key]}).map(lambda one: {**one, "exercise": kind})
    )
)
wild = st.fixed_dictionaries({}, optional=values)
include = st.fixed_dictionaries({"routine": values["routine"]}, optional={"days": values["days"]})
documents = st.builds(
    lambda steps, name, about, more: document(*steps, name=name, about=about) | more,
    st.lists(st.one_of(few, few, few, own, wild, include), min_size=1, max_size=2),
    st.one_of(st.just("mine"), st.just("mine"), odd_text),
    st.one_of(st.just("Mine."), st.just("Mine."), odd_text),
    st.fixed_dictionaries({}, optional={"minutes": number}),
)


@given(documents)
@settings(max_examples=300)
def test_what_the_checker_takes_the_schema_takes(tmp_path_factory: pytest.TempPathFactory, data: Any) -> None:
    taken = is_taken(data, tmp_path_factory.getbasetemp() / "any.toml")
    event(f"taken: {taken}")
    if taken:
        CHECK.validate(data)
