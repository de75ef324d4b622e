"""Routines that include others: where they are looked for, circles, and heaps of files."""

from __future__ import annotations

from pathlib import Path

import pytest

from airladder.faults import BadInput
from airladder.practice.exercise import Kind
from airladder.practice.routines.reading import named, names, read, shipped_names
from unit.practice.routines.players import HEAD, Write, faults_of, player


def include(*called: str) -> str:
    return HEAD + "".join(f'[[step]]\nroutine = "{name}"\n' for name in called)


def test_what_is_included_is_played_in_its_place(write: Write) -> None:
    write(HEAD + '[[step]]\nexercise = "rest"\n[[step]]\nexercise = "slurs"\n', "warm up.toml")
    path = write(HEAD + '[[step]]\nexercise = "cold"\n[[step]]\nroutine = "Warm-Up"\n[[step]]\nexercise = "free"\n')
    assert [one.kind for one in read(path, player()).exercises] == [Kind.COLD, Kind.REST, Kind.SLURS, Kind.FREE]


def test_a_shipped_one_can_be_included_and_a_file_of_ones_own_wins_over_it(write: Write, tmp_path: Path) -> None:
    path = write(include("backstage"))
    assert read(path, player()).exercises == named("backstage", player()).exercises
    write(HEAD + '[[step]]\nexercise = "rest"\n', "Backstage.toml")
    assert [one.kind for one in read(path, player()).exercises] == [Kind.REST]
    assert [one.kind for one in named("backstage", player(), folder=tmp_path).exercises] == [Kind.REST]
    assert len(named("backstage", player()).exercises) > 1


def test_included_days_are_a_course_of_their_own(write: Write) -> None:
    write(HEAD + '[[step]]\nexercise = "rest"\ndays = 1\n[[step]]\nexercise = "slurs"\ndays = 2\n', "two.toml")
    path = write(HEAD + '[[step]]\nroutine = "two"\n[[step]]\nexercise = "cold"\ndays = "1-3"\n[[step]]\n'
                 'exercise = "free"\ndays = 4\n')  # fmt: skip
    played = {day: [one.name for one in read(path, player(day=day)).exercises] for day in (1, 2, 3, 4, 9)}
    assert played == {
        1: ["rest", "cold"], 2: ["slurs", "cold"], 3: ["slurs", "cold"], 4: ["slurs", "free"], 9: ["slurs", "free"],
    }  # fmt: skip


def test_a_course_goes_on_in_a_file_that_has_none_itself(write: Write) -> None:
    path = write(include("first week"))
    for day in (1, 3, 5, 7, 30):
        assert read(path, player(day=day)).exercises == named("first week", player(day=day)).exercises


def test_a_circle_is_told_with_its_way(write: Write) -> None:
    write(include("taste", "c"), "b.toml")
    write(include("A"), "c.toml")
    assert faults_of(write(include("b"), "a.toml")) == [
        "a.toml has 1 fault:",
        (
            "line 5 of c.toml: routine: the routines include one another in a circle (a -> b -> c -> a); take one of"
            " them out."
        ),
    ]
    assert "(mine -> mine)" in faults_of(write(include("mine")))[1]


def test_a_circle_is_found_by_whatever_way_the_first_file_is_reached(write: Write, tmp_path: Path) -> None:
    write(include("mine"))
    (tmp_path / "sub").mkdir()
    told = faults_of(tmp_path / "sub" / ".." / "mine.toml", folder=tmp_path)
    assert "(mine -> mine)" in told[1]


def test_faults_of_included_files_are_told_once_each_with_the_file(write: Write) -> None:
    write(HEAD + '[[step]]\nexercise = "rest"\ntries = 2\n', "b.toml")
    told = faults_of(write(include("b", "b", "nix"), "a.toml"))
    assert [line.split(";")[0] for line in told] == [
        "a.toml has 2 faults:",
        "line 9: routine: 'nix' is no routine that we know",
        "line 6 of b.toml: tries: it is not heeded here",
    ]


def test_an_included_file_that_cannot_be_opened_is_told_where_it_is_included(write: Write, tmp_path: Path) -> None:
    write(b"\xff", "b.toml")
    assert faults_of(write(include("b"))) == [
        "mine.toml has 1 fault:",
        "line 5: routine: b.toml is no text in UTF-8 (line 1); save it as plain text in UTF-8.",
    ]


@pytest.mark.parametrize("name", ["../taste", "/etc/passwd", "a\\\\b", "taste.toml", "..", "x" * 41, "a\\u0000"])
def test_the_name_of_a_routine_is_no_way_to_somewhere_else(write: Write, name: str) -> None:
    (_, told) = faults_of(write(include(name)))
    assert told.startswith("line 5: routine: '")
    assert told.endswith(
        'is no name of a routine; wanted at most 40 characters, no slashes and no dots, like "five minutes".'
    )


def test_nine_files_in_a_row_are_too_many_in_whatever_order_they_are_met(write: Write) -> None:
    write(HEAD + '[[step]]\nexercise = "rest"\n', "f0.toml")
    for number in range(1, 8):
        write(include(f"f{number - 1}"), f"f{number}.toml")
    assert read(write(include("f6", "f0")), player()).exercises[0].kind is Kind.REST
    sentence = "routine: more than 8 routines that include one another in a row; wanted fewer."
    assert faults_of(write(include("f7"), "deep.toml")) == [
        "deep.toml has 1 fault:",
        f"line 5 of f1.toml: {sentence}",
    ]
    wide = write(include(*(f"f{number}" for number in range(8))), "wide.toml")
    assert faults_of(wide) == ["wide.toml has 1 fault:", f"line 5 of f7.toml: {sentence}"]


def test_files_that_multiply_each_other_are_counted_no_further_than_they_may_be(write: Write) -> None:
    """200 ** 6 rests, in seven small files."""
    write(HEAD + '[[step]]\nexercise = "rest"\nseconds = 5\n', "f0.toml")
    for number in range(1, 7):
        write(include(*[f"f{number - 1}"] * 200), f"f{number}.toml")
    assert faults_of(write(include("f6"))) == [
        "mine.toml has 1 fault:",
        "step: more than 200 exercises, includes and fingerings counted out; make the routine shorter.",
    ]


def test_an_unknown_name_is_told_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        named("five minute", player(), folder=tmp_path)
    assert str(caught.value) == (
        "'five minute' is no routine that we know; did you mean five minutes? Known: backstage, detour, first week,"
        " five minutes, partials rising, taste, ten minutes."
    )


def test_the_list_has_ones_own_files_and_says_what_is_wrong_with_a_broken_one(write: Write, tmp_path: Path) -> None:
    write(HEAD + 'minutes = 4\n[[step]]\nexercise = "rest"\n', "my_own.toml")
    write(b"\xff", "broken.toml")
    write("no routine", "notes.txt")
    listed = {one.called: one for one in names(tmp_path)}
    assert set(listed) == {*shipped_names(), "my own", "broken"}
    mine = listed["my own"]
    assert (mine.name, mine.about, mine.minutes, mine.fault) == ("mine", "Something of my own.", 4.0, "")
    assert listed["broken"].fault.endswith("is no text in UTF-8 (line 1); save it as plain text in UTF-8.")


def test_of_two_files_of_one_name_the_first_is_taken_and_of_a_heap_of_files_no_more_than_500(tmp_path: Path) -> None:
    for name in ("my own.toml", "my-own.toml", *(f"z{number}.toml" for number in range(500))):
        (tmp_path / name).write_text(f'version = 1\nname = "{name[:7]}"\nabout = "x"\n')
    listed = names(tmp_path)
    assert [one.name for one in listed if one.called == "my own"] == ["my own."]
    assert len(listed) == 499 + len(shipped_names())


def test_a_folder_that_is_not_there_is_an_empty_one_and_one_that_is_no_folder_is_told(tmp_path: Path) -> None:
    assert [one.called for one in names(tmp_path / "none")] == shipped_names()
    (tmp_path / "file").write_text("")
    with pytest.raises(BadInput, match=r"file cannot be looked into \(Not a directory\); name another\.$"):
        names(tmp_path / "file")
