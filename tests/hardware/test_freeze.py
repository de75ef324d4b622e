"""A revision that stands is what it was, and what is made now is the revision that it says it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from making.circuit import HARDWARE, load
from making.freeze import FROZEN, FreezeFault, freeze, sums, told_sums
from making.into import MADE

REVISIONS = HARDWARE / "revisions"


@pytest.mark.parametrize("folder", sorted(REVISIONS.iterdir()), ids=lambda folder: folder.name)
def test_a_frozen_revision_is_as_it_was(folder: Path) -> None:
    assert told_sums(folder)
    assert sums(folder) == told_sums(folder)


def test_what_is_made_is_the_revision_that_it_says() -> None:
    """A change takes the next letter in circuit.toml, and `python -m making.freeze`."""
    assert sums(MADE) == told_sums(REVISIONS / load().revision)


def trial(folder: Path) -> Path:
    """Something that was made."""
    made = folder / "made"
    (made / "fab").mkdir(parents=True)
    (made / "fab" / "front.gbr").write_text("copper\n")
    for name in FROZEN:
        if name != "fab":
            (made / name).write_text(f"{name}\n")
    return made


def test_a_revision_holds_all_that_belongs_to_it_and_its_sums(tmp_path: Path) -> None:
    made = trial(tmp_path)
    frozen = freeze(made, tmp_path / "revisions", "A")
    assert set(told_sums(frozen)) == {"fab/front.gbr", *(name for name in FROZEN if name != "fab")}
    assert sums(frozen) == told_sums(frozen) == sums(made)


def test_a_revision_is_never_written_again(tmp_path: Path) -> None:
    made = trial(tmp_path)
    freeze(made, tmp_path / "revisions", "A")
    with pytest.raises(FreezeFault, match=r"^Revision A is frozen already; give circuit.toml the next letter"):
        freeze(made, tmp_path / "revisions", "A")


@pytest.mark.parametrize("name", FROZEN)
def test_what_was_not_made_cannot_be_frozen(tmp_path: Path, name: str) -> None:
    made = trial(tmp_path)
    (made / name).rename(tmp_path / "away")
    with pytest.raises(FreezeFault, match=f"no made/{name} to freeze"):
        freeze(made, tmp_path / "revisions", "A")
    assert not (tmp_path / "revisions" / "A").exists()


@pytest.mark.parametrize("fault", ["changed", "added", "taken"])
def test_a_revision_that_was_touched_is_found(tmp_path: Path, fault: str) -> None:
    frozen = freeze(trial(tmp_path), tmp_path / "revisions", "A")
    if fault == "changed":
        (frozen / "fab" / "front.gbr").write_text("other copper\n")
    elif fault == "added":
        (frozen / "fab" / "more.gbr").write_text("more\n")
    else:
        (frozen / "fab" / "front.gbr").unlink()
    assert sums(frozen) != told_sums(frozen)
