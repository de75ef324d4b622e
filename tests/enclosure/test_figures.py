"""Figures of the TOML files: asked for by name and kind; what is wrong is a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from casing.figures import FigureFault, Figures, parts, read, shell

SOME = Figures("some.toml", {"a": {"b": 2, "row": [1, 2.5], "word": "x", "1.3": {"c": 4.0}}, "yes": True})


def test_each_kind_is_found() -> None:
    assert (SOME.mm("a.b"), SOME.numbers("a.row"), SOME.pair("a.row"), SOME.text("a.word")) == (
        2.0,
        [1.0, 2.5],
        (1.0, 2.5),
        "x",
    )
    assert SOME.mm('a."1.3".c') == 4.0
    assert SOME.names("a") == ["b", "row", "word", "1.3"]


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: SOME.mm("a.z"), r"some\.toml has no a\.z"),
        (lambda: SOME.mm("a.word"), "a number is wanted"),
        (lambda: SOME.mm("yes"), "a number is wanted"),
        (lambda: SOME.numbers("a.b"), "a list of numbers is wanted"),
        (lambda: SOME.text("a.b"), "words are wanted"),
        (lambda: SOME.names("a.b"), "is no table"),
        (lambda: Figures("f", {"p": [1, 2, 3]}).pair("p"), "has 3 numbers; two are wanted"),
        (lambda: SOME.but("a.z", 1), r"has no a\.z"),
    ],
)
def test_what_is_wrong_is_a_sentence(ask: object, says: str) -> None:
    with pytest.raises(FigureFault, match=says):
        ask()  # type: ignore[operator]


def test_one_figure_changed_leaves_the_others_and_the_original() -> None:
    other = SOME.but('a."1.3".c', 9.0)
    assert (other.mm('a."1.3".c'), SOME.mm('a."1.3".c'), other.mm("a.b")) == (9.0, 4.0, 2.0)
    assert other != SOME


def test_files_that_cannot_be_read_are_sentences(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("a = = 1")
    for name in ("bad.toml", "none.toml"):
        with pytest.raises(FigureFault, match="cannot be read"):
            read(tmp_path / name)


def test_every_table_of_what_is_bought_names_its_source() -> None:
    for name, table in parts().tree.items():
        tables = table.values() if name in {"display", "plug"} and isinstance(table, dict) else [table]
        assert all(isinstance(t, dict) and len(str(t["source"])) > 10 for t in tables), name
    assert "source" not in str(shell().tree)
