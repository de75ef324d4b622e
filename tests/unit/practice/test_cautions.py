"""The cautions of the first run name what a careful teacher names, and fit the screen."""

from __future__ import annotations

import pytest

from airladder.practice.cautions import FIRST_RUN


@pytest.mark.parametrize(
    "word",
    ["loud", "rest", "plugs", "pain", "numbness", "dizziness", "stop", "breathe", "teacher", "clinician", "measure"],
)
def test_they_name_it(word: str) -> None:
    assert word in " ".join(FIRST_RUN).lower()


def test_each_is_a_screenful() -> None:
    assert 2 <= len(FIRST_RUN) <= 3
    assert all(0 < len(caution) <= 100 for caution in FIRST_RUN)
