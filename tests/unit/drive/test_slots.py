"""Slots of FAT folders of any bytes at all."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given
from hypothesis import strategies as st

from airladder.drive.slots import checksum, entries, moment

SLOTS = st.lists(
    st.one_of(
        st.binary(min_size=32, max_size=32),
        st.builds(  # likely to be the part of a long name
            lambda number, body, check: bytes([number]) + body[:10] + b"\x0f\0" + bytes([check]) + body[10:28],
            st.sampled_from([0x41, 0x42, 0x01, 0x02, 0x54, 0xFF, 0]),
            st.binary(min_size=28, max_size=28),
            st.sampled_from([0, checksum(b"AAAAAA~1TOM"), 255]),
        ),
        st.just(b"AAAAAA~1TOM\x20" + bytes(20)),
    ).map(lambda slot: slot.ljust(32, b"\0")[:32]),
    max_size=30,
)


@given(SLOTS)
def test_any_slots_give_entries_and_never_more_than_there_are(slots: list[bytes]) -> None:
    found = list(entries(slots))
    assert len(found) <= len(slots)
    assert all(len(entry.name) <= 260 and 0 <= entry.size < 2**32 for entry in found)


@given(st.integers(0, 65535), st.integers(0, 65535))
def test_a_date_is_a_date_or_none(day: int, time: int) -> None:
    when = moment(day, time)
    assert when is None or 1980 <= when.year <= 2107


def test_dates_and_times_are_packed_as_microsoft_says() -> None:
    """Day 5 bits, month 4, year from 1980 7; two seconds 5, minutes 6, hours 5."""
    assert moment(46 << 9 | 5 << 5 | 4, 18 << 11 | 30 << 5 | 6) == datetime(2026, 5, 4, 18, 30, 12)
    assert moment(0, 0) is None  # no month, no day
    assert moment(1 << 5 | 1, 24 << 11) is None


def long_part(number: int, text: str, check: int) -> bytes:
    """One slot of a long name, as the paper lays it out."""
    units = text.encode("utf-16-le").ljust(26, b"\0")
    return bytes([number]) + units[:10] + bytes([0x0F, 0, check]) + units[10:22] + b"\0\0" + units[22:]


def test_a_long_name_is_believed_only_when_all_its_parts_are_of_this_file_and_in_order() -> None:
    own, short = checksum(b"AAAAAA~1TOM"), b"AAAAAA~1TOM\x20" + bytes(20)
    last, first = long_part(0x42, ".toml", own), long_part(1, "a good routin", own)
    assert [entry.name for entry in entries([last, first, short])] == ["a good routin.toml"]
    foreign = long_part(1, "a good routin", own ^ 1)
    for slots in ([last, foreign], [last], [first], [first, last], [last, first, first], [last, b"\xe5" + first[1:]]):
        assert [entry.name for entry in entries([*slots, short])] == ["AAAAAA~1.TOM"]


def test_the_checksum_is_that_of_the_paper() -> None:
    """By its code, step by step: rotate right by one, add, keep eight bits."""
    total = 0
    for byte in b"AAAAAA~1TOM":
        total = ((total >> 1) + ((total & 1) * 0x80) + byte) % 256
    assert checksum(b"AAAAAA~1TOM") == total
