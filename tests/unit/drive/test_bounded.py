"""TOML that was made to keep a reader busy, or to break it."""

from __future__ import annotations

import time
import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.drive.bounded import values
from airladder.faults import BadInput

DOTS = ".".join("a" * 450)


@pytest.mark.parametrize(
    "text",
    [
        "\n".join(f"b{n}.{DOTS} = 1" for n in range(70)),
        ".".join("a" * 32_000) + " = 1",
        "a = " + "[" * 40_000,
        "a = [\n" * 900,
        "a = " + "{a = " * 190,
        "a = 0x" + "f" * 60_000,
        "a = " + "9" * 990,
        "a = 9223372036854775808",
        "a = nan",
        "a = [[1, {b = -inf}]]",
        "a = 2026-13-45",
        "a = 1e",
        'a = "\\ud800"',
        "a = 1\na = 2",
        "\0",
        "# " + "x" * 65_536,
        "[[a]]\n" * 3000,
        f"[{DOTS}]\n{DOTS} = nan",
    ],
)
def test_what_is_too_much_or_wrong_is_refused_at_once(text: str) -> None:
    begun = time.process_time()
    with pytest.raises(BadInput, match=r"^(it|its|line \d+) (has|is|lists)"):
        values(text)
    assert time.process_time() - begun < 1.0


@pytest.mark.parametrize("line", [f"b%d.{DOTS} = 1", "[a%d.b.c]", "a%d = [[[[]]]]", 'a%d = """\n"""', "a%d = 1"])
def test_the_most_that_is_let_through_is_read_within_a_second_and_64_mb(line: str) -> None:
    text = ""
    for number in range(20_000):
        more = f"{text}{line % number}\n"
        if len(more) > 65_536 or more.count(".") > 4000 or more.count("[") > 2000:
            break
        text = more
    begun = time.process_time()
    assert len(values(text)) > 5
    assert time.process_time() - begun < 1.0
    tracemalloc.start()
    values(text)
    assert tracemalloc.get_traced_memory()[1] < 64e6
    tracemalloc.stop()


def test_plain_settings_are_read() -> None:
    assert values('horn = "alto"\na4 = 442.5\n[aims]\nminutes = 20\n') == {
        "horn": "alto",
        "a4": 442.5,
        "aims": {"minutes": 20},
    }
    assert values("a = -9223372036854775808") == {"a": -(2**63)}


@given(st.text(st.sampled_from("[]{}=.,\"'\\#\n 01aexn-:T_+\0\ufeff"), max_size=200))
def test_no_jumble_raises_anything_but_a_fault(text: str) -> None:
    try:
        assert isinstance(values(text), dict)
    except BadInput as fault:
        assert str(fault)  # noqa: PT017 -- either is right
