"""The power of a practising virtual board is cut, four times on one disk; and once on a disk that lies.

The many cuts are in `acceptance/cuts`. AIRLADDER_SEED repeats the moments, and what the disks keep.
"""

from __future__ import annotations

import os
import secrets
import sys

import pytest

from board.cuts import Campaign, Deed
from board.forgetting import Way

DEEDS = (Deed.PRACTICE, Deed.CHECK, Deed.PRACTICE, Deed.DRIVES)


@pytest.fixture
def seed(capsys: pytest.CaptureFixture[str]) -> int:
    """Another one each time; said, so that a failure can be tried again."""
    number = int(os.environ.get("AIRLADDER_SEED") or secrets.randbelow(2**32))
    with capsys.disabled():
        sys.stdout.write(f" AIRLADDER_SEED={number} ")
    return number


def test_no_try_that_the_board_told_as_kept_is_lost_in_a_power_cut(seed: int) -> None:
    with Campaign(Way.FORGETS, seed) as campaign:
        cuts = [campaign.cut(deed, least=1) for deed in DEEDS]
    assert [cut.verdict.wrong for cut in cuts] == [()] * len(DEEDS), cuts
    assert sum(cut.told for cut in cuts) >= 2
    assert cuts[-1].verdict.found >= sum(cut.told for cut in cuts)


def test_a_disk_that_lies_about_its_flushes_would_be_seen_to_lose_tries(seed: int) -> None:
    with Campaign(Way.LIES, seed) as campaign:
        cut = campaign.cut(least=2)
    assert cut.told >= 2
    assert cut.verdict.lost or cut.verdict.state == "given up", cut
