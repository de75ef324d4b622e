"""What the soak looks at: what is taken is seen, and what is given back is seen to be gone."""

from __future__ import annotations

import os

from acceptance.soak.sampling import held_kib, kinds_of_files


def test_what_malloc_gives_out_is_seen_and_its_return_too() -> None:
    before = held_kib()
    pieces = [os.urandom(8 * 1024) for _ in range(500)]
    taken = held_kib() - before
    assert 3900 <= taken <= 4200, taken
    pieces.clear()
    assert held_kib() - before < 200


def test_a_large_piece_with_a_mapping_of_its_own_is_seen() -> None:
    before = held_kib()
    piece = bytearray(64 * 1024 * 1024)
    assert 65_000 <= held_kib() - before <= 66_200
    del piece
    assert held_kib() - before < 500


def test_open_files_are_told_by_kind() -> None:
    before = kinds_of_files()
    ends = os.pipe()
    assert (kinds_of_files() - before)["pipe"] == 2
    for end in ends:
        os.close(end)
