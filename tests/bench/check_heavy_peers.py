"""The listeners that only the extra `bench` brings; `sh tests/bench/run` looks at them before it starts."""

from __future__ import annotations

import pytest

from bench.delays import own_delay
from bench.peers import HEAVY, Peer
from bench.swaying_note import hears_the_swaying_note


@pytest.mark.parametrize("peer", HEAVY, ids=lambda peer: peer.name)
def test_it_hears_an_easy_note_that_sways(peer: Peer) -> None:
    assert hears_the_swaying_note(peer, within_cents=10.0)  # pyin answers on a grid of 10 cents


@pytest.mark.parametrize("peer", HEAVY, ids=lambda peer: peer.name)
def test_its_frames_are_read_at_their_centres(peer: Peer) -> None:
    assert all(abs(delay) <= 0.020 for delay in own_delay(peer).seconds)
