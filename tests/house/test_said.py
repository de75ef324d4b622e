"""What listens to the rules tells a sentence that was said from one that was not."""

from __future__ import annotations

import runpy
from pathlib import Path

from said import Sentences

RULES = """
def rule(size):
    if size > 1:
        yield f"{size} is much"
    if size < 0:
        yield (
            "less than nothing"
        )
    yield from other(size)

def other(size):
    if size == 0:
        yield "nothing"
"""


def test_sentences_that_nobody_said_are_named(tmp_path: Path) -> None:
    path = tmp_path / "rules.py"
    path.write_text(RULES)
    rule = runpy.run_path(str(path))["rule"]
    sentences = Sentences([path])
    list(rule(0))  # nobody listens
    assert sentences.heard(rule(5)) == ["5 is much"]
    assert [line.partition(" ")[0] for line in sentences.unsaid()] == ["rules.py:6", "rules.py:13"]
    assert sentences.heard(rule(-1)) == ["less than nothing"]
    assert sentences.heard(rule(0)) == ["nothing"]
    assert sentences.unsaid() == []
