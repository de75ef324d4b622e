"""Rows are read from the pages as SQLite wrote them, and no page whatever makes the reading fail."""

from __future__ import annotations

import sqlite3
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.journal.leaves import Value, rows_in
from airladder.journal.salvage import leaves_of

values = st.one_of(
    st.none(),
    st.integers(-(2**63), 2**63 - 1),
    st.sampled_from([0, 1, -1, 127, 128, -129, 2**23, 2**31, 2**47, -(2**47) - 1]),
    st.floats(allow_nan=False),
    st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=40),
    st.integers(0, 12000).map(lambda length: "♭x" * length),  # as long as several pages
    st.binary(max_size=300),
)
quiet = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


@quiet
@given(
    st.dictionaries(st.integers(-(2**63), 2**63 - 1), st.tuples(values, values), min_size=1, max_size=12),
    st.sampled_from([512, 1024, 4096]),
)
def test_the_rows_of_a_table_are_read_as_sqlite_wrote_them(
    tmp_path_factory: pytest.TempPathFactory, rows: dict[int, tuple[Value, Value]], page_bytes: int
) -> None:
    path = tmp_path_factory.mktemp("log") / "any.sqlite"
    held: list[tuple[Value, ...]] = [(key, *row) for key, row in rows.items()]
    write(path, page_bytes, "CREATE TABLE one (id INTEGER PRIMARY KEY, a, b)", held)
    found = {leaf.rowid: leaf.values[1:] for leaf in leaves_of(path) if len(leaf.values) == 3}
    assert found == rows


@quiet
@given(
    st.dictionaries(st.integers(-(2**40), 2**40), values, min_size=1, max_size=40),
    st.sampled_from([512, 4096]),
)
def test_the_rows_of_a_table_without_row_ids_are_read_as_sqlite_wrote_them(
    tmp_path_factory: pytest.TempPathFactory, rows: dict[int, Value], page_bytes: int
) -> None:
    """Such a table keeps rows in the inner pages of its tree too."""
    path = tmp_path_factory.mktemp("log") / "any.sqlite"
    write(path, page_bytes, "CREATE TABLE one (id INTEGER PRIMARY KEY, a) WITHOUT ROWID", list(rows.items()))
    found = {leaf.values[0]: leaf.values[1] for leaf in leaves_of(path) if leaf.rowid is None}
    assert found == rows


def write(path: Path, page_bytes: int, table: str, rows: list[tuple[Value, ...]]) -> None:
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA page_size = {page_bytes}")
    connection.execute(table)
    connection.executemany(f"INSERT INTO one VALUES ({', '.join('?' * len(rows[0]))})", rows)
    connection.commit()
    connection.close()


@given(st.binary(max_size=600), st.sampled_from([0x0D, 0x0A, 0x02]), st.binary(max_size=64))
def test_whatever_a_page_holds_it_is_read_to_its_end(page: bytes, kind: int, further: bytes) -> None:
    """Also when one page goes on in another of any content, or in itself for ever."""
    for other in (further, page):
        for leaf in rows_in(bytes([kind]) + page, partial(only, other)):
            assert all(isinstance(value, int | float | str | bytes | None) for value in leaf.values)


def only(page: bytes, _: int) -> bytes:
    """The same page, whichever is asked for."""
    return page


@pytest.mark.parametrize(("length", "count"), [(3, 1), (4, 0), (2, 0)])
def test_a_row_that_is_longer_or_shorter_than_its_values_is_none(length: int, count: int) -> None:
    """A leaf with one cell (rowid 9; a record of one value, the whole number 7) that claims `length` bytes."""
    cell = bytes([length, 9, 2, 1, 7, 0])
    head = bytes([0x0D, 0, 0, 0, 1, 0, 0, 0, 0, 200])
    page = head.ljust(200, b"\0") + cell
    assert [leaf.values for leaf in rows_in(page, partial(only, b""))] == [(7,)] * count
